package rules

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"coldcase/calc/derive"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// TestResult is what the examples inside the rule files gave.
type TestResult struct {
	Passed int
	Failed []error // *Mistake each, at the example
}

// Test runs the examples of every rule.
func (s *Set) Test() TestResult {
	var out TestResult
	for _, f := range s.files {
		for i := range f.Rules {
			r := &f.Rules[i]
			for n, e := range r.Examples {
				if err := r.try(f.path, n, e); err != nil {
					out.Failed = append(out.Failed, err)
				} else {
					out.Passed++
				}
			}
		}
	}
	return out
}

// try runs one example of a rule.
func (r *Rule) try(file string, n int, e Example) error {
	say := func(format string, args ...any) error {
		return mistake(file, r.ID, fmt.Sprintf("%s, example %d: ", r.ID.Value, n+1)+fmt.Sprintf(format, args...))
	}
	env, err := e.lay()
	if err != nil {
		return say("%v", err)
	}
	truth := r.When.truth(env)
	switch {
	case e.Expect.Fires && truth != True:
		return say("should fire and does not (missing: %s)", strings.Join(r.When.missing(env), ", "))
	case e.Expect.Silent && truth == True:
		return say("should stay silent and fires")
	case len(e.Expect.Asks) > 0:
		asks := r.asks(env)
		for _, want := range e.Expect.Asks {
			if !slices.Contains(asks, want) {
				return say("should ask for %s, asks for %v", want, asks)
			}
		}
	}
	return nil
}

// asks turns the missing names of a rule into the keys to ask for.
func (r *Rule) asks(e *env) []string {
	var out []string
	for _, name := range r.When.missing(e) {
		for _, info := range Names() {
			if info.Name == name && info.Ask != "" && !slices.Contains(out, info.Ask) {
				out = append(out, info.Ask)
			}
		}
	}
	return out
}

// lay builds the case that an example gives: readings with their units, facts,
// findings (yes, no), circumstances (told), and numbers by their names.
func (e Example) lay() (*env, error) {
	rec := derive.Record{Facts: vocab.Facts{}, Findings: map[vocab.Finding]bool{}, Circumstances: map[vocab.Circumstance]bool{}}
	direct := map[string]float64{}
	for key, text := range e.Given {
		if err := e.place(&rec, direct, key, text.Value); err != nil {
			return nil, err
		}
	}
	sortObservations(rec.Observations)
	env := newEnv(rec, derive.Numbers(rec))
	known := env.values["isknown"].(map[string]bool)
	for name, v := range direct {
		env.set(name, v)
		known[name] = true
	}
	for _, name := range judgedNames {
		env.values[name] = false
	}
	return env, nil
}

func sortObservations(all []derive.Observation) {
	slices.SortFunc(all, func(a, b derive.Observation) int { return strings.Compare(string(a.Key), string(b.Key)) })
}

func (e Example) place(rec *derive.Record, direct map[string]float64, key, text string) error {
	switch {
	case vocab.IsFact(key):
		rec.Facts[vocab.Fact(key)] = text
		return nil
	case vocab.IsFinding(key):
		rec.Findings[vocab.Finding(key)] = text == "yes" || text == "true"
		return nil
	case text == "told":
		rec.Circumstances[vocab.Circumstance(key)] = true
		return nil
	}
	number, unit, _ := strings.Cut(text, " ")
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return fmt.Errorf("%s: %q is no number", key, text)
	}
	def, ok := vocab.Define(vocab.Key(key))
	if !ok {
		if !slices.ContainsFunc(Names(), func(n NameInfo) bool { return n.Name == key }) {
			return fmt.Errorf("no reading or number is called %s", key)
		}
		direct[key] = v
		return nil
	}
	code := def.Bare
	if unit != "" {
		code = units.Code(unit)
	}
	rec.Observations = append(rec.Observations, derive.Observation{Reading: vocab.Reading{Key: def.Key, Value: v, Unit: code}, Visit: 1, State: vocab.Running})
	return nil
}
