package bot_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
	"coldcase/bot/reply"
	"coldcase/bot/talk"
)

var start = time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)

func say(t *testing.T, b *bot.Bot, id, who, text string, at time.Time) string {
	t.Helper()
	said, err := b.Handle(context.Background(), caselog.Inbound{Source: "sms", ID: id, Person: who, Text: text, At: at})
	require.NoError(t, err)
	return said
}

func entries(t *testing.T, b *bot.Bot, n casenumber.Number) (out []caselog.Entry) {
	t.Helper()
	require.NoError(t, b.Store.View(context.Background(), func(tx caselog.Tx) (err error) {
		out, err = tx.Entries(n)
		return err
	}))
	return out
}

// TestUndoKeepsBoth: what was taken back stays on record and counts no more.
func TestUndoKeepsBoth(t *testing.T) {
	b := newBot(t)
	require.Contains(t, say(t, b, "1", "Ines", "R448A suct 28 line 8", start), "3.3 F")
	require.Contains(t, say(t, b, "2", "Ines", "suct 20 line 20", start.Add(time.Minute)), "24.7 F")
	require.Contains(t, say(t, b, "3", "Marit", "case 1-3", start.Add(2*time.Minute)), "24.7 F")
	require.Contains(t, say(t, b, "4", "Marit", "undo", start.Add(3*time.Minute)), "Nothing of yours")
	require.Contains(t, say(t, b, "5", "Ines", "undo", start.Add(4*time.Minute)), "3.3 F")
	kinds := map[caselog.Kind]int{}
	for _, e := range entries(t, b, 1) {
		kinds[e.Kind]++
	}
	require.Equal(t, 2, kinds[caselog.KindReading])
	require.Equal(t, 1, kinds[caselog.KindCorrection])
}

// TestRedeliveredMessageChangesNothing holds exactly-once.
func TestRedeliveredMessageChangesNothing(t *testing.T) {
	b := newBot(t)
	say(t, b, "1", "Ines", "R448A suct 28 line 8", start)
	before := len(entries(t, b, 1))
	require.Empty(t, say(t, b, "1", "Ines", "R448A suct 28 line 8", start))
	require.Len(t, entries(t, b, 1), before)
}

// TestJudgementNamesItsRules: each judgement can be traced to the packs that made it.
func TestJudgementNamesItsRules(t *testing.T) {
	b := newBot(t)
	say(t, b, "1", "Ines", "R448A suct 28 line 8", start)
	for _, e := range entries(t, b, 1) {
		if e.Kind == caselog.KindJudgement {
			var j talk.JudgementBody
			require.NoError(t, json.Unmarshal(e.Body, &j))
			require.Equal(t, b.Helper().Rules.Version(), j.Rules)
			require.NotEmpty(t, j.Numbers)
			return
		}
	}
	t.Fatal("no judgement on the case")
}

// TestOnlyALeadClosesAnothersCase holds the crew's rule.
func TestOnlyALeadClosesAnothersCase(t *testing.T) {
	b := newBot(t)
	b.Lead = func(person string) bool { return person == "Marit" }
	say(t, b, "1", "Ines", "R448A suct 28 line 8", start)
	say(t, b, "2", "Tom", "case 1-3", start.Add(time.Minute))
	require.Contains(t, say(t, b, "3", "Tom", "close floodback", start.Add(2*time.Minute)), "only a lead")
	say(t, b, "4", "Marit", "case 1-3", start.Add(3*time.Minute))
	require.Contains(t, say(t, b, "5", "Marit", "close floodback, new valve", start.Add(4*time.Minute)), "Closed")
}

// TestAnythingGoes types words, readings and noise in any order: each gets an
// answer that the phone can carry, and the record has no holes.
func TestAnythingGoes(t *testing.T) {
	if testing.Short() {
		t.Skip("hundreds of messages")
	}
	b := newBot(t)
	r := rand.New(rand.NewPCG(5, 6))
	texts := []string{
		"?", "more", "new", "same", "undo", "why", "plan", "page", "watch", "close", "close floodback", "close low charge, leak at flare", "us", "METRIC",
		"case 1-3", "case 2-1", "case 1-4", "case 99", "R448A suct 28 line 8", "suct 900", "head 230 liq 80", "freezer 2 @ Harbor Lane Fish", "rack B @ Quarry Road Market",
		"comp dead, grounded", "head off, suction reed broken, metal in oil", "", "\x00\xff\xfe", "line abc", "27", "size riser", "case 1-3 suct 31", "scratch that", "R999",
	}
	at := start
	for i := range 400 {
		at = at.Add(time.Duration(r.IntN(9)*r.IntN(9)*20) * time.Minute)
		said := say(t, b, fmt.Sprint(i), []string{"Ines", "Marit"}[r.IntN(2)], texts[r.IntN(len(texts))], at)
		require.NotEmpty(t, said)
		require.GreaterOrEqual(t, reply.Septets(said), 0, said)
	}
	require.NoError(t, b.Store.View(context.Background(), func(tx caselog.Tx) error {
		for c, err := range tx.Find(caselog.Filter{}) {
			require.NoError(t, err)
			all, err := tx.Entries(c.Number)
			require.NoError(t, err)
			for i, e := range all {
				require.Equal(t, i+1, e.Seq)
			}
		}
		return nil
	}))
}

// TestAnotherRefrigerantIsSaid: a case has one refrigerant, so a second is said aloud.
func TestAnotherRefrigerantIsSaid(t *testing.T) {
	b := newBot(t)
	require.NotContains(t, say(t, b, "1", "Ines", "R448A suct 28 line 8", start), "in place of")
	require.NotContains(t, say(t, b, "2", "Ines", "R448A head 240", start.Add(time.Minute)), "in place of")
	require.Contains(t, say(t, b, "3", "Ines", "R22 suct 68 line 52", start.Add(2*time.Minute)), "R22 now, in place of R448A")
	require.NotContains(t, say(t, b, "4", "Ines", "head 245", start.Add(3*time.Minute)), "in place of")
}

// TestTheNewCompressorIsNotCondemned: what was wrong with the one that is out is
// evidence of the cause, and no verdict or caution about the one that is in.
func TestTheNewCompressorIsNotCondemned(t *testing.T) {
	b := newBot(t)
	at := func(m int) time.Time { return start.Add(time.Duration(m) * time.Minute) }
	require.Contains(t, say(t, b, "1", "Ines", "R404A semi low temp trips at once, ohms .9 .9 .9, meg 0.2 to ground", start), "Winding reads to ground")
	say(t, b, "2", "Ines", "pulled it apart. rods worn progressive, reeds ok, oil dark", at(1))
	said := say(t, b, "3", "Ines", "new compressor is in", at(2))
	require.Contains(t, said, "old one: most likely liquid coming back")
	require.NotContains(t, said, "Do not start it")
	said = say(t, b, "4", "Ines", "suct 15 head 220 line 5 liq line 84 amps 21 21 22", at(3))
	require.NotContains(t, said, "no restart")
	require.Contains(t, said, "old one: most likely liquid coming back")
	require.Contains(t, say(t, b, "5", "Ines", "meg 0.1 to ground, it trips at once", at(4)), "STOP: Winding to ground")
}

// TestACaseIsClosedInTheWordsOfTheTrade: what people call a cause is enough.
func TestACaseIsClosedInTheWordsOfTheTrade(t *testing.T) {
	for typed, closes := range map[string]string{
		"drier plugged": "dirt in the system", "floodback": "liquid coming back", "gas leak": "low charge", "unbalance": "uneven voltage",
		"migration": "liquid in the shell", "dirty condenser": "a blocked condenser", "broken reed valve": "leaking compressor valves",
		"lost leg": "a lost phase", "acid": "moisture and acid", "oil return": "loss of oil",
	} {
		b := newBot(t)
		say(t, b, "1", "Ines", "R448A suct 28 line 8", start)
		require.Contains(t, say(t, b, "2", "Ines", "close "+typed, start.Add(time.Minute)), "Closed: "+closes, typed)
	}
	b := newBot(t)
	say(t, b, "1", "Ines", "R448A suct 28 line 8", start)
	require.Contains(t, say(t, b, "2", "Ines", "close slug", start.Add(time.Minute)), "Close as which")
}

// TestACautionComesBeforeItsStep: said once today already, it is said whole again when
// the tech is about to do it.
func TestACautionComesBeforeItsStep(t *testing.T) {
	b := newBot(t)
	at := func(m int) time.Time { return start.Add(time.Duration(m) * time.Minute) }
	say(t, b, "1", "Ines", "R404A semi, trips at once", start)
	require.Contains(t, say(t, b, "2", "Ines", "going to megger it", at(1)), "Megger only locked out")
	require.NotContains(t, say(t, b, "3", "Ines", "ohms 1.1 1.1 1.1", at(2)), "Megger only locked out")
	require.Contains(t, say(t, b, "4", "Ines", "about to megger it now", at(3)), "Megger only locked out")
}

// TestACautionDoesNotWaitForTheCase: whose job it is may be open, what can hurt is said.
func TestACautionDoesNotWaitForTheCase(t *testing.T) {
	b := newBot(t)
	say(t, b, "1", "Ines", "R744 rack b suct 400 head 1150", start)
	said := say(t, b, "2", "Ines", "going to vent it down to atmosphere", start.Add(13*time.Hour))
	require.Contains(t, said, "same, or new")
	require.Contains(t, said, "DANGER")
}

// TestAPastOrComingChangeIsNone: no follow-up visits, and a dead machine stays dead.
func TestAPastOrComingChangeIsNone(t *testing.T) {
	for _, text := range []string{
		"R404A semi grounded. the guys before me replaced the compressor two years ago",
		"R404A semi grounded. new one going in tomorrow",
		"R404A semi grounded. compressor was changed 8 months ago",
	} {
		b := newBot(t)
		said := say(t, b, "1", "Ines", text, start)
		require.NotContains(t, said, "Follow-up", text)
		require.Contains(t, said, "DANGER", text)
	}
	b := newBot(t)
	require.Contains(t, say(t, b, "1", "Ines", "changed comp in 2 hours flat, vac 300", start), "Follow-up")
}

// TestAWetShellIsNotStarted: frost on the shell and a start announced bring the caution
// before the start.
func TestAWetShellIsNotStarted(t *testing.T) {
	b := newBot(t)
	say(t, b, "1", "Ines", "R404A shell frosted, box fans dead", start)
	require.Contains(t, say(t, b, "2", "Ines", "fans were tripped. reset. starting it", start.Add(time.Minute)), "Do not restart yet")
}
