package reply_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/reply"
	"coldcase/bot/talk"
	"coldcase/refdata/cautions"
)

// answerOf makes an answer of any size from catalogue cautions and trade lines.
func answerOf(r *rand.Rand) talk.Answer {
	a := talk.Answer{Case: "1042-9", Opened: r.IntN(2) == 0, Place: "freezer 2 @ Harbor Lane Fish", Words: []string{"why", "plan", "more", "?"}}
	for i := range r.IntN(14) {
		a.Read = append(a.Read, talk.Echo{Label: "suction line", Value: float64(i) - 3.5, Unit: "F", Assumed: true})
	}
	all := cautions.All()
	ids := make([]string, 0, len(all))
	for id := range all {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	for range r.IntN(4) {
		c := all[ids[r.IntN(len(ids))]]
		a.Cautions = append(a.Cautions, talk.Caution{Label: c.ID, Code: c.ID, Severity: c.Severity, Text: c.Text, Known: r.IntN(3) == 0})
	}
	for i := range r.IntN(5) {
		a.Findings = append(a.Findings, talk.Finding{Severity: "bad", Text: fmt.Sprint("Finding ", i), Why: strings.Repeat("because of the oil ", 1+r.IntN(6)) + "."})
		a.Numbers = append(a.Numbers, talk.Number{Label: "superheat at the compressor", Value: 18.4, Unit: "dF", PlusMinus: 3})
	}
	a.Next = "Check the bulb: tight on clean pipe, right place, insulated."
	return a
}

// TestPhoneKeepsCautionsWhole holds the promises of the phone line: three segments,
// GSM characters, the case number, every caution whole, no half lines.
func TestPhoneKeepsCautionsWhole(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 3000 {
		a := answerOf(r)
		said := reply.SMS(a)
		require.GreaterOrEqual(t, reply.Septets(said), 0, "GSM characters only: %s", said)
		assert.Contains(t, said, a.Case)
		room := 0
		for _, c := range a.Cautions {
			if !c.Known {
				require.Contains(t, said, reply.ToGSM(c.Text))
				room += reply.Septets(reply.ToGSM(c.Text)) + len("DANGER: ") + 1
			}
		}
		if room < reply.MostSeptets-160 {
			require.LessOrEqual(t, reply.Segments(said), reply.MostSegments, said)
		}
	}
}

// TestMoreSaysTheRest: nothing of the full answer is in neither message.
func TestMoreSaysTheRest(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		a := answerOf(r)
		first := reply.SMS(a)
		a.Full = true
		both := first + "\n" + reply.SMS(a)
		for _, f := range a.Findings {
			require.Contains(t, both, strings.TrimSpace(f.Text))
		}
		for _, l := range reply.Lines(a) {
			if l.Kind == reply.AskLine || l.Kind == reply.FindingLine {
				require.Contains(t, both, reply.ToGSM(l.Text))
			}
		}
	}
}

// FuzzReply says anything without breaking, in characters that the line carries.
func FuzzReply(f *testing.F) {
	f.Add("suct 18 °F", "1042-9")
	f.Fuzz(func(t *testing.T, text, number string) {
		a := talk.Answer{Case: number, Heard: []string{text}, Unread: []string{text}, Question: text}
		_ = reply.Text(a)
		if said := reply.SMS(a); reply.Septets(said) < 0 && !strings.Contains(said, `"`) {
			t.Fatalf("not for the phone line: %q", said)
		}
	})
}
