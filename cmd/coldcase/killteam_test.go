package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/pgtest"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/rehearse"
	"coldcase/bot/rehearse/workspace"
)

const (
	teamKills   = 20 // on each engine
	mates       = 2  // who write in the team chat
	teamPhones  = 2
	teamChannel = "C0TEAM"
)

func mateID(i int) string { return fmt.Sprintf("U0MATE%02d", i) }

// TestKillsOfTheTeamLoseNothing kills `coldcase serve` at random moments while phones
// text it and teammates write in the threads of the cases, to the app alone, and press
// buttons: over sockets on SQLite, over HTTP on PostgreSQL with two replicas.
func TestKillsOfTheTeamLoseNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("a minute of kills")
	}
	bin := build(t)
	t.Run("sqlite, sockets", func(t *testing.T) {
		killTeam(t, bin, filepath.Join(t.TempDir(), "cases.db"), 1, true)
	})
	t.Run("postgres, http", func(t *testing.T) {
		server, err := pgtest.Start(true)
		if err != nil && os.Getenv("CI") == "" {
			t.Skip(err)
		}
		require.NoError(t, err)
		t.Cleanup(func() { require.NoError(t, server.Stop()) })
		killTeam(t, bin, server.Database(t), 2, false)
	})
}

func killTeam(t *testing.T, bin, db string, replicas int, sockets bool) {
	k := newKilledTeam(t, bin, db, replicas, sockets)
	var texts [teamPhones][]rehearse.Message
	var said [mates]saidByMate
	k.line.during(t, teamKills, 600*time.Millisecond, func(ctx context.Context, all *sync.WaitGroup) {
		for i := range teamPhones {
			all.Go(func() { texts[i] = k.line.phone(ctx, i) })
		}
		for i := range mates {
			all.Go(func() { said[i] = k.mate(ctx, t, i) })
		}
	})
	s, err := sqlstore.Open(t.Context(), db)
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	allSent(t, s)
	// What was written under a card before its thread was on record is caught up: at the
	// next start, or some minutes later.
	for _, r := range k.line.replicas {
		r.stop(t)
		r.start(t)
		r.await(t)
	}
	require.Eventually(t, func() bool { return k.allRecorded(t, s, said) }, 2*time.Minute, 100*time.Millisecond, "everything that was written is on record")
	allSent(t, s)
	for _, r := range k.line.replicas {
		r.stop(t)
	}
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		k.checkCases(t, x, texts, said)
		k.checkThreads(t, x)
		k.checkPhones(t, x)
		return nil
	}))
	t.Logf("%d kills, %s, %d posts of ours, each once; %d answers by text sent twice", teamKills, tally(texts, said), len(k.ours()), k.line.repeated)
}

// killedTeam is the line with a workspace of the team chat beside it.
type killedTeam struct {
	line *killedLine
	room *workspace.Workspace
}

func newKilledTeam(t *testing.T, bin, db string, replicas int, sockets bool) *killedTeam {
	k := &killedTeam{room: &workspace.Workspace{BotToken: "xoxb-1", AppToken: "xapp-1", Secret: "signing secret", Channel: teamChannel, Now: time.Now}}
	mux := http.NewServeMux()
	k.room.Routes(mux)
	k.room.Hook(workspace.Hooks{Trouble: chatNowAndThen})
	api := httptest.NewServer(mux)
	t.Cleanup(func() { api.CloseClientConnections(); api.Close() })
	way := "SLACK_APP_TOKEN=" + k.room.AppToken
	if !sockets {
		way = "SLACK_SIGNING_SECRET=" + k.room.Secret
	}
	k.line = newKilledLine(t, bin, db, replicas, way, "SLACK_BOT_TOKEN="+k.room.BotToken, "COLDCASE_TEAM_CHANNEL="+teamChannel,
		"COLDCASE_SLACK_API="+api.URL, "COLDCASE_TEAM_PAUSE=0s")
	if !sockets {
		k.room.Target, k.room.Client = k.line.provider.Target, k.line.provider.Client
	}
	return k
}

// chatNowAndThen the provider is out, or asks to be left alone for a second.
func chatNowAndThen(string) (status int, word, retryAfter string) {
	switch rand.N(200) {
	case 0:
		return http.StatusServiceUnavailable, "", ""
	case 1:
		return http.StatusTooManyRequests, "", "1"
	}
	return 0, "", ""
}

// saidByMate is what one teammate did.
type saidByMate struct {
	posts   []workspace.Post // each told to the app until it was acknowledged
	presses int              // acknowledged
	tried   int              // presses, with those that no acknowledgement came for
}

// mate writes until the context ends: readings and words in threads, readings to the
// app alone, and the button "why".
func (k *killedTeam) mate(ctx context.Context, t *testing.T, i int) (did saidByMate) {
	for n := 0; ctx.Err() == nil; n++ {
		card, found := k.anyCard()
		switch {
		case n%4 == 0:
			did.posts = append(did.posts, k.write(i, workspace.Direct(mateID(i)), "", fmt.Sprintf("R134a suct 18 line %d.%d", 30+n/10%9, n%10)))
		case !found:
		case n%4 == 1:
			did.posts = append(did.posts, k.write(i, teamChannel, card.TS, fmt.Sprintf("coil out %d.%d", 10+n/10%9, n%10)))
		case n%4 == 2:
			did.posts = append(did.posts, k.write(i, teamChannel, card.TS, fmt.Sprintf("note number %d of mate %d from the van", n, i)))
		case n%4 == 3:
			did.tried++
			_, rest, _ := strings.Cut(string(card.Blocks), `"action_id":"why","value":"`)
			number, _, _ := strings.Cut(rest, `"`)
			if k.room.Press(mateID(i), card, "why", number, false) == nil {
				did.presses++
			}
		}
		time.Sleep(rand.N(80 * time.Millisecond))
	}
	return did
}

// write tells the app of a post until it is acknowledged.
func (k *killedTeam) write(i int, channel, thread, text string) workspace.Post {
	p, err := k.room.Say(mateID(i), channel, thread, text)
	for err != nil {
		time.Sleep(5 * time.Millisecond)
		err = k.room.Tell(p)
	}
	return p
}

// ours are the posts of the app that others see.
func (k *killedTeam) ours() []workspace.Post {
	return slices.DeleteFunc(k.room.All(), func(p workspace.Post) bool { return !p.Bot || p.Only != "" })
}

// anyCard is one of the cards in the channel.
func (k *killedTeam) anyCard() (workspace.Post, bool) {
	cards := slices.DeleteFunc(k.ours(), func(p workspace.Post) bool { return p.Channel != teamChannel || p.Thread != "" })
	if len(cards) == 0 {
		return workspace.Post{}, false
	}
	return cards[rand.N(len(cards))], true
}

func keyOf(p workspace.Post) string { return p.Channel + "/" + p.TS }

func (k *killedTeam) allRecorded(t *testing.T, s caselog.Store, said [mates]saidByMate) (all bool) {
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		for _, one := range said {
			for _, p := range one.posts {
				if there, err := x.Received("slack/in", keyOf(p)); err != nil || !there {
					return err
				}
			}
		}
		all = true
		return nil
	}))
	return all
}

// checkCases: every case is whole and has a thread, and everything that was
// acknowledged stands on one case, once; each phone's texts in their order.
func (k *killedTeam) checkCases(t *testing.T, x caselog.Tx, texts [teamPhones][]rehearse.Message, said [mates]saidByMate) {
	t.Helper()
	times, photos, presses, order := map[string]int{}, map[string]int{}, map[string]int{}, map[string][]string{}
	for c, err := range x.Find(caselog.Filter{}) {
		require.NoError(t, err)
		require.NotEmpty(t, c.Thread, "case %s", c.Number)
		entries, err := x.Entries(c.Number)
		require.NoError(t, err)
		require.Len(t, entries, c.Entries)
		for i, e := range entries {
			require.Equal(t, i+1, e.Seq, "case %s", c.Number)
			switch {
			case e.Kind == caselog.KindPhoto:
				photos[e.ProviderID]++
			case e.Kind == caselog.KindMessage && strings.HasPrefix(e.ProviderID, "press/"):
				presses[e.By]++
				times[e.ProviderID]++
			case e.Kind == caselog.KindMessage:
				times[e.ProviderID]++
				order[e.By] = append(order[e.By], e.ProviderID)
			}
		}
	}
	for id, n := range times {
		require.Equal(t, 1, n, id)
	}
	for i, all := range texts {
		var want []string
		for _, m := range all {
			if m.Body != "new" {
				want = append(want, m.SID)
				require.Equal(t, len(m.Media), photos[m.SID], "photos of %s", m.SID)
			}
		}
		require.Equal(t, want, order[techName(i)], techName(i))
	}
	for i, one := range said {
		for _, p := range one.posts {
			require.Equal(t, 1, times[keyOf(p)], "%s: %s", keyOf(p), p.Text)
		}
		pressed := presses[fmt.Sprintf("mate%02d", i)]
		require.GreaterOrEqual(t, pressed, one.presses, "each press that was acknowledged")
		require.LessOrEqual(t, pressed, one.tried)
	}
}

// checkThreads: one card a case, and under it what the case has to show, each post
// once and in the order in which it was queued.
func (k *killedTeam) checkThreads(t *testing.T, x caselog.Tx) {
	t.Helper()
	dead, err := x.Outgoing(caselog.Dead)
	require.NoError(t, err)
	require.Empty(t, dead)
	rows, err := x.Outgoing(caselog.Sent)
	require.NoError(t, err)
	queued := map[caselog.Number][]string{}
	for _, o := range rows {
		if mark := markOf(t, x, o); mark != "" {
			queued[o.Case] = append(queued[o.Case], mark)
		}
	}
	stands := map[string][]string{}
	for _, p := range k.ours() {
		if p.Channel != teamChannel {
			continue
		}
		root := p.TS
		if p.Thread != "" {
			root = p.Thread
		}
		stands[teamChannel+"/"+root] = append(stands[teamChannel+"/"+root], markOn(t, p))
	}
	cases := 0
	for c, err := range x.Find(caselog.Filter{}) {
		require.NoError(t, err)
		require.Equal(t, queued[c.Number], stands[c.Thread], "thread of case %s", c.Number)
		cases++
	}
	require.Len(t, stands, cases, "no card but those of cases")
}

// markOf is how a post of a row is known again in the channel; "" when it makes none.
func markOf(t *testing.T, x caselog.Tx, o caselog.Outgoing) string {
	t.Helper()
	if o.Dest != "slack:"+teamChannel {
		return ""
	}
	switch o.Kind {
	case "card":
		if o.Idem == fmt.Sprintf("slack/card/%d", o.Case) { // the first one opens the thread
			return o.Idem
		}
		return ""
	case "line":
		var row struct{ Seq int }
		require.NoError(t, json.Unmarshal([]byte(o.Payload), &row))
		if _, err := caselog.PhotoAt(x, o.Case, row.Seq); err == nil {
			return fmt.Sprintf("case-%s-%d.jpg", o.Case, row.Seq)
		}
	}
	return o.Idem
}

func markOn(t *testing.T, p workspace.Post) string {
	t.Helper()
	if len(p.Files) > 0 {
		return p.Files[0].Name
	}
	var m struct {
		Payload struct {
			ID string `json:"outbox_id"`
		} `json:"event_payload"`
	}
	require.NoError(t, json.Unmarshal(p.Metadata, &m), "%+v", p)
	return m.Payload.ID
}

// checkPhones: every text that was queued for a phone was taken by the provider, those
// of one case in their order; one that was sent again comes behind its first.
func (k *killedTeam) checkPhones(t *testing.T, x caselog.Tx) {
	t.Helper()
	rows, err := x.Outgoing(caselog.Sent)
	require.NoError(t, err)
	type text struct {
		n    caselog.Number
		body string
	}
	due := map[string][]text{}
	for _, o := range rows {
		if to, ok := strings.CutPrefix(o.Dest, "sms:"); ok {
			var p struct{ Body string }
			require.NoError(t, json.Unmarshal([]byte(o.Payload), &p))
			due[to] = append(due[to], text{o.Case, p.Body})
		}
	}
	last := map[string]string{}
	for _, m := range k.line.provider.All() {
		if m.Inbound {
			continue
		}
		met := map[caselog.Number]bool{} // cases of which something else is due first
		i := slices.IndexFunc(due[m.To], func(one text) bool {
			first := !met[one.n]
			met[one.n] = true
			return first && one.body == m.Body
		})
		switch {
		case i >= 0:
			due[m.To] = slices.Delete(due[m.To], i, i+1)
		case m.Body == last[m.To]:
			k.line.repeated++
		default:
			require.Fail(t, "out of order", "to %s came %q", m.To, m.Body)
		}
		last[m.To] = m.Body
	}
	for to, left := range due {
		require.Empty(t, left, "every text to %s arrived", to)
	}
}

func tally(texts [teamPhones][]rehearse.Message, said [mates]saidByMate) string {
	var byPhone, written, presses int
	for _, all := range texts {
		byPhone += len(all)
	}
	for _, one := range said {
		written, presses = written+len(one.posts), presses+one.presses
	}
	return fmt.Sprintf("%d texts, %d posts and %d presses acknowledged", byPhone, written, presses)
}
