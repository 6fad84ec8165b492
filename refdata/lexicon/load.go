package lexicon

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"sort"
	"strings"

	"gopkg.in/yaml.v3"
)

//go:embed *.yaml english.txt
var files embed.FS

// English lists the common words that are right as they are.
func English() []string {
	b, err := files.ReadFile("english.txt")
	if err != nil {
		return nil // embedded: it is there
	}
	var out []string
	for line := range strings.Lines(string(b)) {
		if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
			out = append(out, line)
		}
	}
	return out
}

// Load reads the embedded word files.
func Load() (*Lexicon, error) {
	l := &Lexicon{Words: map[string][]string{}, Lists: map[string][]string{}, Sets: map[string][]string{}, Numbers: map[string]float64{}, Fractions: map[string]float64{}, RefrigerantWords: map[string]string{}, BareRefrigerants: map[int]string{}, Conditions: map[string][]string{}, QuestionWords: map[string][]string{}}
	names, err := fs.Glob(files, "*.yaml")
	if err != nil {
		return nil, fmt.Errorf("word files: %w", err)
	}
	sort.Strings(names)
	for _, name := range names {
		b, err := files.ReadFile(name)
		if err != nil {
			return nil, fmt.Errorf("word file: %w", err)
		}
		if err := l.Add(name, b); err != nil {
			return nil, err
		}
	}
	return l, nil
}

// Add puts the words of one more file in, after those that are there already.
// On any mistake it tells them all, and the lexicon stays as it was.
func (l *Lexicon) Add(name string, data []byte) error {
	var root yaml.Node
	if err := yaml.Unmarshal(data, &root); err != nil {
		return Mistake{File: name, Line: yamlLine(err), Column: 1, What: "not YAML (" + strings.TrimPrefix(err.Error(), "yaml: ") + ")", Do: "mend the indentation or the quotes"}
	}
	if len(root.Content) == 0 {
		return nil
	}
	p := parser{file: name, into: l.clone()}
	p.sections(root.Content[0])
	if len(p.mistakes) > 0 {
		return errors.Join(p.mistakes...)
	}
	*l = *p.into
	return nil
}

func yamlLine(err error) int {
	var line int
	if _, e := fmt.Sscanf(err.Error(), "yaml: line %d:", &line); e != nil {
		return 1
	}
	return line
}

func (l *Lexicon) clone() *Lexicon {
	c := *l
	c.Words, c.Lists, c.Sets, c.Conditions = maps.Clone(l.Words), maps.Clone(l.Lists), maps.Clone(l.Sets), maps.Clone(l.Conditions)
	c.Numbers, c.Fractions = maps.Clone(l.Numbers), maps.Clone(l.Fractions)
	c.RefrigerantWords, c.BareRefrigerants = maps.Clone(l.RefrigerantWords), maps.Clone(l.BareRefrigerants)
	c.Units, c.Readings, c.Values, c.Has = slices.Clip(l.Units), slices.Clip(l.Readings), slices.Clip(l.Values), slices.Clip(l.Has)
	c.Questions, c.QuestionWords = slices.Clip(l.Questions), maps.Clone(l.QuestionWords)
	c.Parts, c.Direct, c.Circumstances = slices.Clip(l.Parts), slices.Clip(l.Direct), slices.Clip(l.Circumstances)
	return &c
}

// Variants turns Words around: how it is typed → canonical word.
func (l *Lexicon) Variants() map[string]string {
	out := make(map[string]string, 4*len(l.Words))
	for canonical, typed := range l.Words {
		out[canonical] = canonical
		for _, t := range typed {
			out[t] = canonical
		}
	}
	return out
}

// Phrases lists every phrase of readings, units, facts, findings and tests.
func (l *Lexicon) Phrases() []string {
	var out []string
	for _, v := range l.Readings {
		out = append(out, v.Say...)
	}
	for _, v := range l.Units {
		out = append(out, v.Say...)
	}
	for _, v := range append(slices.Clip(l.Values), l.Has...) {
		out = append(out, v.Say...)
	}
	for _, v := range l.Parts {
		out = append(out, v.Say...)
	}
	for _, v := range l.Direct {
		out = append(out, v.Say...)
	}
	for _, v := range l.Conditions {
		out = append(out, v...)
	}
	for _, v := range l.Circumstances {
		out = append(append(append(out, v.Says...), v.Across...), v.Denied...)
	}
	for _, name := range []string{"equipment", "vacuum_test", "pumpdown_test", "holding_test"} {
		out = append(out, l.Lists[name]...)
	}
	return out
}
