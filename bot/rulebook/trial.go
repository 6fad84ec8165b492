package rulebook

import (
	"fmt"
	"io"
	"iter"
	"sort"
	"strings"

	"coldcase/bot/caselog"
	"coldcase/bot/talk"
	"coldcase/calc/derive"
	"coldcase/rules"
)

// Report is what came of looking at a new rule file.
type Report struct {
	Mistakes string // with place and what to do; the rest is empty then
	Rules    int    // in force, with it
	Passed   int    // examples
	Failed   string // examples that fail
	Trial    []string
	Changes  string // a line for each logged case that would change
}

// Good: it may be put in force.
func (r Report) Good() bool { return r.Mistakes == "" && r.Failed == "" }

// Check loads a file over the rules in force and runs the examples.
func Check(inForce *rules.Set, s Sheet) (Report, *rules.Set) {
	after, err := inForce.With(folder{s}, s.Name)
	if err != nil {
		return Report{Mistakes: err.Error()}, nil
	}
	tested := after.Test()
	r := Report{Rules: after.Rules(), Passed: tested.Passed}
	for _, f := range tested.Failed {
		r.Failed += f.Error() + "\n"
	}
	return r, after
}

// Look checks a new file over the rules in force, runs its examples, and tries it on
// the logged cases.
func Look(t caselog.Reader, inForce *rules.Set, s Sheet) (Report, error) {
	r, after := Check(inForce, s)
	if after == nil {
		return r, nil
	}
	var changes strings.Builder
	trial, err := rules.Try(&changes, inForce, after, after.RuleIDs(s.Name), Logged(t))
	if err != nil {
		return Report{}, err
	}
	r.Changes, r.Trial = changes.String(), Said(trial)
	return r, nil
}

// Said tells a trial in lines.
func Said(t rules.Trial) []string {
	out := []string{fmt.Sprintf("%d cases, %d would change. Of %d with a confirmed cause the first cause was right in %d, would be in %d. Alarms: %d, would be %d.",
		t.Cases, t.Changed, t.Confirmed, t.RightBefore, t.RightNow, t.AlarmsBefore, t.AlarmsNow)}
	ids := make([]string, 0, len(t.Fired))
	for id := range t.Fired {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	for _, id := range ids {
		f := t.Fired[id]
		out = append(out, fmt.Sprintf("%s: fires on %d, hits %d, false alarms %d", id, f.Fires, f.Hits, f.FalseAlarms))
	}
	return out
}

// Print writes a trial.
func Print(w io.Writer, t rules.Trial) error {
	_, err := fmt.Fprintln(w, strings.Join(Said(t), "\n"))
	if err != nil {
		return fmt.Errorf("write: %w", err)
	}
	return nil
}

// Logged reads the cases one after the other; what stands on each is worked out
// where it is tried.
func Logged(t caselog.Reader) iter.Seq2[rules.Logged, error] {
	return func(yield func(rules.Logged, error) bool) {
		for head, err := range t.Find(caselog.Filter{}) {
			l := rules.Logged{Case: head.Number.String(), Confirmed: head.Cause}
			if err == nil {
				l.Record, err = recordOf(t, head)
			}
			if !yield(l, err) || err != nil {
				return
			}
		}
	}
}

// recordOf fetches a case, and later gathers what stands on it.
func recordOf(t caselog.Reader, head caselog.Case) (func() (derive.Record, error), error) {
	entries, err := t.Entries(head.Number)
	return func() (derive.Record, error) {
		b, err := talk.Case{Number: head.Number, Entries: entries}.Record()
		if err != nil {
			return derive.Record{}, err
		}
		return b.Record(), nil
	}, err
}
