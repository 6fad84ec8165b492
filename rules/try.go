package rules

import (
	"fmt"
	"io"
	"iter"
	"slices"
	"sort"
	"sync"

	"coldcase/calc/derive"
)

// Logged is one case of the record that new rules are tried on.
type Logged struct {
	Case      string
	Record    derive.Record
	Confirmed string // cause that it was closed with; "" while nobody knows
}

// Trial is what trying rules on the logged cases showed.
type Trial struct {
	Cases, Changed, Confirmed int
	RightBefore, RightNow     int // of the confirmed cases, by the first cause
	AlarmsBefore, AlarmsNow   int // suspect or failed
	Fired                     map[string]*Firing
}

// Firing counts what one rule of the tried file did.
type Firing struct {
	Fires       int
	Hits        int // on cases closed with a cause that it supports
	FalseAlarms int // on cases closed with another cause
}

// change is one case whose judgement would differ.
type change struct {
	logged        Logged
	before, after Judgement
}

// Try judges every logged case by the rules in force and by the new ones, on all
// processors, and writes a line for each case that would change, in the order of
// the log. Memory does not grow with the log.
func Try(w io.Writer, before, after *Set, tried []string, log iter.Seq2[Logged, error]) (Trial, error) {
	t := Trial{Fired: map[string]*Firing{}}
	for _, id := range tried {
		t.Fired[id] = &Firing{}
	}
	batch := make([]Logged, 0, batchSize)
	flush := func() error {
		for _, c := range judgeBoth(batch, before, after) {
			if err := t.count(w, c, after); err != nil {
				return err
			}
		}
		batch = batch[:0]
		return nil
	}
	for l, err := range log {
		if err != nil {
			return t, fmt.Errorf("read the log: %w", err)
		}
		if batch = append(batch, l); len(batch) == batchSize {
			if err := flush(); err != nil {
				return t, err
			}
		}
	}
	return t, flush()
}

const (
	batchSize = 256
	workers   = 4
)

// judgeBoth judges a batch side by side; the order stays.
func judgeBoth(batch []Logged, before, after *Set) []change {
	out := make([]change, len(batch))
	var wg sync.WaitGroup
	for n := range workers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := n; i < len(batch); i += workers {
				res := derive.Numbers(batch[i].Record)
				out[i] = change{batch[i], before.Judge(batch[i].Record, res), after.Judge(batch[i].Record, res)}
			}
		}()
	}
	wg.Wait()
	return out
}

// count adds one case to the trial.
func (t *Trial) count(w io.Writer, c change, after *Set) error {
	t.Cases++
	if c.logged.Confirmed != "" {
		t.Confirmed++
		t.RightBefore += one(leader(c.before) == c.logged.Confirmed)
		t.RightNow += one(leader(c.after) == c.logged.Confirmed)
	}
	t.AlarmsBefore += one(alarmed(c.before))
	t.AlarmsNow += one(alarmed(c.after))
	for _, v := range c.after.Verdicts {
		f, ok := t.Fired[v.Rule]
		if !ok {
			continue
		}
		f.Fires++
		if c.logged.Confirmed == "" {
			continue
		}
		if _, supports := after.supports(v.Rule)[c.logged.Confirmed]; supports {
			f.Hits++
		} else {
			f.FalseAlarms++
		}
	}
	if same(c.before, c.after) {
		return nil
	}
	t.Changed++
	_, err := fmt.Fprintf(w, "case %s: %s, %s → %s, %s%s\n", c.logged.Case, c.before.Standing, leader(c.before), c.after.Standing, leader(c.after), confirmedText(c.logged))
	return err
}

func one(b bool) int {
	if b {
		return 1
	}
	return 0
}

func confirmedText(l Logged) string {
	if l.Confirmed == "" {
		return ""
	}
	return " (confirmed: " + l.Confirmed + ")"
}

func leader(j Judgement) string { return j.Causes[0].Name }

func alarmed(j Judgement) bool { return j.Standing == suspect || j.Standing == failed }

// same compares what a person would be told.
func same(a, b Judgement) bool {
	return a.Standing == b.Standing && leader(a) == leader(b) && a.NextCheck.Code == b.NextCheck.Code &&
		slices.Equal(verdictIDs(a), verdictIDs(b))
}

func verdictIDs(j Judgement) []string {
	var ids []string
	for _, v := range j.Verdicts {
		ids = append(ids, v.Rule+"/"+v.Severity)
	}
	sort.Strings(ids)
	return ids
}

// supports is what a rule says it points at.
func (s *Set) supports(id string) map[string]string {
	for _, r := range s.rules {
		if r.ID.Value == id {
			return r.Supports
		}
	}
	return nil
}

// RuleIDs lists the judgements of one file of the set, by the file's name.
func (s *Set) RuleIDs(file string) []string {
	var ids []string
	for _, f := range s.files {
		if f.path != file {
			continue
		}
		for _, r := range f.Rules {
			ids = append(ids, r.ID.Value)
		}
	}
	return ids
}
