package talk

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/intake"
	"coldcase/bot/watch"
	"coldcase/refdata/followup"
	"coldcase/refdata/vocab"
)

// FollowUp is a follow-up visit as it stands.
type FollowUp struct {
	VisitBody
	Done    time.Time // when its readings came, its watch ended, or the message that set it was taken back
	Gone    bool      // taken back
	Earlier bool      // of a watch whose place another one took
}

// FollowUps are all that were ever set, in order, as they stand: the readings that
// fulfil one may be taken back, and so may the message that set it.
func (c Case) FollowUps() []FollowUp {
	all, _ := c.watches()
	return all
}

// Watched is when the watch of the case began, the newest one.
func (c Case) Watched() time.Time {
	_, start := c.watches()
	return start
}

func (c Case) watches() ([]FollowUp, time.Time) {
	if !slices.ContainsFunc(c.Entries, setsVisit) {
		return nil, time.Time{} // most cases: nothing of them is to be read
	}
	w := watches{gone: c.takenBack(), anew: map[int]bool{}}
	for _, e := range c.Entries {
		if v, ok := visitSet(e); ok && v.Anew {
			w.anew[v.Of] = true
		}
	}
	for _, e := range c.Entries {
		if v, ok := visitSet(e); ok {
			w.set(v, e.At)
			continue
		}
		if e.Kind != caselog.KindReading {
			continue
		}
		if b, err := c.reading(e); err == nil {
			w.read(b.Of, e.At)
		}
	}
	return w.all, w.start
}

// watches goes through what was set and what came.
type watches struct {
	gone  map[int]time.Time // messages that were taken back
	anew  map[int]bool      // messages that began a watch anew
	all   []FollowUp
	rows  []caselog.Visit
	from  int // the first visit of the newest watch
	start time.Time
}

func (w *watches) set(v VisitBody, at time.Time) {
	f := FollowUp{VisitBody: v}
	undoneAt, undone := w.gone[v.Of]
	switch {
	case undone && v.Of > 0:
		f.Done, f.Gone = undoneAt, true
	case v.Anew, w.start.IsZero():
		w.end(at)
		w.from, w.start = len(w.all), at
	}
	w.all = append(w.all, f)
	w.rows = append(w.rows, caselog.Visit{Visit: len(w.all), Due: v.Due, Done: f.Done})
}

// end leaves what was set so far to an earlier watch.
func (w *watches) end(at time.Time) {
	for i := range w.all {
		w.all[i].Earlier = true
		if w.all[i].Done.IsZero() {
			w.all[i].Done = at
		}
	}
}

// read fulfils a visit; what a watch began with is none of the one before it.
func (w *watches) read(of int, at time.Time) {
	if _, undone := w.gone[of]; undone || w.anew[of] {
		return
	}
	if v, ok := watch.Fulfilled(w.rows[w.from:], w.start, at); ok {
		w.rows[v.Visit-1].Done, w.all[v.Visit-1].Done = at, at
	}
}

// setsVisit: a reminder is a visit's entry, too, and has no body.
func setsVisit(e caselog.Entry) bool { return e.Kind == caselog.KindVisit && len(e.Body) > 0 }

func visitSet(e caselog.Entry) (v VisitBody, ok bool) {
	return v, setsVisit(e) && json.Unmarshal(e.Body, &v) == nil
}

// visits are the follow-up visits of the watch that stand.
func (c Case) visits() (out []VisitBody) {
	for _, f := range c.FollowUps() {
		if !f.Gone && !f.Earlier {
			out = append(out, f.VisitBody)
		}
	}
	return out
}

// openVisits counts the visits whose readings have not come.
func (c Case) openVisits() (n int) {
	for _, f := range c.FollowUps() {
		if f.Done.IsZero() {
			n++
		}
	}
	return n
}

// watching starts the watch when the compressor has been changed, anew when another
// one is, and says when it has come to a good end.
func (s *step) watching(v view) {
	if len(s.read) == 0 {
		return
	}
	swapped := v.rec.Circumstances[vocab.CompressorChanged] && !s.swapped
	switch open := s.c.openVisits(); {
	case swapped && (open == 0 || s.in.At.Sub(s.c.Watched()) > quiet):
		if open > 0 {
			s.say("The watch begins anew with the compressor that is in; the visits before stay on record.")
		}
		s.startWatch()
		s.sayVisits()
	case open == 0 && s.due > 0 && len(v.creeps) == 0:
		s.say(fmt.Sprintf("The watch is over: all %d follow-up visits are in and nothing creeps.", len(s.c.visits())))
	}
}

// watchFitted starts the watch when what was fitted is a compressor.
func (s *step) watchFitted(what string) {
	if s.Reader.Read(what, intake.Context{}).Circumstances[vocab.CompressorChanged] && s.c.openVisits() == 0 {
		s.startWatch()
		s.sayVisits()
	}
}

func (s *step) sayVisits() {
	var days []string
	for _, f := range s.c.FollowUps() {
		if f.Done.IsZero() {
			days = append(days, f.Due.Format("Mon 2 Jan"))
		}
	}
	s.say("Follow-up visits by " + strings.Join(days, ", ") + ". I remind you.")
}

// startWatch sets the visits of the setting.
func (s *step) startWatch() {
	visits, err := followup.Visits()
	if err != nil {
		s.err = err
		return
	}
	again := len(s.c.visits()) > 0
	for i, v := range visits {
		s.setVisit(VisitBody{Due: s.in.At.Add(v.Within), Name: v.Name, Wants: v.Wants, Anew: again && i == 0})
	}
}

// setVisit belongs to the message in hand: it goes when that is taken back.
func (s *step) setVisit(body VisitBody) {
	for _, e := range s.c.Entries {
		if e.Kind == caselog.KindMessage {
			body.Of = e.Seq
		}
	}
	s.log(caselog.KindVisit, us, body, s.in.At)
}

// watch starts the follow-up visits of the case, or shows them.
func (s *step) watch() {
	if len(s.c.Entries) == 0 {
		s.say("No case to watch yet. Send readings or what you see and I open one.")
		return
	}
	s.answer.Case = s.c.Number.String()
	s.logMessage(s.in)
	if len(s.c.visits()) == 0 {
		s.startWatch()
	}
	for _, f := range s.c.FollowUps() {
		switch line := upper(f.Name) + ", by " + f.Due.Format("Mon 2 Jan") + ": "; {
		case f.Gone, f.Earlier:
		case !f.Done.IsZero():
			s.say(line + "done " + f.Done.Format("Mon 2 Jan") + ".")
		default:
			s.say(line + watch.Wanted(f.Wants))
		}
	}
}
