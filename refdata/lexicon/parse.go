package lexicon

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// parser takes one word file apart and notes every mistake with its place.
type parser struct {
	file     string
	into     *Lexicon
	mistakes []error
}

func (p *parser) wrong(n *yaml.Node, do, format string, args ...any) {
	p.mistakes = append(p.mistakes, Mistake{File: p.file, Line: n.Line, Column: n.Column, What: fmt.Sprintf(format, args...), Do: do})
}

// lists are the sections that hold plain words or phrases.
var lists = []string{
	"everyday", "contractions", "asking_leave", "with_digits", "chat_phrases", "site_words", "supply_pairs", "placed", "log_words", "asking_first", "seen_words", "abbreviations", "fetching", "has_one", "has_none", "replaced", "a_while", "refrigerant_mass", "legs_all", "changed", "mass_follows", "answer_no", "answer_yes", "case_before", "supply_words", "beyond", "refrigerant_behind", "foreign", "small", "deny", "deny_after", "turn", "doubt", "doubt_phrases", "approx_before", "approx_after",
	"doubtful", "corrections", "earlier", "today", "idle_before", "idle_after", "swings", "both_sides", "even", "control_words", "idle_units", "points", "minus", "below",
	"refrigerant_before", "present", "absent", "equipment", "unchecked",
	"vacuum_test", "pumpdown_test", "not_a_test", "holding_test", "first_words", "last_words", "rise_words",
	"standing", "running", "settling", "settled", "new_visit", "asking",
	"intends",
}

// handlers maps the sections of a word file to what reads them.
func (p *parser) handlers() map[string]func(*yaml.Node) {
	l := p.into
	h := map[string]func(*yaml.Node){
		"words":             p.words,
		"numbers":           table(p, l.Numbers),
		"fractions":         table(p, l.Fractions),
		"refrigerant_words": table(p, l.RefrigerantWords),
		"bare_refrigerants": table(p, l.BareRefrigerants),
		"conditions":        table(p, l.Conditions),
		"units":             section(p, &l.Units, p.unit, "say", "as", "times", "glued", "assumed"),
		"readings":          section(p, &l.Readings, p.reading, "say", "is", "or", "ask", "beside", "of", "only", "loose", "row", "plate", "ignore", "behind"),
		"values":            section(p, &l.Values, p.value, "fact", "is", "say"),
		"has":               section(p, &l.Has, p.value, "fact", "say"),
		"parts":             section(p, &l.Parts, p.part, "name", "say", "true", "false"),
		"direct":            section(p, &l.Direct, p.direct, "say", "finding"),
		"questions":         section(p, &l.Questions, p.question, "about", "say", "asks", "own", "unless", "lacks", "doubts", "take", "cycle", "heard"),
		"question_words":    table(p, l.QuestionWords),
		"sets":              table(p, l.Sets),
		"sizes":             scale(p, &l.Sizes),
		"weights":           scale(p, &l.Weights),
		"reaches":           scale(p, &l.Reaches),
		"circumstances":     p.circumstances,
	}
	for _, name := range lists {
		h[name] = func(n *yaml.Node) {
			for _, c := range p.texts(n) {
				l.Lists[name] = append(slices.Clip(l.Lists[name]), c.Value)
			}
		}
	}
	return h
}

func (p *parser) sections(root *yaml.Node) {
	if root.Kind != yaml.MappingNode {
		p.wrong(root, "begin with a section such as words:", "the file is not a list of sections")
		return
	}
	handlers := p.handlers()
	for i := 0; i+1 < len(root.Content); i += 2 {
		name := root.Content[i]
		h := handlers[name.Value]
		if h == nil {
			p.wrong(name, "use one of "+strings.Join(sortedNames(handlers), ", "), "unknown section %q", name.Value)
			continue
		}
		h(root.Content[i+1])
	}
}

func sortedNames[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// words reads canonical: [variant, …]; a variant can't stand for two words.
func (p *parser) words(n *yaml.Node) {
	if n.Kind != yaml.MappingNode {
		p.wrong(n, "write canonical: [variant, variant]", "words is not a map")
		return
	}
	taken := p.into.Variants()
	for i := 0; i+1 < len(n.Content); i += 2 {
		canonical, list := n.Content[i], n.Content[i+1]
		for _, v := range p.texts(list) {
			if strings.ContainsAny(v.Value, " \t") {
				p.wrong(v, "put it under say: of a reading, fact or finding", "%q is more than one word", v.Value)
				continue
			}
			if of, ok := taken[v.Value]; ok && of != canonical.Value {
				p.wrong(v, "take it out of one of them", "%q already stands for %q", v.Value, of)
				continue
			}
			taken[v.Value] = canonical.Value
			p.into.Words[canonical.Value] = append(p.into.Words[canonical.Value], v.Value)
		}
		taken[canonical.Value] = canonical.Value
	}
}

// texts are the entries of a list of texts.
func (p *parser) texts(n *yaml.Node) []*yaml.Node {
	if n.Kind != yaml.SequenceNode {
		p.wrong(n, "write [one, two]", "not a list")
		return nil
	}
	var out []*yaml.Node
	for _, c := range n.Content {
		if c.Kind != yaml.ScalarNode || c.Value == "" {
			p.wrong(c, "write a word or a phrase, in quotes when YAML reads it otherwise", "not a text")
			continue
		}
		out = append(out, c)
	}
	return out
}

// entries decodes a list of maps, each field of which must be known.
func entries[T any](p *parser, n *yaml.Node, fields ...string) (out []T, at []*yaml.Node) {
	if n.Kind != yaml.SequenceNode {
		p.wrong(n, "write one entry a line, each beginning with -", "not a list")
		return nil, nil
	}
	for _, c := range n.Content {
		if c.Kind != yaml.MappingNode {
			p.wrong(c, "write "+strings.Join(fields, ": …, ")+": …", "not an entry")
			continue
		}
		bad := false
		for i := 0; i < len(c.Content); i += 2 {
			if f := c.Content[i]; !slices.Contains(fields, f.Value) {
				p.wrong(f, "use "+strings.Join(fields, ", "), "unknown field %q", f.Value)
				bad = true
			}
		}
		var v T
		if err := c.Decode(&v); err != nil {
			p.wrong(c, "compare with the entries of the embedded files", "%v", err)
			bad = true
		}
		if !bad {
			out, at = append(out, v), append(at, c)
		}
	}
	return out, at
}

// section reads a list of entries into one of the lexicon's, each checked.
func section[T any](p *parser, into *[]T, check func(*yaml.Node, T), fields ...string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		got, at := entries[T](p, n, fields...)
		for i, v := range got {
			check(at[i], v)
			*into = append(*into, v)
		}
	}
}

// circumstances reads how each is said; "@list" in a phrase stands for any word of that
// list.
func (p *parser) circumstances(n *yaml.Node) {
	got, at := entries[Circumstance](p, n, "name", "says", "across", "denied")
	for i, c := range got {
		p.circumstance(at[i], c)
		for _, phrases := range [][]string{c.Says, c.Across, c.Denied} {
			for k, phrase := range phrases {
				phrases[k] = p.withLists(at[i], phrase)
			}
		}
		p.into.Circumstances = append(p.into.Circumstances, c)
	}
}

func (p *parser) withLists(n *yaml.Node, phrase string) string {
	words := strings.Fields(phrase)
	for i, w := range words {
		alternatives := strings.Split(w, "|")
		for k, a := range alternatives {
			name, isList := strings.CutPrefix(a, "@")
			if !isList {
				continue
			}
			if len(p.into.Lists[name]) == 0 {
				p.wrong(n, "write the list above circumstances:", "no list %q", name)
				continue
			}
			alternatives[k] = strings.Join(p.into.Lists[name], "|")
		}
		words[i] = strings.Join(alternatives, "|")
	}
	return strings.Join(words, " ")
}

// table reads a map; a later file replaces an entry of an earlier one.
func table[K comparable, V any](p *parser, into map[K]V) func(*yaml.Node) {
	return func(n *yaml.Node) {
		var got map[K]V
		if err := n.Decode(&got); err != nil {
			p.wrong(n, "compare with the same section of the embedded files", "%v", err)
			return
		}
		maps.Copy(into, got)
	}
}
