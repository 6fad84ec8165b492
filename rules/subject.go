package rules

import (
	"fmt"
	"maps"
	"slices"
)

// subject is anything of a rule file that has a condition, with what its examples
// are run on.
type subject struct {
	file     string
	kind     string // as a person calls it: rule, sign, caution
	name     string
	at       Text
	when     []*When // any of them unknown asks
	examples []Example
	holds    func(*env) float64 // 1 fires, 0 silent, below 0 speaks the other way
	says     map[string]Saying  // of a sign
	finding  string             // of a sign
}

// subjects lists what carries a condition in a file.
func (f *File) subjects() []subject {
	var all []subject
	add := func(kind, name string, at Text, examples []Example, when, unless *When) {
		if when.empty() && unless.empty() {
			return
		}
		all = append(all, subject{f.path, kind, name, at, []*When{when, unless}, examples, both(when, unless), nil, ""})
	}
	none := new(When)
	for i := range f.Rules {
		r := &f.Rules[i]
		add("rule", r.ID.Value, r.ID, r.Examples, &r.When, none)
	}
	for i := range f.Signs {
		g := &f.Signs[i]
		all = append(all, subject{f.path, "sign", g.ID.Value, g.ID, []*When{&g.When, &g.Unless}, g.Examples, g.holds, g.Says, g.Finding})
	}
	for i := range f.RuledOut {
		x := &f.RuledOut[i]
		add("exclusion of", x.Cause.Value, x.Cause, x.Examples, &x.When, &x.Unless)
	}
	for i := range f.Marks {
		m := &f.Marks[i]
		add("mark of", m.Cause.Value, m.Cause, m.Examples, &m.When, none)
	}
	for i := range f.Faults {
		x := &f.Faults[i]
		add("fault", x.Fault.Value, x.Fault, x.Examples, &x.When, none)
	}
	for i := range f.Checks {
		s := &f.Checks[i]
		add("check for "+s.For+":", s.Topic.Value, s.Topic, s.Examples, &s.When, &s.Unless)
	}
	for i := range f.Plan {
		s := &f.Plan[i]
		add("plan for "+s.For+":", s.Topic.Value, s.Topic, s.Examples, &s.When, &s.Unless)
	}
	for i := range f.Asks {
		a := &f.Asks[i]
		if len(a.Keys) > 0 {
			add("ask for", a.Keys[0].Value, a.Keys[0], a.Examples, &a.When, none)
		}
	}
	for i := range f.Cautions {
		c := &f.Cautions[i]
		add("caution", c.ID.Value, c.ID, c.Examples, &c.When, &c.Unless)
	}
	return all
}

// both holds when a condition does and its exception does not.
func both(when, unless *When) func(*env) float64 {
	return func(e *env) float64 {
		if (when.empty() || when.truth(e) == True) && !unless.holds(e) {
			return 1
		}
		return 0
	}
}

// lacks says what is missing of a subject's examples; nil when nothing is.
func (s subject) lacks() error {
	fires, silent := false, false
	for _, e := range s.examples {
		fires = fires || e.Expect.Fires || len(e.Expect.For)+len(e.Expect.Against) > 0
		silent = silent || e.Expect.Silent
	}
	if fires && silent {
		return nil
	}
	return mistake(s.file, s.at, fmt.Sprintf("%s %s needs an example that fires and one that stays silent (coldcase rules propose %s writes a start)", s.kind, s.name, s.file))
}

// missing lists the names that keep the conditions unknown.
func (s subject) missing(e *env) []string {
	var out []string
	for _, w := range s.when {
		out = append(out, w.missing(e)...)
	}
	return out
}

// sorted are the keys of a map in order.
func sorted[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
