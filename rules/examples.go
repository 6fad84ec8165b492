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

// Test runs the examples of everything that has a condition.
func (s *Set) Test() TestResult { return test(s.files) }

// TestAdded runs those of the files beside the built-in ones.
func (s *Set) TestAdded() TestResult {
	return test(slices.DeleteFunc(slices.Clone(s.files), func(f *File) bool { return f.folder == 0 }))
}

func test(files []*File) TestResult {
	var out TestResult
	for _, f := range files {
		for _, subject := range f.subjects() {
			for n, e := range subject.examples {
				if err := subject.try(n, e); err != nil {
					out.Failed = append(out.Failed, err)
				} else {
					out.Passed++
				}
			}
		}
	}
	return out
}

// try runs one example.
func (s subject) try(n int, e Example) error {
	say := func(format string, args ...any) error {
		at := s.at
		if len(e.Given) > 0 {
			at = e.Given[0].Key
		}
		return mistake(s.file, at, fmt.Sprintf("%s %s, example %d: ", s.kind, s.name, n+1)+fmt.Sprintf(format, args...))
	}
	env, err := e.lay()
	if err != nil {
		return err.in(s.file)
	}
	holds := s.holds(env)
	switch {
	case e.Expect.Fires && holds <= 0:
		if missing := s.missing(env); len(missing) > 0 {
			return say("should fire and does not (missing: %s)", strings.Join(missing, ", "))
		}
		return say("should fire and does not%s", s.with(env))
	case e.Expect.Silent && holds > 0:
		return say("should stay silent and fires%s", s.with(env))
	}
	if want, got := lacking(e.Expect.Asks, s.asks(env)); want != "" {
		return say("should ask for %s, asks for %v", want, got)
	}
	if want, got := lacking(e.Expect.For, s.causes(holds)); want != "" {
		return say("should speak for %s, speaks for %v", want, got)
	}
	if want, got := lacking(e.Expect.Against, s.causes(-holds)); want != "" {
		return say("should speak against %s, speaks against %v", want, got)
	}
	return nil
}

// with lists the numbers that the conditions saw.
func (s subject) with(e *env) string {
	var seen []string
	for _, w := range s.when {
		for _, c := range w.cond {
			for _, p := range c.needs {
				if v, ok := e.number(p.info.Name); ok && p.kind == number {
					seen = append(seen, fmt.Sprintf("%s %.1f", p.info.Name, v))
				}
			}
		}
	}
	slices.Sort(seen)
	if seen = slices.Compact(seen); len(seen) == 0 {
		return ""
	}
	return " (with " + strings.Join(seen, ", ") + ")"
}

func lacking(want, got []string) (string, []string) {
	for _, w := range want {
		if !slices.Contains(got, w) {
			return w, got
		}
	}
	return "", nil
}

// causes that a sign speaks for when it counts by this much.
func (s subject) causes(holds float64) []string {
	var out []string
	for cause, saying := range s.says {
		if strengths[saying.Strength]*holds > 0 {
			out = append(out, cause)
		}
	}
	slices.Sort(out)
	return out
}

// asks turns the missing names into the keys to ask for.
func (s subject) asks(e *env) []string {
	var out []string
	for _, name := range s.missing(e) {
		for _, info := range Names() {
			if info.Name == name && info.Ask != "" && !slices.Contains(out, info.Ask) {
				out = append(out, info.Ask)
			}
		}
	}
	return out
}

// laying gathers the case of an example.
type laying struct {
	rec    derive.Record
	direct map[string]float64 // computed numbers by name
	judged map[string]bool    // how the case stands
}

// lay builds the case that an example gives.
func (e Example) lay() (*env, *Mistake) {
	l := laying{derive.Record{Facts: vocab.Facts{}, Findings: map[vocab.Finding]bool{}, Circumstances: map[vocab.Circumstance]bool{}}, map[string]float64{}, map[string]bool{}}
	for _, said := range e.Given {
		if err := l.put(said.Key.Value, said.Value.Value); err != nil {
			return nil, &Mistake{Line: said.Key.line, Col: said.Key.col, Text: err.Error()}
		}
	}
	slices.SortFunc(l.rec.Observations, func(a, b derive.Observation) int { return strings.Compare(string(a.Key), string(b.Key)) })
	env := newEnv(l.rec, derive.Numbers(l.rec))
	for name, v := range l.direct {
		env.set(name, v)
	}
	for _, name := range judgedNames {
		env.setTruth(name, l.judged[name])
	}
	return env, nil
}

func (l *laying) put(key, text string) error {
	switch {
	case vocab.IsFact(key):
		l.rec.Facts[vocab.Fact(key)] = text
	case vocab.IsFinding(key):
		yes, err := yesNo(key, text)
		l.rec.Findings[vocab.Finding(key)] = yes
		return err
	case slices.Contains(judgedNames, key):
		yes, err := yesNo(key, text)
		l.judged[key] = yes
		return err
	case isCircumstance(key):
		if text != "told" {
			return fmt.Errorf("%s: a circumstance is told", key)
		}
		l.rec.Circumstances[vocab.Circumstance(key)] = true
	default:
		return l.putNumber(key, text)
	}
	return nil
}

func yesNo(key, text string) (bool, error) {
	switch text {
	case "yes", "true":
		return true, nil
	case "no", "false":
		return false, nil
	}
	return false, fmt.Errorf("%s: say yes or no, not %q", key, text)
}

func isCircumstance(key string) bool {
	return slices.Contains(vocab.AllCircumstances(), vocab.Circumstance(key))
}

func (l *laying) putNumber(key, text string) error {
	number, unit, _ := strings.Cut(text, " ")
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return fmt.Errorf("%s: %q is no number", key, text)
	}
	def, ok := vocab.Define(vocab.Key(key))
	if !ok {
		return l.putDirect(key, v)
	}
	code := def.Bare
	if unit != "" {
		code = units.Code(unit)
	}
	l.rec.Observations = append(l.rec.Observations, derive.Observation{Reading: vocab.Reading{Key: def.Key, Value: v, Unit: code}, Visit: 1, State: vocab.Running})
	return nil
}

// putDirect takes a computed number by its name in expressions.
func (l *laying) putDirect(key string, v float64) error {
	var names []string
	for _, n := range Names() {
		if n.Name == key {
			l.direct[key] = v
			return nil
		}
		names = append(names, n.Name)
	}
	return fmt.Errorf("no reading or number is called %s%s", key, meant(key, append(names, askable()...)))
}
