package rules

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"sort"
	"strings"

	"coldcase/refdata/vocab"
)

//go:embed packs/*.yaml
var packs embed.FS

// Set is the rules in force: all files together, checked and compiled. It is
// immutable and safe for concurrent use.
type Set struct {
	files    []*File
	rules    []*Rule
	signs    []*Sign
	causes   []*CauseRule
	ruledOut []*Exclusion
	marks    []*Mark
	faults   []*FaultRule
	checks   []*Step
	plan     []*Step
	asks     []*AskRule
	cautions []*CautionRule
	topics   map[string]string
	version  string
	folders  []fs.FS // what it was loaded from
	warnings []error
}

// BuiltIn loads the built-in packs.
func BuiltIn() (*Set, error) {
	sub, err := fs.Sub(packs, "packs")
	if err != nil {
		return nil, fmt.Errorf("built-in rules: %w", err)
	}
	return Load(sub)
}

// WithExtra loads the built-in packs and a folder beside them; a rule of the
// folder takes the place of a built-in one with its id.
func WithExtra(extra fs.FS) (*Set, error) {
	sub, err := fs.Sub(packs, "packs")
	if err != nil {
		return nil, fmt.Errorf("built-in rules: %w", err)
	}
	return Load(sub, extra)
}

// Load reads every .yaml file of the folders, the later ones over the earlier.
// All mistakes come together, joined, each a *Mistake.
func Load(folders ...fs.FS) (*Set, error) {
	s := &Set{topics: map[string]string{}, folders: folders}
	c := newCompiler()
	var wrong []error
	digest := sha256.New()
	for i, folder := range folders {
		names, err := fs.Glob(folder, "*.yaml")
		if err != nil {
			return nil, fmt.Errorf("rule folder: %w", err)
		}
		sort.Strings(names)
		for _, name := range names {
			raw, err := fs.ReadFile(folder, name)
			if err != nil {
				return nil, fmt.Errorf("rule file: %w", err)
			}
			fmt.Fprintf(digest, "%s %d\n", path.Base(name), len(raw))
			digest.Write(raw)
			f, mistakes := readFile(name, raw)
			wrong = append(wrong, mistakes...)
			if f != nil {
				wrong = append(wrong, s.add(f, c, i)...)
			}
		}
	}
	wrong = append(wrong, s.crossCheck()...)
	wrong = append(wrong, s.checkRules()...)
	wrong = append(wrong, s.checkExamples()...)
	s.version = hex.EncodeToString(digest.Sum(nil)[:6])
	if len(wrong) > 0 {
		return nil, errors.Join(wrong...)
	}
	return s, nil
}

// With loads the same rules again with one more file over them.
func (s *Set) With(folder fs.FS, file string) (*Set, error) {
	return Load(append(slices.Clip(s.folders), oneFile{folder, file})...)
}

// oneFile is a folder that shows a single file.
type oneFile struct {
	fs.FS
	name string
}

// Glob finds the one file.
func (o oneFile) Glob(pattern string) ([]string, error) {
	if ok, err := path.Match(pattern, o.name); err != nil || !ok {
		return nil, err
	}
	return []string{o.name}, nil
}

// Version names the rules in force: a digest of their files.
func (s *Set) Version() string { return s.version }

// Rules counts what can speak: judgements, signs, rule-outs and faults.
func (s *Set) Rules() int {
	return len(s.rules) + len(s.signs) + len(s.ruledOut) + len(s.faults)
}

// add compiles a file's rules into the set.
func (s *Set) add(f *File, c *compiler, folder int) (wrong []error) {
	s.files = append(s.files, f)
	when := func(w *When) {
		for _, t := range w.Any {
			cond, err := c.compile(f.path, t)
			if err != nil {
				wrong = append(wrong, err)
				continue
			}
			w.cond = append(w.cond, cond)
		}
	}
	for i := range f.Rules {
		r := &f.Rules[i]
		when(&r.When)
		wrong = append(wrong, r.check(f.path)...)
		r.folder = folder
		rules, taken := put(s.rules, r, f.path)
		s.rules, wrong = rules, append(wrong, taken...)
	}
	for i := range f.Signs {
		g := &f.Signs[i]
		when(&g.When)
		when(&g.Unless)
		wrong = append(wrong, g.check(f.path)...)
		g.folder = folder
		signs, taken := put(s.signs, g, f.path)
		s.signs, wrong = signs, append(wrong, taken...)
	}
	for i := range f.Causes {
		s.causes = append(s.causes, &f.Causes[i])
	}
	for i := range f.RuledOut {
		when(&f.RuledOut[i].When)
		when(&f.RuledOut[i].Unless)
		s.ruledOut = append(s.ruledOut, &f.RuledOut[i])
	}
	for i := range f.Marks {
		when(&f.Marks[i].When)
		s.marks = append(s.marks, &f.Marks[i])
	}
	for i := range f.Faults {
		when(&f.Faults[i].When)
		s.faults = append(s.faults, &f.Faults[i])
	}
	for _, list := range []struct {
		steps []Step
		to    *[]*Step
	}{{f.Checks, &s.checks}, {f.Plan, &s.plan}} {
		for i := range list.steps {
			when(&list.steps[i].When)
			when(&list.steps[i].Unless)
			*list.to = append(*list.to, &list.steps[i])
		}
	}
	for i := range f.Asks {
		when(&f.Asks[i].When)
		s.asks = append(s.asks, &f.Asks[i])
	}
	for i := range f.Cautions {
		when(&f.Cautions[i].When)
		when(&f.Cautions[i].Unless)
		s.cautions = append(s.cautions, &f.Cautions[i])
	}
	for k, v := range f.Topics {
		s.topics[k] = v
	}
	return wrong
}

func mistake(file string, t Text, text string) error {
	return &Mistake{File: file, Line: t.line, Col: t.col, Text: text}
}

var severities = []string{"note", "caution", "danger"}

// check holds a rule against what every rule must have.
func (r *Rule) check(file string) (wrong []error) {
	say := func(text string) { wrong = append(wrong, mistake(file, r.ID, text)) }
	if r.ID.Value == "" {
		say("a rule needs an id")
	}
	if !slices.Contains(severities, r.Severity) {
		say("severity is note, caution or danger")
	}
	if !slices.Contains([]string{"trial", "proven", "retired"}, r.Status) {
		say("status is trial, proven or retired")
	}
	if r.When.empty() {
		say("a rule needs a condition: when")
	}
	if len(r.Sources) == 0 {
		say("a rule needs a source; \"common practice\" will do where the trade just knows it")
	}
	if len(r.AlsoLooksLike) == 0 {
		say("say what else looks like this: also_looks_like")
	}
	return wrong
}

var strengths = map[string]float64{"strong_for": 1.5, "for": 0.7, "against": -0.7, "strong_against": -1.5}

func (g *Sign) check(file string) (wrong []error) {
	say := func(text string) { wrong = append(wrong, mistake(file, g.ID, text)) }
	if g.Finding == "" && g.When.empty() {
		say("a sign needs a finding or a condition")
	}
	if g.Finding != "" && !vocab.IsFinding(g.Finding) {
		say("no finding is called " + g.Finding)
	}
	if len(g.Sources) == 0 {
		say("a sign needs a source")
	}
	for cause, saying := range g.Says {
		if _, ok := strengths[saying.Strength]; !ok {
			say(cause + ": strength is strong_for, for, against or strong_against")
		}
	}
	return wrong
}

// checkExamples holds everything with a condition against having examples. Only
// judgements are refused yet; the rest is warned of.
func (s *Set) checkExamples() (wrong []error) {
	for _, f := range s.files {
		for _, subject := range f.subjects() {
			err := subject.lacks()
			switch {
			case err == nil:
			case subject.kind == "rule":
				wrong = append(wrong, err)
			default:
				s.warnings = append(s.warnings, err)
			}
		}
	}
	return wrong
}

// Warnings are what a later version will refuse.
func (s *Set) Warnings() []error { return s.warnings }

// crossCheck holds the names that files use of each other.
func (s *Set) crossCheck() (wrong []error) {
	known := map[string]bool{}
	for _, c := range s.causes {
		known[c.Name.Value] = true
	}
	faults := map[string]bool{}
	for _, f := range s.faults {
		faults[f.Fault.Value] = true
	}
	names := func() []string {
		var all []string
		for n := range known {
			all = append(all, n)
		}
		return all
	}
	cause := func(file string, at Text, name string) {
		if !known[name] {
			text := "no cause is called " + name
			if near := nearestOf(name, names()); near != "" {
				text += "; did you mean " + near + "?"
			}
			wrong = append(wrong, mistake(file, at, text))
		}
	}
	for _, f := range s.files {
		for _, g := range f.Signs {
			for name := range g.Says {
				cause(f.path, g.ID, name)
			}
		}
		for _, r := range f.Rules {
			for name := range r.Supports {
				cause(f.path, r.ID, name)
			}
		}
		for _, x := range f.RuledOut {
			cause(f.path, x.Cause, x.Cause.Value)
		}
		for _, m := range f.Marks {
			cause(f.path, m.Cause, m.Cause.Value)
		}
		for _, step := range slices.Concat(f.Checks, f.Plan) {
			if s.topics[step.Topic.Value] == "" {
				wrong = append(wrong, mistake(f.path, step.Topic, "no words for the topic "+step.Topic.Value))
			}
			if !known[step.For] && !faults[step.For] && !slices.Contains(situations, step.For) {
				wrong = append(wrong, mistake(f.path, step.Topic, "for names no cause, fault or situation: "+step.For))
			}
		}
	}
	return wrong
}

// situations are what a step can be for besides causes and faults.
var situations = []string{"dead", "running", "healthy", "any", "refrigerant_in_doubt"}

func severityVerdict(s string) string {
	switch s {
	case "danger":
		return "stop"
	case "caution":
		return "bad"
	}
	return "watch"
}

func sourcesText(all []Source) string {
	var parts []string
	for _, s := range all {
		parts = append(parts, s.String())
	}
	return strings.Join(parts, "; ")
}

// CauseNames lists the causes of the rules in force.
func (s *Set) CauseNames() []string {
	var out []string
	for _, c := range s.causes {
		out = append(out, c.Name.Value)
	}
	return out
}
