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
	Done time.Time // when its readings came, or the message that set it was taken back
	Gone bool      // taken back
}

// FollowUps are all that were ever set, in order, as they stand: the readings that
// fulfil one may be taken back, and so may the message that set it.
func (c Case) FollowUps() []FollowUp {
	if !slices.ContainsFunc(c.Entries, setsVisit) {
		return nil // most cases: nothing of them is to be read
	}
	gone, start := c.takenBack(), c.Watched()
	var all []FollowUp
	var rows []caselog.Visit
	for _, e := range c.Entries {
		switch e.Kind {
		case caselog.KindVisit:
			var v VisitBody
			if json.Unmarshal(e.Body, &v) != nil {
				continue // a reminder
			}
			f := FollowUp{VisitBody: v}
			if at, undone := gone[v.Of]; undone && v.Of > 0 {
				f.Done, f.Gone = at, true
			}
			all = append(all, f)
			rows = append(rows, caselog.Visit{Visit: len(all), Due: v.Due, Done: f.Done})
		case caselog.KindReading:
			b, err := c.reading(e)
			if err != nil {
				continue
			}
			if _, undone := gone[b.Of]; undone {
				continue
			}
			if v, ok := watch.Fulfilled(rows, start, e.At); ok {
				rows[v.Visit-1].Done, all[v.Visit-1].Done = e.At, e.At
			}
		}
	}
	return all
}

// setsVisit: a reminder is a visit's entry, too, and has no body.
func setsVisit(e caselog.Entry) bool { return e.Kind == caselog.KindVisit && len(e.Body) > 0 }

// visits are the follow-up visits that stand.
func (c Case) visits() (out []VisitBody) {
	for _, f := range c.FollowUps() {
		if !f.Gone {
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

// Watched is when the watch of the case began.
func (c Case) Watched() time.Time {
	if !slices.ContainsFunc(c.Entries, setsVisit) {
		return time.Time{}
	}
	gone := c.takenBack()
	for _, e := range c.Entries {
		var v VisitBody
		if !setsVisit(e) || json.Unmarshal(e.Body, &v) != nil {
			continue
		}
		if _, undone := gone[v.Of]; !undone {
			return e.At
		}
	}
	return time.Time{}
}

// watching starts the watch when the compressor has been changed, and says when it
// has come to a good end.
func (s *step) watching(v view) {
	if len(s.read) == 0 {
		return
	}
	swapped := v.rec.Circumstances[vocab.CompressorChanged] && !s.swapped
	switch open := s.c.openVisits(); {
	case swapped && open == 0:
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
	for _, v := range visits {
		s.setVisit(VisitBody{Due: s.in.At.Add(v.Within), Name: v.Name, Wants: v.Wants})
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
		case f.Gone:
		case !f.Done.IsZero():
			s.say(line + "done " + f.Done.Format("Mon 2 Jan") + ".")
		default:
			s.say(line + watch.Wanted(f.Wants))
		}
	}
}
