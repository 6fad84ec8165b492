package record_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"coldcase/bot/intake"
	"coldcase/bot/record"
	"coldcase/calc/derive"
	"coldcase/rules"
)

// labelledCase is one conversation with its known truth.
type labelledCase struct {
	ID       string    `yaml:"id"`
	Messages []string  `yaml:"messages"`
	Hours    []float64 `yaml:"hours"`
	Expect   struct {
		FirstCause    string   `yaml:"first_cause"`
		AcceptFirst   []string `yaml:"accept_first"`
		Excluded      []string `yaml:"excluded"`
		MustCaution   []string `yaml:"must_caution"`
		MustAsk       []string `yaml:"must_ask"`
		NextCheck     string   `yaml:"next_check"`
		NextCheckAlso []string `yaml:"next_check_also"`
		Prevention    []string `yaml:"prevention"`
		SystemFault   string   `yaml:"system_fault"`
		NoNumber      []string `yaml:"no_number"`
		Numbers       []struct {
			Name  string  `yaml:"name"`
			Value float64 `yaml:"value"`
			Unit  string  `yaml:"unit"`
			Tol   float64 `yaml:"tol"`
			At    int     `yaml:"at"`
			Load  string  `yaml:"load"`
		} `yaml:"numbers"`
	} `yaml:"expect"`
}

// tally counts right answers of all.
type tally struct{ right, all int }

func (t *tally) count(ok bool) bool {
	t.all++
	if ok {
		t.right++
	}
	return ok
}

func (t tally) String() string {
	if t.all == 0 {
		return "none"
	}
	return fmt.Sprintf("%d of %d (%.0f %%)", t.right, t.all, 100*float64(t.right)/float64(t.all))
}

type figures struct{ first, healthy, excluded, caution, ask, number, check, plan, fault tally }

func readCases(t *testing.T, name string) []labelledCase {
	raw, err := os.ReadFile("../../testdata/cases/" + name)
	require.NoError(t, err)
	var file struct {
		Cases []labelledCase `yaml:"cases"`
	}
	require.NoError(t, yaml.Unmarshal(raw, &file))
	return file.Cases
}

func runCases(t *testing.T, name string) figures {
	set, err := rules.BuiltIn()
	require.NoError(t, err)
	reader, err := intake.BuiltIn()
	require.NoError(t, err)
	var f figures
	for _, c := range readCases(t, name) {
		for _, wrong := range judgeCase(c, reader, set, &f) {
			t.Logf("%s: %s", c.ID, wrong)
		}
	}
	t.Logf("%s: first cause %v, healthy kept %v, excluded kept out %v, cautions %v, asks %v, numbers %v, next check %v, plan %v, faults %v",
		name, f.first, f.healthy, f.excluded, f.caution, f.ask, f.number, f.check, f.plan, f.fault)
	return f
}

func judgeCase(c labelledCase, reader *intake.Reader, set *rules.Set, f *figures) (wrong []string) {
	b := record.New()
	cautions, asked := map[string]bool{}, map[string]bool{}
	var results []derive.Result
	var j rules.Judgement
	start := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	for i, text := range c.Messages {
		at := start.Add(time.Duration(i) * time.Minute)
		if len(c.Hours) > 0 {
			at = start.Add(time.Duration(c.Hours[i] * float64(time.Hour)))
		}
		m := reader.Read(text, b.Context())
		b.Add(m, at)
		res := derive.Numbers(b.Record())
		results = append(results, res)
		j = set.Judge(b.Record(), res)
		for _, t := range j.Cautions {
			cautions[t.Code] = true
		}
		for _, a := range m.Asks {
			asked[a.Key] = true
		}
		for _, a := range j.Asks {
			asked[a.Key] = true
		}
	}
	e := c.Expect
	say := func(ok bool, format string, args ...any) {
		if !ok {
			wrong = append(wrong, fmt.Sprintf(format, args...))
		}
	}
	first := j.Causes[0].Name
	say(f.first.count(first == e.FirstCause || slices.Contains(e.AcceptFirst, first)), "first cause %s, want %s; %s", first, e.FirstCause, scores(j))
	if e.FirstCause == "none_healthy" {
		say(f.healthy.count(j.Standing == "healthy"), "standing %s of a healthy system: %v %v", j.Standing, j.Verdicts, j.Faults)
	}
	for _, x := range e.Excluded {
		ok := true
		for _, k := range j.Causes {
			if k.Name == x && (k.Standing == "likely" || k.Standing == "possible") {
				ok = false
			}
		}
		say(f.excluded.count(ok), "%s should not stand; %s", x, scores(j))
	}
	for _, x := range e.MustCaution {
		say(f.caution.count(cautions[x]), "no caution %s", x)
	}
	for _, x := range e.MustAsk {
		say(f.ask.count(slices.ContainsFunc(strings.Split(x, "|"), func(k string) bool { return asked[k] })), "did not ask %s", x)
	}
	say(f.check.count(j.NextCheck.Code == e.NextCheck || slices.Contains(e.NextCheckAlso, j.NextCheck.Code)), "next check %s, want %s", j.NextCheck.Code, e.NextCheck)
	for _, x := range e.Prevention {
		say(f.plan.count(slices.ContainsFunc(j.Plan, func(t rules.Topic) bool { return t.Code == x })), "plan lacks %s", x)
	}
	if e.SystemFault != "" {
		say(f.fault.count(slices.ContainsFunc(j.Faults, func(t rules.Fault) bool { return t.Name == e.SystemFault })), "no fault %s, has %v", e.SystemFault, j.Faults)
	}
	for _, n := range e.Numbers {
		at := len(results)
		if n.At > 0 {
			at = n.At
		}
		got := math.NaN()
		for _, o := range results[at-1].Numbers {
			if string(o.Name) == n.Name && (n.Load == "" || string(o.Load) == n.Load) && string(o.Unit) == n.Unit {
				got = o.Value
			}
		}
		say(f.number.count(math.Abs(got-n.Value) <= n.Tol), "%s %.2f, want %g %s", n.Name, got, n.Value, n.Unit)
	}
	return wrong
}

func scores(j rules.Judgement) string {
	var out []string
	for i, c := range j.Causes {
		if i < 5 {
			out = append(out, fmt.Sprintf("%s %.1f %s", c.Name, c.Score, c.Standing))
		}
	}
	return strings.Join(out, ", ")
}

func share(t tally) float64 {
	if t.all == 0 {
		return 1
	}
	return float64(t.right) / float64(t.all)
}

func TestDevelopmentCases(t *testing.T) { meetsTheIssue(t, runCases(t, "dev.yaml")) }

func TestOwnCases(t *testing.T) { meetsTheIssue(t, runCases(t, "own.yaml")) }

// meetsTheIssue holds the figures against what was asked of the labelled cases.
func meetsTheIssue(t *testing.T, f figures) {
	t.Helper()
	require.GreaterOrEqual(t, share(f.first), 0.95)
	require.Equal(t, 1.0, share(f.healthy))
	require.Equal(t, 1.0, share(f.excluded))
	require.Equal(t, 1.0, share(f.caution))
	require.Equal(t, 1.0, share(f.ask))
	require.Equal(t, 1.0, share(f.number))
	require.GreaterOrEqual(t, share(f.check), 0.85)
	require.GreaterOrEqual(t, share(f.plan), 0.9)
	require.Equal(t, 1.0, share(f.fault))
}

// TestMoreCases holds the later batches. Their first try is in the head of each
// file; what they still miss is what the engine still gets wrong.
func TestMoreCases(t *testing.T) {
	for _, name := range []string{"second.yaml", "third.yaml", "fourth.yaml", "fifth.yaml", "sixth.yaml"} {
		f := runCases(t, name)
		for _, figure := range []tally{f.first, f.excluded, f.caution, f.ask, f.check, f.plan, f.fault} {
			require.GreaterOrEqual(t, share(figure), 0.9, name)
		}
		require.Equal(t, 1.0, share(f.healthy), name)
	}
}

// TestFreshCases holds the batches that were written apart from the engine. Their
// first try is in the head of each file.
func TestFreshCases(t *testing.T) {
	files, err := filepath.Glob("../../testdata/cases/fresh-*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	blind, err := filepath.Glob("../../testdata/cases/blind-*.yaml")
	require.NoError(t, err)
	files = append(files, blind...)
	for _, file := range files {
		f := runCases(t, filepath.Base(file))
		for _, figure := range []tally{f.first, f.excluded, f.caution, f.ask, f.number, f.check, f.plan} {
			require.GreaterOrEqual(t, share(figure), 0.85, file)
		}
		require.GreaterOrEqual(t, share(f.fault), 0.75, file)
	}
}
