package talk

import (
	"coldcase/bot/watch"
	"coldcase/calc/derive"
	"coldcase/refdata/followup"
	"coldcase/rules"
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
	if v.creeps, v.j.Standing = s.c.Creeps(v.rec, v.res, v.j, setting); len(v.creeps) == 0 {
		return
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
	s.setVisit(body)
}

// Creeps tells what creeps over the visits of a case's watch, and where the case
// stands with it.
func (c Case) Creeps(rec derive.Record, res derive.Result, j rules.Judgement, s followup.Setting) ([]watch.Trend, string) {
	if len(c.visits()) == 0 {
		return nil, j.Standing
	}
	since, numbers := watch.Since(rec, res.Numbers, c.Watched())
	creeps := watch.Creeping(since, numbers, s)
	if len(creeps) > 0 && (j.Standing == "healthy" || j.Standing == "undetermined") {
		return creeps, "suspect"
	}
	return creeps, j.Standing
}
