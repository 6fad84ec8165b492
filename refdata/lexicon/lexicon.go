// Package lexicon holds the words of the trade as data: what names a reading, a
// unit, a fact or a finding, in English and in the Spanish that techs mix in.
package lexicon

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io"
	"slices"

	"gopkg.in/yaml.v3"

	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

//go:embed slots.yaml units.yaml facts.yaml findings.yaml everyday.yaml circumstances.yaml
var files embed.FS

// Kind of a number's unit, as far as it helps to find the key.
type Kind string

// The kinds of slots.yaml.
const (
	None       Kind = "none"
	Pressure   Kind = "p"
	Drop       Kind = "dp"
	Temp       Kind = "t"
	TempDelta  Kind = "dt"
	Size       Kind = "size"
	Length     Kind = "len"
	Heat       Kind = "heat"
	Mass       Kind = "mass"
	Volume     Kind = "vol"
	Volt       Kind = "volt"
	Amp        Kind = "amp"
	Ohm        Kind = "ohm"
	Meg        Kind = "meg"
	Mic        Kind = "mic"
	Time       Kind = "time"
	Freq       Kind = "freq"
	Age        Kind = "age"
	Percentage Kind = "pct"
	Pounds     Kind = "pounds" // of pressure or of refrigerant
)

// Slot is a group of words that name what a number is.
type Slot struct {
	Name   string             `yaml:"slot"`
	Words  []string           `yaml:"words"`
	Bare   vocab.Key          `yaml:"bare"`
	Ask    []vocab.Key        `yaml:"ask"`
	Takes  map[Kind]vocab.Key `yaml:"takes"`
	Triple []vocab.Key        `yaml:"triple"`
	Legs   string             `yaml:"legs"`
	Plate  bool               `yaml:"plate"` // a nameplate value
	Loose  bool               `yaml:"loose"` // says little: another slot as near wins
}

// Unit is a group of words for one unit.
type Unit struct {
	Words   []string    `yaml:"words"`
	Code    units.Code  `yaml:"code"`
	Kind    Kind        `yaml:"kind"`
	Times   float64     `yaml:"times"`
	Divide  float64     `yaml:"divide"`
	Assumed bool        `yaml:"assumed"` // the word names no unit for certain ("degrees")
	Only    []vocab.Key `yaml:"only"`    // keys it is read for
}

// FactWords set a fact to a value.
type FactWords struct {
	Fact  vocab.Fact `yaml:"fact"`
	Value string     `yaml:"value"`
	Words []string   `yaml:"words"`
}

// Facts is facts.yaml.
type Facts struct {
	Facts            []FactWords       `yaml:"facts"`
	Parts            []FactWords       `yaml:"parts"`
	Present          []string          `yaml:"present"`
	Absent           []string          `yaml:"absent"`
	Equipment        []string          `yaml:"equipment"`
	RefrigerantWords map[string]string `yaml:"refrigerant_words"`
	BareRefrigerants map[int]string    `yaml:"bare_refrigerants"`
}

// Names is one finding or several; YAML may write a single one without brackets.
type Names []vocab.Finding

// UnmarshalYAML reads a name or a list of names.
func (n *Names) UnmarshalYAML(node *yaml.Node) error {
	if node.Kind == yaml.ScalarNode {
		*n = Names{vocab.Finding(node.Value)}
		return nil
	}
	var list []vocab.Finding
	if err := node.Decode(&list); err != nil {
		return err
	}
	*n = list
	return nil
}

// Subject is a thing that findings are about: conditions near it → findings.
type Subject struct {
	Words []string         `yaml:"words"`
	True  map[string]Names `yaml:"true"`
	False map[string]Names `yaml:"false"`
}

// Findings is findings.yaml.
type Findings struct {
	Conditions map[string][]string      `yaml:"conditions"`
	Subjects   []Subject                `yaml:"subjects"`
	Alone      map[string]vocab.Finding `yaml:"alone"`
	NotAlone   map[string][]string      `yaml:"not_alone"`
	FlippedBy  map[string]string        `yaml:"flipped_by"` // condition → one behind it that denies it
	Negators   []string                 `yaml:"negators"`
	Hedges     []string                 `yaml:"hedges"`
	Unchecked  []string                 `yaml:"unchecked"`
}

// Circumstance is a circumstance with the phrases that tell it. A phrase is a
// list of words that stand in this order in one sentence, with at most `gap`
// words between; a word may give alternatives with |.
type Circumstance struct {
	Name   vocab.Circumstance `yaml:"name"`
	Says   []string           `yaml:"says"`
	Denied []string           `yaml:"denied"` // phrases that say it is not so
}

// Lexicon is all of it.
type Lexicon struct {
	Slots         []Slot         `yaml:"slots"`
	Units         []Unit         `yaml:"units"`
	Everyday      []string       `yaml:"everyday"`
	Circumstances []Circumstance `yaml:"circumstances"`
	Facts         Facts          `yaml:",inline"`
	Findings      Findings       `yaml:",inline"`
}

// Load reads the built-in words.
func Load() (*Lexicon, error) {
	l := new(Lexicon)
	for file, to := range map[string]any{"slots.yaml": &struct {
		Slots *[]Slot `yaml:"slots"`
	}{&l.Slots}, "units.yaml": &struct {
		Units *[]Unit `yaml:"units"`
	}{&l.Units}, "facts.yaml": &l.Facts, "findings.yaml": &l.Findings, "everyday.yaml": &struct {
		Everyday *[]string `yaml:"everyday"`
	}{&l.Everyday}, "circumstances.yaml": &struct {
		Circumstances *[]Circumstance `yaml:"circumstances"`
	}{&l.Circumstances}} {
		raw, err := files.ReadFile(file)
		if err != nil {
			return nil, fmt.Errorf("lexicon: %w", err)
		}
		if err := decode(raw, to); err != nil {
			return nil, fmt.Errorf("lexicon %s: %w", file, err)
		}
	}
	return l, l.check()
}

func decode(raw []byte, to any) error {
	d := yaml.NewDecoder(bytes.NewReader(raw))
	d.KnownFields(true)
	if err := d.Decode(to); err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	return nil
}

// check holds the names in the lexicon against the vocabulary.
func (l *Lexicon) check() error {
	var wrong []error
	key := func(where string, k vocab.Key) {
		if _, ok := vocab.Define(k); k != "" && !ok {
			wrong = append(wrong, fmt.Errorf("%s: no reading is called %q", where, k))
		}
	}
	for _, s := range l.Slots {
		key(s.Name, s.Bare)
		for _, k := range slices.Concat(s.Ask, s.Triple) {
			key(s.Name, k)
		}
		for _, k := range s.Takes {
			key(s.Name, k)
		}
	}
	for _, s := range l.Findings.Subjects {
		for _, m := range []map[string]Names{s.True, s.False} {
			for condition, names := range m {
				for _, n := range names {
					if !vocab.IsFinding(string(n)) {
						wrong = append(wrong, fmt.Errorf("%s %s: no finding is called %q", s.Words[0], condition, n))
					}
				}
			}
		}
	}
	return errors.Join(wrong...)
}
