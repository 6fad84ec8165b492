package talk

import (
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/watch"
	"coldcase/refdata/followup"
)

// creeping compares the visits of a watch. What creeps is said, makes the case
// suspect (trade-basis 5.6), and brings another visit soon.
func (s *step) creeping(v *view) {
	visits := s.c.visits()
	if len(visits) == 0 {
		return
	}
	setting, err := followup.BuiltIn()
	if err != nil {
		s.err = err
		return
	}
	rec, numbers := watch.Since(v.rec, v.res.Numbers, s.c.watched())
	v.creeps = watch.Creeping(rec, numbers, setting)
	if len(v.creeps) == 0 {
		return
	}
	if v.j.Standing == "healthy" || v.j.Standing == "undetermined" {
		v.j.Standing = "suspect"
	}
	soon := s.in.At.Add(setting.Extra)
	for _, b := range visits {
		if b.Due.After(s.in.At) && !b.Due.After(soon) {
			return
		}
	}
	var wants []string
	for _, t := range v.creeps {
		wants = append(wants, t.Band.Number)
	}
	body := VisitBody{Due: soon, Name: "one more in 48 hours", Wants: wants}
	s.log(caselog.KindVisit, us, body, s.in.At)
	s.visits = append(s.visits, body)
}

// watched is when the watch of the case began.
func (c Case) watched() time.Time {
	for _, e := range c.Entries {
		if e.Kind == caselog.KindVisit {
			return e.At
		}
	}
	return time.Time{}
}
