package rules

import (
	"bytes"
	"cmp"
	"maps"
	"slices"
	"strings"

	"coldcase/refdata/cautions"
	"coldcase/refdata/vocab"
)

var (
	severities = []string{"note", "caution", "danger"}
	statuses   = []string{"trial", "proven", "retired"}
	// situations are what a step can be for besides causes and faults.
	situations = []string{"dead", "running", "healthy", "any", "refrigerant_in_doubt"}
)

// checking holds every entry against what it must have and what it names.
type checking struct {
	set    *Set
	file   string
	raw    []byte
	causes []string
	faults []string
	rules  map[string]*Rule
	topics []string
	wrong  []error
}

// check holds the whole set; all mistakes come together.
func (s *Set) check() []error {
	c := &checking{set: s, causes: s.CauseNames(), rules: map[string]*Rule{}, topics: sorted(s.topics)}
	for _, f := range s.faults {
		c.faults = append(c.faults, f.Fault.Value)
	}
	for _, r := range s.rules {
		c.rules[r.ID.Value] = r
	}
	for _, f := range s.files {
		c.file, c.raw = f.path, f.raw
		c.checkFile(f)
	}
	if len(s.causes) == 0 {
		c.say(Text{line: 1, col: 1}, "rules without causes can't judge")
	}
	return c.wrong
}

func (c *checking) checkFile(f *File) {
	for i := range f.Rules {
		c.rule(&f.Rules[i])
	}
	for i := range f.Signs {
		c.sign(&f.Signs[i])
	}
	for i := range f.Causes {
		c.causeRule(&f.Causes[i])
	}
	for _, x := range f.RuledOut {
		c.cause(x.Cause, x.Cause.Value)
		c.sourced(x.Cause, x.Sources)
		c.conditioned(x.Cause, x.When)
	}
	for _, m := range f.Marks {
		c.cause(m.Cause, m.Cause.Value)
		c.conditioned(m.Cause, m.When)
	}
	for i := range f.Faults {
		c.fault(&f.Faults[i])
	}
	for _, step := range slices.Concat(f.Checks, f.Plan) {
		c.step(step)
	}
	for _, a := range f.Asks {
		c.askRule(a)
	}
	for _, x := range f.Cautions {
		c.caution(x)
	}
	for _, e := range f.Efforts {
		c.effort(e)
	}
	c.examples(f)
}

func (c *checking) say(at Text, text string) { c.wrong = append(c.wrong, mistake(c.file, at, text)) }

// at is where a key of an entry stands, between its id and the next one; the id's own
// place when it is not found there.
func (c *checking) at(id Text, key string) Text {
	lines := bytes.Split(c.raw, []byte("\n"))
	for n := id.line; n >= 1 && n <= len(lines); n++ {
		line := lines[n-1]
		if n > id.line && bytes.Contains(line, []byte("- id:")) {
			break
		}
		if at := bytes.Index(line, []byte(key+":")); at >= 0 {
			return Text{line: n, col: len([]rune(string(line[:at]))) + 1}
		}
	}
	return id
}

// known says that a name is not among those there are, and which may be meant.
func (c *checking) known(at Text, what, name string, names []string) {
	if slices.Contains(names, name) {
		return
	}
	c.say(at, "no "+what+" is called "+name+meant(name, names))
}

// meant asks for the nearest name, else for one that the typed one begins.
func meant(name string, names []string) string {
	const tells = 4 // letters of a beginning that tell which name
	near := nearestOf(name, names)
	if i := slices.IndexFunc(names, func(n string) bool { return strings.HasPrefix(n, name) }); near == "" && i >= 0 && len(name) >= tells {
		near = names[i]
	}
	if near == "" {
		return ""
	}
	return "; did you mean " + near + "?"
}

func (c *checking) cause(at Text, name string) { c.known(at, "cause", name, c.causes) }

func (c *checking) sourced(at Text, sources []Source) {
	if len(sources) == 0 {
		c.say(at, "it needs a source; \"common practice\" will do where the trade just knows it")
	}
}

func (c *checking) conditioned(at Text, w When) {
	if w.empty() {
		c.say(at, "it needs a condition: when")
	}
}

// rule holds a judgement.
func (c *checking) rule(r *Rule) {
	if r.ID.Value == "" {
		c.say(r.ID, "a rule needs an id")
	}
	if !slices.Contains(severities, r.Severity) {
		c.say(c.at(r.ID, "severity"), "severity is note, caution or danger")
	}
	if !slices.Contains(statuses, r.Status) {
		c.say(c.at(r.ID, "status"), "status is trial, proven or retired")
	}
	if len(r.AlsoLooksLike) == 0 {
		c.say(r.ID, "say what else looks like this: also_looks_like")
	}
	c.conditioned(r.ID, r.When)
	c.sourced(r.ID, r.Sources)
	if r.NextCheck != "" && c.set.topics[r.NextCheck] == "" {
		c.say(c.at(r.ID, "next_check"), "no words for the topic "+r.NextCheck+cmp.Or(meant(r.NextCheck, c.topics), ": add it under topics"))
	}
	for _, cause := range sorted(r.Supports) {
		c.cause(c.at(r.ID, cause), cause)
		if s := r.Supports[cause]; s != "strong" && s != "some" {
			c.say(c.at(r.ID, cause), "supports "+cause+": want strong or some")
		}
	}
	c.successor(r)
}

// causeRule holds a base rate against what evidence can outweigh.
func (c *checking) causeRule(r *CauseRule) {
	const most = 3 // nats; two strong signs
	for _, p := range append(slices.Collect(maps.Values(r.ByType)), r.Prior) {
		if !(p >= -most && p <= most) {
			c.say(r.Name, "a base rate is -3 to 3 nats")
		}
	}
}

// successor: a retired rule names the one that took its place, and the line of
// successors has an end.
func (c *checking) successor(r *Rule) {
	switch {
	case r.Successor == "" && r.Status == "retired":
		c.say(r.ID, "a retired rule names its successor")
	case r.Successor != "" && c.rules[r.Successor] == nil:
		c.known(r.ID, "rule", r.Successor, sorted(c.rules))
	case circular(r, c.rules):
		c.say(r.ID, "the successors go round in a circle: "+r.Successor)
	}
}

// sign holds a piece of evidence.
func (c *checking) sign(g *Sign) {
	if g.ID.Value == "" {
		c.say(g.ID, "a sign needs an id")
	}
	if g.Finding == "" {
		c.conditioned(g.ID, g.When)
	} else {
		c.known(g.ID, "finding", g.Finding, findingNames())
	}
	c.sourced(g.ID, g.Sources)
	for _, name := range sorted(g.Says) {
		c.cause(g.ID, name)
		if _, ok := strengths[g.Says[name].Strength]; !ok {
			c.say(g.ID, name+": strength is strong_for, for, against or strong_against")
		}
	}
}

func findingNames() []string {
	var names []string
	for _, f := range vocab.AllFindings() {
		names = append(names, string(f))
	}
	return names
}

func (c *checking) fault(f *FaultRule) {
	if f.Standing != Likely && f.Standing != Possible {
		c.say(f.Fault, "the standing of a fault is likely or possible")
	}
	c.conditioned(f.Fault, f.When)
	c.sourced(f.Fault, f.Sources)
}

func (c *checking) step(s Step) {
	if c.set.topics[s.Topic.Value] == "" {
		c.say(s.Topic, "no words for the topic "+s.Topic.Value+meant(s.Topic.Value, c.topics))
	}
	if names := slices.Concat(c.causes, c.faults, situations); !slices.Contains(names, s.For) {
		c.say(s.Topic, "for names no cause, fault or situation: "+s.For+meant(s.For, names))
	}
}

func (c *checking) askRule(a AskRule) {
	for _, cause := range a.Stand {
		c.cause(a.ID, cause)
	}
	for _, key := range a.Keys {
		if _, reading := vocab.Define(vocab.Key(key.Value)); !reading && !vocab.IsFact(key.Value) && !vocab.IsFinding(key.Value) {
			c.known(key, "reading, fact or finding", key.Value, askable())
		}
	}
}

func askable() []string {
	names := findingNames()
	for _, d := range vocab.Definitions() {
		names = append(names, string(d.Key))
	}
	for _, f := range vocab.AllFacts() {
		names = append(names, string(f))
	}
	return names
}

func (c *checking) caution(x CautionRule) {
	c.known(x.ID, "caution", x.ID.Value, sorted(cautions.All()))
	for _, cause := range x.Stand {
		c.cause(x.ID, cause)
	}
	for _, topic := range x.Check {
		c.known(x.ID, "topic", topic, c.topics)
	}
}

// examples holds everything with a condition against having examples.
func (c *checking) examples(f *File) {
	for _, subject := range f.subjects() {
		if err := subject.lacks(); err != nil {
			c.wrong = append(c.wrong, err)
		}
		if f.folder == 0 {
			continue // the built-in ones are laid by their test
		}
		for _, e := range subject.examples {
			if _, m := e.lay(); m != nil {
				c.wrong = append(c.wrong, m.in(f.path))
			}
		}
	}
}
