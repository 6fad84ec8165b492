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

// answerQuestions computes what was asked for, and what the tests of a message tell
// by themselves.
func (s *step) answerQuestions(v view) {
	for _, m := range s.read {
		if m.Question != nil && m.Question.Own && len(m.Asks) > 0 {
			s.answer.Answers = true
			continue // no plan on a number that can't be: it is asked about
		}
		for _, about := range asked(m) {
			s.answerOne(answer.Answer(s.asking(v, m, about)), m)
		}
	}
}

// asked is what a message asks for, or the tests that its readings are of.
func asked(m intake.Message) []string {
	if m.Question != nil && answer.Known(m.Question.About) {
		return []string{m.Question.About}
	}
	var tests []string
	for _, t := range selfTelling {
		if !slices.ContainsFunc(t.needs, func(k vocab.Key) bool { return !has(m, k) }) {
			tests = append(tests, t.about)
		}
	}
	return tests
}

// selfTelling are the tests that readings alone suffice for.
var selfTelling = []struct {
	about string
	needs []vocab.Key
}{
	{answer.Vacuum, []vocab.Key{vocab.VacuumLevel, vocab.VacuumRiseLevel, vocab.VacuumHoldTime}},
	{answer.HoldingTest, []vocab.Key{vocab.TestPressureStart, vocab.TestPressureEnd, vocab.TestTempStart, vocab.TestTempEnd}},
	{answer.Insulation, []vocab.Key{vocab.InsulationMegohms}},
	{answer.Voltage, []vocab.Key{vocab.VoltsAb, vocab.VoltsBc, vocab.VoltsCa}},
	{answer.PumpdownLeak, []vocab.Key{vocab.PumpdownPressure, vocab.PumpdownRisePressure, vocab.PumpdownWaitTime}},
	{answer.ShortCycling, []vocab.Key{vocab.StartsPerHour}},
	{answer.LPControl, []vocab.Key{vocab.CutInPressure, vocab.CutOutPressure}},
	{answer.SuctionFilter, []vocab.Key{vocab.SuctionFilterDrop}},
}

func has(m intake.Message, k vocab.Key) bool {
	return slices.ContainsFunc(m.Readings, func(r intake.Reading) bool { return r.Key == k })
}

// answerOne says one answer. A plan takes the place of what is wanted next for the
// case; a test stands beside it.
func (s *step) answerOne(r answer.Result, m intake.Message) {
	a := &s.answer
	asks := m.Question != nil && m.Question.Asks
	if len(r.Missing) > 0 && !asks {
		if len(r.Lines) == 0 {
			return // said in passing
		}
		r.Missing = nil
	}
	a.Answers = a.Answers || asks
	for _, l := range r.Lines {
		a.Said = append(a.Said, sentence(l))
	}
	if r.Doubt != "" {
		a.Said = append(a.Said, r.Doubt)
	}
	if len(r.Assumed) > 0 {
		a.Said = append(a.Said, "(taken: "+strings.Join(r.Assumed, "; ")+")")
	}
	if r.Err != nil {
		a.Err = r.Err
	}
	askedAlready := slices.ContainsFunc(m.Asks, func(k intake.Ask) bool {
		return slices.ContainsFunc(r.Missing, func(w answer.Missing) bool { return string(w.Key) == k.Key })
	})
	if len(r.Missing) > 0 && !askedAlready {
		a.Question, a.Asked = "To work that out I need: "+wants(r.Missing)+".", string(r.Missing[0].Key)
	}
	if m.Question == nil {
		return
	}
	if len(r.Missing) == 0 && (m.Question.Asks || a.Asked == string(vocab.Refrigerant)) {
		a.Question, a.Asked = "", "" // the tech asked; nothing is asked back
	}
	if !m.Question.Own {
		return
	}
	a.Next, a.Missing = "", nil
	a.Findings = slices.DeleteFunc(a.Findings, func(f Finding) bool { return f.Severity == "ok" || f.Severity == "watch" })
	for i := range a.Numbers {
		a.Numbers[i].Minor = a.Numbers[i].Minor || !a.Numbers[i].Under
	}
}

// asking puts what the question gives over what the case holds.
func (s *step) asking(v view, m intake.Message, about string) answer.Ask {
	q := answer.Ask{
		About: about, Refrigerant: v.rec.Facts[vocab.Refrigerant], Facts: maps.Clone(v.rec.Facts), Findings: v.rec.Findings, Told: v.rec.Circumstances,
		Values: map[vocab.Key]vocab.Reading{}, On: s.in.At, Metric: s.p.Metric, Said: m.Said,
	}
	for _, o := range v.rec.Observations {
		q.Values[o.Key] = o.Reading
	}
	given := slices.Clone(m.Readings)
	if m.Question != nil {
		given = append(given, m.Question.Given...)
	}
	for _, r := range given {
		q.Values[r.Key] = r.Reading
		q.Standing = q.Standing || r.State == vocab.Standing
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
