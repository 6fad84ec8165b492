package talk

import (
	"maps"
	"slices"
	"strings"

	"coldcase/bot/intake"
	"coldcase/calc/answer"
	"coldcase/refdata/vocab"
)

// settle keeps what is no reading of a case, such as an evaporating temperature, out
// of it.
func settle(m intake.Message) intake.Message {
	m.Readings = slices.DeleteFunc(slices.Clone(m.Readings), func(r intake.Reading) bool {
		_, ok := vocab.Define(r.Key)
		return !ok
	})
	return m
}

// answerQuestions computes what was asked for, and makes the answer be of that.
func (s *step) answerQuestions(v view) {
	for _, m := range s.read {
		if m.Question == nil || !answer.Known(m.Question.About) {
			continue
		}
		r := answer.Answer(s.asking(v, m))
		a := &s.answer
		for _, l := range r.Lines {
			a.Said = append(a.Said, sentence(l))
		}
		if r.Doubt != "" {
			a.Said = append(a.Said, r.Doubt)
		}
		if len(r.Assumed) > 0 {
			a.Said = append(a.Said, "(taken: "+strings.Join(r.Assumed, "; ")+")")
		}
		a.Err = r.Err
		a.Next, a.Question, a.Asked, a.Missing = "", "", "", nil
		if len(r.Missing) > 0 {
			a.Question, a.Asked = "To work that out I need: "+wants(r.Missing)+".", string(r.Missing[0].Key)
		}
		a.Findings = slices.DeleteFunc(a.Findings, func(f Finding) bool { return f.Severity == "ok" || f.Severity == "watch" })
		for i := range a.Numbers {
			a.Numbers[i].Minor = a.Numbers[i].Minor || !a.Numbers[i].Under
		}
	}
}

// asking puts what the question gives over what the case holds.
func (s *step) asking(v view, m intake.Message) answer.Ask {
	q := answer.Ask{About: m.Question.About, Refrigerant: v.rec.Facts[vocab.Refrigerant], Facts: maps.Clone(v.rec.Facts), Values: map[vocab.Key]vocab.Reading{}, On: s.in.At, Metric: s.p.Metric}
	for _, o := range v.rec.Observations {
		q.Values[o.Key] = o.Reading
	}
	for _, r := range append(slices.Clone(m.Readings), m.Question.Given...) {
		q.Values[r.Key] = r.Reading
	}
	return q
}

func wants(all []answer.Missing) string {
	var out []string
	for _, m := range all {
		out = append(out, strings.TrimSuffix(m.Why, "."))
	}
	return strings.Join(out, "; ")
}
