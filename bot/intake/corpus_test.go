package intake

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/refdata/vocab"
)

// labelled is one line of a message corpus: what a message should read as.
type labelled struct {
	ID     string `json:"id"`
	Voice  string `json:"voice"`
	Text   string `json:"text"`
	Expect struct {
		Readings []vocab.Reading        `json:"readings"`
		Facts    vocab.Facts            `json:"facts"`
		Findings map[vocab.Finding]bool `json:"findings"`
		Asks     []string               `json:"asks"`
		No       []string               `json:"no"`
	} `json:"expect"`
}

func readCorpus(t testing.TB, name string) []labelled {
	f, err := os.Open("../../testdata/messages/" + name)
	require.NoError(t, err)
	defer f.Close()
	var all []labelled
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		var l labelled
		require.NoError(t, json.Unmarshal(lines.Bytes(), &l), lines.Text())
		all = append(all, l)
	}
	return all
}

// score is what the issue counts of a corpus.
type score struct {
	messages, exact, misread, mustAsk, asked, nothing, silent int
	wrong                                                     []string
}

func scoreCorpus(t testing.TB, all []labelled) score {
	r, err := BuiltIn()
	require.NoError(t, err)
	var s score
	for _, l := range all {
		s.messages++
		m := r.Read(strings.ReplaceAll(l.Text, "\n", " "), Context{})
		diff, silentMisread := compare(l, m)
		if diff == "" {
			s.exact++
		} else {
			s.wrong = append(s.wrong, fmt.Sprintf("%s %q\n     %s", l.ID, l.Text, diff))
		}
		if silentMisread {
			s.misread++
		}
		if len(l.Expect.Asks) > 0 {
			s.mustAsk++
			if anyAsked(l, m) {
				s.asked++
			}
		}
		if len(l.Expect.Readings)+len(l.Expect.Facts)+len(l.Expect.Findings)+len(l.Expect.Asks) == 0 {
			s.nothing++
			if len(m.Readings)+len(m.Facts)+len(m.Findings)+len(m.Asks) == 0 {
				s.silent++
			}
		}
	}
	return s
}

func anyAsked(l labelled, m Message) bool {
	for _, a := range m.Asks {
		if slices.Contains(l.Expect.Asks, a.Key) {
			return true
		}
	}
	return false
}

// compare says how a message was read otherwise than labelled; silent is true
// when a wrong value was read and nothing asked.
func compare(l labelled, m Message) (diff string, silent bool) {
	var out []string
	want, got := map[string]string{}, map[string]string{}
	for _, r := range l.Expect.Readings {
		want[string(r.Key)] = show(r)
	}
	for _, r := range m.Readings {
		got[string(r.Key)] = show(r.Reading)
	}
	for k, v := range l.Expect.Facts {
		want[string(k)] = plainly(v)
	}
	for k, v := range m.Facts {
		got[string(k)] = plainly(v)
	}
	for k, v := range l.Expect.Findings {
		want[string(k)] = fmt.Sprint(v)
	}
	for k, v := range m.Findings {
		got[string(k)] = fmt.Sprint(v)
	}
	for k, v := range got {
		if want[k] != v {
			out = append(out, fmt.Sprintf("got %s=%s want %q", k, v, want[k]))
			silent = true
		}
	}
	for _, k := range l.Expect.No {
		if v, ok := got[k]; ok {
			out = append(out, fmt.Sprintf("must not read %s=%s", k, v))
			silent = true
		}
	}
	for k, v := range want {
		if _, ok := got[k]; !ok {
			out = append(out, fmt.Sprintf("missed %s=%s", k, v))
		}
	}
	if len(l.Expect.Asks) > 0 && !anyAsked(l, m) {
		out = append(out, fmt.Sprintf("should ask %v, asked %v", l.Expect.Asks, m.Asks))
	}
	if len(l.Expect.Asks) == 0 && len(m.Asks) > 0 {
		out = append(out, fmt.Sprintf("asked %v", m.Asks))
	}
	sort.Strings(out)
	return strings.Join(out, "; "), silent
}

func show(r vocab.Reading) string {
	rough := ""
	if r.Approx {
		rough = "~"
	}
	return fmt.Sprintf("%g %s%s", math.Round(r.Value*1e6)/1e6, r.Unit, rough)
}

func plainly(s string) string { return strings.ToLower(strings.ReplaceAll(s, " ", "")) }

func (s score) report(t testing.TB, name string) {
	t.Logf("%s: %d messages, exact %d (%.1f %%), silent misreads %d, must-ask asked %d of %d, nothing read in %d of %d with nothing to read",
		name, s.messages, s.exact, 100*float64(s.exact)/float64(s.messages), s.misread, s.asked, s.mustAsk, s.silent, s.nothing)
	for _, w := range s.wrong {
		t.Log("  " + w)
	}
}

// corpus.jsonl is the development half of the labelled field messages that the
// project was given; own.jsonl is ours, by the same conventions.
func TestCorpora(t *testing.T) {
	for _, name := range []string{"corpus", "own"} {
		s := scoreCorpus(t, readCorpus(t, name+".jsonl"))
		s.report(t, name)
		require.GreaterOrEqual(t, float64(s.exact)/float64(s.messages), 0.97)
		require.Zero(t, s.misread)
		require.Equal(t, s.mustAsk, s.asked)
		require.Equal(t, s.nothing, s.silent)
	}
}

// TestBlindMessages holds messages that were labelled before the reader saw them. What
// is missed may only get less: raise what is held when it does. First try of
// blind-01: 38 of 60 exact, 9 silent misreads, before three labels were set right.
func TestBlindMessages(t *testing.T) {
	for name, held := range map[string]struct{ exact, misread, asked int }{
		"blind-01": {exact: 53, misread: 0, asked: 9},
	} {
		s := scoreCorpus(t, readCorpus(t, name+".jsonl"))
		s.report(t, name)
		require.GreaterOrEqual(t, s.exact, held.exact)
		require.LessOrEqual(t, s.misread, held.misread)
		require.GreaterOrEqual(t, s.asked, held.asked)
		require.Equal(t, s.nothing, s.silent)
	}
}
