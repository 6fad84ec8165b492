package rules

import (
	"fmt"
	"io"
	"iter"
	"runtime"
	"slices"
	"sort"
	"strings"

	"coldcase/calc/derive"
)

// Logged is one case of the record that new rules are tried on.
type Logged struct {
	Case      string
	Record    func() (derive.Record, error) // called on another goroutine, once
	Confirmed string                        // cause that it was closed with; "" while nobody knows
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
	FalseAlarms int // on cases closed with another cause, or as sound
}

// change is one case whose judgement would differ.
type change struct {
	logged        Logged
	before, after Judgement
}

// Try judges every logged case by the rules in force and by the new ones, on all
// processors while the log is read, and writes a line for each case that would
// change, in the order of the log. Memory does not grow with the log.
func Try(w io.Writer, before, after *Set, tried []string, log iter.Seq2[Logged, error]) (Trial, error) {
	t := Trial{Fired: map[string]*Firing{}}
	for _, id := range tried {
		t.Fired[id] = &Firing{}
	}
	under := make(chan *batch, 2*runtime.GOMAXPROCS(0)) // in order; full, it holds the reader back
	stop := make(chan struct{})
	var read error
	go func() {
		defer close(under)
		read = split(log, under, stop, before, after)
	}()
	var failed error
	for b := range under {
		if <-b.judged; failed == nil {
			failed = t.countAll(w, b, after)
			if failed != nil {
				close(stop)
			}
		}
	}
	if failed == nil && read != nil {
		failed = fmt.Errorf("read the log: %w", read)
	}
	return t, failed
}

const batchSize = 64

// batch is some cases of the log on their way to being judged.
type batch struct {
	logged []Logged
	out    []change
	err    error
	judged chan struct{}
}

// split cuts the log into batches and sets each going.
func split(log iter.Seq2[Logged, error], under chan<- *batch, stop <-chan struct{}, before, after *Set) error {
	b := &batch{judged: make(chan struct{})}
	send := func() bool {
		select {
		case under <- b:
			go b.judge(before, after)
			b = &batch{judged: make(chan struct{})}
			return true
		case <-stop:
			return false
		}
	}
	for l, err := range log {
		if err != nil {
			return err
		}
		if b.logged = append(b.logged, l); len(b.logged) == batchSize && !send() {
			return nil
		}
	}
	send()
	return nil
}

// judge both ways.
func (b *batch) judge(before, after *Set) {
	defer close(b.judged)
	for _, l := range b.logged {
		rec, err := l.Record()
		if err != nil {
			b.err = fmt.Errorf("case %s: %w", l.Case, err)
			return
		}
		res := derive.Numbers(rec)
		b.out = append(b.out, change{l, before.Judge(rec, res), after.Judge(rec, res)})
	}
}

func (t *Trial) countAll(w io.Writer, b *batch, after *Set) error {
	if b.err != nil {
		return b.err
	}
	for _, c := range b.out {
		if err := t.count(w, c, after); err != nil {
			return err
		}
	}
	return nil
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
	t.countFired(c, after)
	if same(c.before, c.after) {
		return nil
	}
	t.Changed++
	_, err := fmt.Fprintf(w, "case %s: %s%s\n", c.logged.Case, strings.Join(c.differences(), "; "), confirmedText(c.logged))
	return err
}

// countFired counts the judgements and signs of the tried file that spoke.
func (t *Trial) countFired(c change, after *Set) {
	for id, f := range t.Fired {
		fired, points := c.after.points(id, after)
		if !fired {
			continue
		}
		f.Fires++
		switch {
		case c.logged.Confirmed == "":
		case len(points) == 0 && c.logged.Confirmed != noneCause: // it blames nothing: neither right nor wrong
		case slices.Contains(points, c.logged.Confirmed):
			f.Hits++
		default:
			f.FalseAlarms++
		}
	}
}

// points tells whether a judgement or sign spoke, and the causes that it points at.
func (j Judgement) points(id string, s *Set) (fired bool, causes []string) {
	for _, v := range j.Verdicts {
		if v.Rule == id {
			return true, sorted(s.supports(id))
		}
	}
	for _, c := range j.Causes {
		for _, ev := range c.For {
			if ev.Rule == id {
				causes = append(causes, c.Name)
			}
		}
	}
	return len(causes) > 0, causes
}

// differences say what a person would be told otherwise.
func (c change) differences() []string {
	var out []string
	from, to := c.before.Standing+", "+leader(c.before), c.after.Standing+", "+leader(c.after)
	if from != to {
		to = from + " → " + to
	}
	out = append(out, to)
	was, is := verdictIDs(c.before), verdictIDs(c.after)
	for _, id := range is {
		if !slices.Contains(was, id) {
			out = append(out, "+ "+id)
		}
	}
	for _, id := range was {
		if !slices.Contains(is, id) {
			out = append(out, "- "+id)
		}
	}
	if a, b := c.before.NextCheck.Code, c.after.NextCheck.Code; a != b {
		out = append(out, "next check "+a+" → "+b)
	}
	return out
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
		ids = append(ids, v.Rule+" ("+v.Severity+")")
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

// RuleIDs lists the judgements and signs of one file of the set, by the file's name.
func (s *Set) RuleIDs(file string) []string {
	var ids []string
	for _, f := range s.files {
		if f.path != file {
			continue
		}
		for _, r := range f.Rules {
			ids = append(ids, r.ID.Value)
		}
		for _, g := range f.Signs {
			ids = append(ids, g.ID.Value)
		}
	}
	return ids
}
