package rules

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"gopkg.in/yaml.v3"
)

// File is one rule file. Every list may be left out; ids are unique over all
// files of a set.
type File struct {
	Rules    []Rule            `yaml:"rules"`     // judgements: a threshold, with words
	Signs    []Sign            `yaml:"signs"`     // evidence: what a sign says for or against causes
	Causes   []CauseRule       `yaml:"causes"`    // what takes a compressor down
	RuledOut []Exclusion       `yaml:"ruled_out"` // measurements that a cause can't survive
	Marks    []Mark            `yaml:"marks"`     // what a cause must show of its own to lead
	Faults   []FaultRule       `yaml:"faults"`    // what is wrong with the system
	Checks   []Step            `yaml:"checks"`    // the next check, first that applies
	Plan     []Step            `yaml:"plan"`      // what keeps it from happening again
	Asks     []AskRule         `yaml:"asks"`
	Cautions []CautionRule     `yaml:"cautions"`
	Topics   map[string]string `yaml:"topics"` // code of a check or plan step → its words

	path string
}

// Text is a string that knows where it stands.
type Text struct {
	Value     string
	line, col int
}

// UnmarshalYAML keeps the place.
func (t *Text) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind != yaml.ScalarNode {
		return fmt.Errorf("line %d: want text", n.Line)
	}
	t.Value, t.line, t.col = n.Value, n.Line, n.Column
	if n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0 {
		t.col++
	}
	return nil
}

// When is a condition: one expression, or a list of which any one will do.
type When struct {
	Any  []Text
	cond []*condition
}

// UnmarshalYAML reads one expression or a list.
func (w *When) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind == yaml.SequenceNode {
		return n.Decode(&w.Any)
	}
	var t Text
	if err := n.Decode(&t); err != nil {
		return err
	}
	w.Any = []Text{t}
	return nil
}

// Source of a rule: a title, or the words common practice.
type Source struct {
	Title   string `yaml:"title"`
	Edition string `yaml:"edition"`
	Page    string `yaml:"page"`
}

// UnmarshalYAML reads a full source or one line.
func (s *Source) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind == yaml.ScalarNode {
		s.Title = n.Value
		return nil
	}
	type plain Source
	return n.Decode((*plain)(s))
}

func (s Source) String() string {
	parts := []string{s.Title}
	for _, p := range []string{s.Edition, s.Page} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ", ")
}

// Example is a case in small and what the rule does on it.
type Example struct {
	Given  map[string]Text `yaml:"given"`
	Expect Expectation     `yaml:"expect"`
}

// Expectation is fires, silent, or {asks: [keys]}.
type Expectation struct {
	Fires, Silent bool
	Asks          []string
}

// UnmarshalYAML reads the three forms.
func (e *Expectation) UnmarshalYAML(n *yaml.Node) error {
	switch n.Value {
	case "fires":
		e.Fires = true
		return nil
	case "silent":
		e.Silent = true
		return nil
	}
	var asks struct {
		Asks []string `yaml:"asks"`
	}
	if n.Kind != yaml.MappingNode || n.Decode(&asks) != nil {
		return fmt.Errorf("line %d: expect is fires, silent or {asks: [...]}", n.Line)
	}
	e.Asks = asks.Asks
	return nil
}

// Rule judges a number.
type Rule struct {
	ID            Text              `yaml:"id"`
	Title         string            `yaml:"title"`
	Severity      string            `yaml:"severity"` // note, caution, danger: verdicts watch, bad, stop
	Status        string            `yaml:"status"`   // trial, proven, retired
	Successor     string            `yaml:"successor"`
	When          When              `yaml:"when"`
	Supports      map[string]string `yaml:"supports"` // cause → strong, some
	Why           string            `yaml:"why"`
	NextCheck     string            `yaml:"next_check"`
	AlsoLooksLike []string          `yaml:"also_looks_like"`
	Sources       []Source          `yaml:"sources"`
	Examples      []Example         `yaml:"examples"`

	folder int // the later folder has its way
}

// Sign is one piece of evidence. A sign of a finding counts when the finding was
// seen, and against what it stands for, at half, when it was said not to be so.
type Sign struct {
	ID      Text   `yaml:"id"`
	Title   string `yaml:"title"`
	Finding string `yaml:"finding"`
	When    When   `yaml:"when"`
	Unless  When   `yaml:"unless"`
	// Background counts, but makes no cause possible by itself.
	Background bool              `yaml:"background"`
	Group      string            `yaml:"group"` // signs of one underlying fact count once fully
	Says       map[string]Saying `yaml:"says"`  // cause → strength and mechanism
	Sources    []Source          `yaml:"sources"`
	Examples   []Example         `yaml:"examples"`

	folder int // the later folder has its way
}

// Saying is [strength, mechanism]; strength is strong_for, for, against or
// strong_against.
type Saying struct{ Strength, Because string }

// UnmarshalYAML reads the pair.
func (s *Saying) UnmarshalYAML(n *yaml.Node) error {
	var pair []string
	if err := n.Decode(&pair); err != nil || len(pair) != 2 {
		return fmt.Errorf("line %d: want [strength, mechanism]", n.Line)
	}
	s.Strength, s.Because = pair[0], pair[1]
	return nil
}

// CauseRule is one cause with its base rate.
type CauseRule struct {
	Name   Text               `yaml:"name"`
	Title  string             `yaml:"title"`
	Prior  float64            `yaml:"prior"`   // nats
	ByType map[string]float64 `yaml:"by_type"` // compressor type → nats instead
	Root   string             `yaml:"root_of"` // the mode it acts through: leads it only while that shows no mark
}

// Exclusion rules a cause out.
type Exclusion struct {
	Cause   Text     `yaml:"cause"`
	When    When     `yaml:"when"`
	Unless  When     `yaml:"unless"`
	Why     string   `yaml:"why"`
	Sources []Source `yaml:"sources"`
}

// Mark is what a cause must show of its own to lead.
type Mark struct {
	Cause Text `yaml:"cause"`
	When  When `yaml:"when"`
}

// FaultRule names a fault of the system.
type FaultRule struct {
	Fault    Text     `yaml:"fault"`
	Title    string   `yaml:"title"`
	When     When     `yaml:"when"`
	Standing string   `yaml:"standing"` // likely, possible
	Why      string   `yaml:"why"`
	Sources  []Source `yaml:"sources"`
}

// Step is a check or plan step for a cause, a fault or a kind of case.
type Step struct {
	For    string `yaml:"for"`
	Topic  Text   `yaml:"topic"`
	When   When   `yaml:"when"`
	Unless When   `yaml:"unless"`
}

// AskRule asks for what is unknown when its condition holds.
type AskRule struct {
	When  When     `yaml:"when"`
	Stand []string `yaml:"stand"` // or when one of these causes is likely or possible
	Keys  []string `yaml:"keys"`
}

// CautionRule warns by an entry of the cautions catalogue.
type CautionRule struct {
	ID    Text     `yaml:"id"`
	When  When     `yaml:"when"`
	Stand []string `yaml:"stand"` // or when one of these causes is likely or possible
	Check []string `yaml:"check"` // or when one of these is the next check
}

const maxFile = 1 << 20

// readFile reads one rule file strictly: unknown keys, aliases, a second document
// and oversize are refused with a place.
func readFile(path string, raw []byte) (*File, []error) {
	if len(raw) > maxFile {
		return nil, []error{&Mistake{File: path, Line: 1, Col: 1, Text: "a rule file holds 1 MB at most"}}
	}
	if m := firstAlias(path, raw); m != nil {
		return nil, []error{m}
	}
	f := &File{path: path}
	d := yaml.NewDecoder(bytes.NewReader(raw))
	d.KnownFields(true)
	if err := d.Decode(f); err != nil && !errors.Is(err, io.EOF) {
		return nil, yamlMistakes(path, err)
	}
	if err := d.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		return nil, []error{&Mistake{File: path, Line: 1, Col: 1, Text: "one document a file: take the second --- out"}}
	}
	return f, nil
}

func firstAlias(path string, raw []byte) *Mistake {
	if !bytes.Contains(raw, []byte(" &")) && !bytes.Contains(raw, []byte(" *")) {
		return nil
	}
	var n yaml.Node
	if yaml.Unmarshal(raw, &n) != nil {
		n = yaml.Node{} // the strict read tells it better
	}
	var walk func(*yaml.Node, int) *Mistake
	walk = func(n *yaml.Node, depth int) *Mistake {
		if n.Kind == yaml.AliasNode || n.Anchor != "" {
			return &Mistake{File: path, Line: n.Line, Col: n.Column, Text: "anchors and aliases are not read: write it out"}
		}
		if depth > 20 {
			return &Mistake{File: path, Line: n.Line, Col: n.Column, Text: "nested too deep"}
		}
		for _, c := range n.Content {
			if m := walk(c, depth+1); m != nil {
				return m
			}
		}
		return nil
	}
	return walk(&n, 0)
}

// yamlMistakes turns the decoder's complaints into ours.
func yamlMistakes(path string, err error) []error {
	var te *yaml.TypeError
	if !errors.As(err, &te) {
		line := 1
		text := strings.TrimPrefix(err.Error(), "yaml: ")
		if _, e := fmt.Sscanf(text, "line %d:", &line); e == nil {
			_, text, _ = strings.Cut(text, ": ")
		}
		return []error{&Mistake{File: path, Line: line, Col: 1, Text: text}}
	}
	var out []error
	for _, e := range te.Errors {
		line := 1
		text := e
		if _, err := fmt.Sscanf(e, "line %d:", &line); err == nil {
			_, text, _ = strings.Cut(e, ": ")
		}
		out = append(out, &Mistake{File: path, Line: line, Col: 1, Text: plainField(text)})
	}
	return out
}

// plainField says an unknown key in words.
func plainField(text string) string {
	var field, in string
	if _, err := fmt.Sscanf(text, "field %s not found in type %s", &field, &in); err == nil {
		return fmt.Sprintf("no such key: %s", field)
	}
	return text
}

// Mistake is one thing wrong in a rule file, with its place and what to do.
type Mistake struct {
	File      string
	Line, Col int
	Text      string
	Source    string // the expression, for the caret
	At        int    // column inside it
}

func (m *Mistake) Error() string {
	s := fmt.Sprintf("%s:%d:%d: %s", m.File, m.Line, m.Col, m.Text)
	if m.Source != "" {
		s += "\n    " + m.Source + "\n    " + strings.Repeat(" ", max(m.At, 0)) + "^"
	}
	return s
}
