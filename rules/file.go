package rules

import (
	"fmt"
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
	Efforts  []Effort          `yaml:"efforts"` // what it takes to find something out
	Topics   map[string]string `yaml:"topics"`  // code of a check or plan step → its words

	path   string
	raw    []byte
	folder int
}

// Text is a string that knows where it stands.
type Text struct {
	Value     string
	line, col int
	block     bool // written below its key, behind | or >
}

// UnmarshalYAML keeps the place.
func (t *Text) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind != yaml.ScalarNode || n.Tag == "!!null" || n.Tag == "!!binary" {
		return fmt.Errorf("line %d: want text", n.Line)
	}
	t.Value, t.line, t.col = n.Value, n.Line, n.Column
	if n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0 {
		t.col++
	}
	t.block = n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0
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

	origin
	sources []string
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
	Background bool `yaml:"background"`
	// Secondary damage follows another: it never shrinks the lead of primary evidence.
	Secondary bool              `yaml:"secondary"`
	Group     string            `yaml:"group"` // signs of one underlying fact count once fully
	Says      map[string]Saying `yaml:"says"`  // cause → strength and mechanism
	Sources   []Source          `yaml:"sources"`
	Examples  []Example         `yaml:"examples"`

	origin
	source     string
	finding    clause // of the finding; nil when it has a condition
	group      int
	saturation bool
	measured   bool // it rests on a number
	speech     []speech
	likelihood []float64 // of seeing it, by the place of each cause
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
	Yields When               `yaml:"yields"`  // how much of a mark that takes; any will do when left out

	origin
}

// Exclusion rules a cause out.
type Exclusion struct {
	ID      Text     `yaml:"id"` // only to stand beside another of the same name
	Cause   Text     `yaml:"cause"`
	When    When     `yaml:"when"`
	Unless  When     `yaml:"unless"`
	Why     string   `yaml:"why"`
	Sources []Source `yaml:"sources"`

	Examples []Example `yaml:"examples"`

	origin
}

// Mark is what a cause must show of its own to lead.
type Mark struct {
	ID       Text      `yaml:"id"` // only to stand beside another of the same name
	Cause    Text      `yaml:"cause"`
	When     When      `yaml:"when"`
	Examples []Example `yaml:"examples"`

	origin
}

// FaultRule names a fault of the system.
type FaultRule struct {
	ID       Text     `yaml:"id"` // only to stand beside another of the same name
	Fault    Text     `yaml:"fault"`
	Title    string   `yaml:"title"`
	When     When     `yaml:"when"`
	Standing string   `yaml:"standing"` // likely, possible
	Why      string   `yaml:"why"`
	Sources  []Source `yaml:"sources"`

	Examples []Example `yaml:"examples"`

	origin
}

// Step is a check or plan step for a cause, a fault or a kind of case.
type Step struct {
	ID       Text      `yaml:"id"` // only to stand beside another of the same name
	For      string    `yaml:"for"`
	Topic    Text      `yaml:"topic"`
	When     When      `yaml:"when"`
	Unless   When      `yaml:"unless"`
	Examples []Example `yaml:"examples"`

	origin
}

// AskRule asks for what is unknown when its condition holds.
type AskRule struct {
	ID    Text     `yaml:"id"` // only to stand beside another of the same name
	When  When     `yaml:"when"`
	Stand []string `yaml:"stand"` // or when one of these causes is likely or possible
	Keys  []Text   `yaml:"keys"`

	Examples []Example `yaml:"examples"`

	origin
}

// CautionRule warns by an entry of the cautions catalogue.
type CautionRule struct {
	ID    Text     `yaml:"id"`
	When  When     `yaml:"when"`
	Stand []string `yaml:"stand"` // or when one of these causes is likely or possible
	Check []string `yaml:"check"` // or when one of these is the next check

	Unless When `yaml:"unless"` // another caution says as much for the same step
	Always bool `yaml:"always"` // said of a system in order too: it is the gas itself

	Examples []Example `yaml:"examples"`

	origin
}
