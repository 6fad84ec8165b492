package rules

import (
	"slices"
	"strings"
)

// add compiles a file's entries into the set.
func (s *Set) add(f *File, c *compiler, folder int) (wrong []error) {
	f.folder = folder
	s.files = append(s.files, f)
	for _, w := range f.conditions() {
		wrong = append(wrong, w.compile(f, c)...)
	}
	lists := []func() []error{
		putAll(&s.rules, f.Rules, folder, f.path), putAll(&s.signs, f.Signs, folder, f.path),
		putAll(&s.causes, f.Causes, folder, f.path), putAll(&s.ruledOut, f.RuledOut, folder, f.path),
		putAll(&s.marks, f.Marks, folder, f.path), putAll(&s.faults, f.Faults, folder, f.path),
		putAll(&s.plan, f.Plan, folder, f.path), putAll(&s.asks, f.Asks, folder, f.path),
		putAll(&s.cautions, f.Cautions, folder, f.path), putAll(&s.efforts, f.Efforts, folder, f.path),
	}
	builtIn := map[string]bool{}
	for _, step := range s.checks {
		id, _ := step.identity()
		builtIn[id.Value] = step.folder == 0
	}
	lists = append(lists, putAll(&s.checks, f.Checks, folder, f.path))
	for _, list := range lists {
		wrong = append(wrong, list()...)
	}
	s.checks = ownFirst(s.checks, builtIn)
	for i := range f.Signs {
		f.Signs[i].compile()
	}
	for k, v := range f.Topics {
		s.topics[k] = v
	}
	return wrong
}

// putAll puts each entry of a file's list into the list of the set.
func putAll[T any, P interface {
	*T
	entry
}](to *[]P, from []T, folder int, file string) func() []error {
	return func() (wrong []error) {
		for i := range from {
			wrong = append(wrong, put(to, P(&from[i]), folder, file)...)
		}
		return wrong
	}
}

// conditions lists every condition of a file.
func (f *File) conditions() []*When {
	var all []*When
	for i := range f.Rules {
		all = append(all, &f.Rules[i].When)
	}
	for i := range f.Signs {
		all = append(all, &f.Signs[i].When, &f.Signs[i].Unless)
	}
	for i := range f.Causes {
		all = append(all, &f.Causes[i].Yields)
	}
	for i := range f.RuledOut {
		all = append(all, &f.RuledOut[i].When, &f.RuledOut[i].Unless)
	}
	for i := range f.Marks {
		all = append(all, &f.Marks[i].When)
	}
	for i := range f.Faults {
		all = append(all, &f.Faults[i].When)
	}
	for _, steps := range [][]Step{f.Checks, f.Plan} {
		for i := range steps {
			all = append(all, &steps[i].When, &steps[i].Unless)
		}
	}
	for i := range f.Asks {
		all = append(all, &f.Asks[i].When)
	}
	for i := range f.Cautions {
		all = append(all, &f.Cautions[i].When, &f.Cautions[i].Unless)
	}
	return all
}

func (w *When) compile(f *File, c *compiler) (wrong []error) {
	for _, t := range w.Any {
		cond, err := c.compile(f, t)
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		w.cond = append(w.cond, cond)
	}
	return wrong
}

// compile finds where a sign's finding stands.
func (g *Sign) compile() {
	g.source = sourcesText(g.Sources)
	if p, ok := theBook().places[g.Finding]; ok && p.kind == truth {
		g.finding = func(e *env) Truth { return e.truths[p.at] }
	}
	for _, c := range g.When.cond {
		for _, p := range c.needs {
			g.measured = g.measured || p.kind == number
			g.saturation = g.saturation || restsOnSaturation(p.info.Name)
		}
	}
}

// restsOnSaturation: the number can't be trusted while the refrigerant is in doubt.
func restsOnSaturation(name string) bool {
	for _, part := range []string{"superheat", "subcooling", "split", "oil_return", "flash"} {
		if strings.Contains(name, part) {
			return true
		}
	}
	return false
}

// link makes ready what a judgement would else look up each time.
func (s *Set) link() {
	groups := map[string]int{}
	for _, g := range s.signs {
		g.link(s, groups)
	}
	for _, r := range s.rules {
		for _, src := range r.Sources {
			r.sources = append(r.sources, src.String())
		}
	}
	s.marksOf, s.exclusionsOf = make([][]*Mark, len(s.causes)), make([][]*Exclusion, len(s.causes))
	for _, m := range s.marks {
		i := s.causeAt(m.Cause.Value)
		s.marksOf[i] = append(s.marksOf[i], m)
	}
	for _, x := range s.ruledOut {
		i := s.causeAt(x.Cause.Value)
		s.exclusionsOf[i] = append(s.exclusionsOf[i], x)
	}
}

func (s *Set) causeAt(name string) int {
	return slices.IndexFunc(s.causes, func(c *CauseRule) bool { return c.Name.Value == name })
}

func (g *Sign) link(s *Set, groups map[string]int) {
	name := g.Group
	if name == "" {
		name = "alone " + g.ID.Value
	}
	if _, ok := groups[name]; !ok {
		groups[name] = len(groups)
	}
	g.group = groups[name]
	for _, cause := range sorted(g.Says) {
		saying := g.Says[cause]
		g.speech = append(g.speech, speech{cause: s.causeAt(cause), weight: strengths[saying.Strength], text: g.Title + ": " + saying.Because})
	}
}

func sourcesText(all []Source) string {
	var parts []string
	for _, s := range all {
		parts = append(parts, s.String())
	}
	return strings.Join(parts, "; ")
}
