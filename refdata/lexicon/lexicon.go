// Package lexicon holds the words of the trade as data: what people type, in
// English and in the Spanish that techs mix in, and the key, fact, finding or
// unit it stands for. A lead's own file is read like the embedded ones.
package lexicon

import (
	"fmt"
	"sync"

	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// Lexicon is what all word files together say.
type Lexicon struct {
	Words            map[string][]string // canonical word → the ways it is typed
	Lists            map[string][]string // plain word lists by their section's name
	Sets             map[string][]string // single words, by the name that the reader asks for
	Numbers          map[string]float64  // one, two, … thousand
	Fractions        map[string]float64  // half, eighths
	Units            []Unit
	Readings         []Name
	RefrigerantWords map[string]string
	BareRefrigerants map[int]string
	Values           []Value
	Has              []Value
	Conditions       map[string][]string
	Parts            []Part
	Direct           []Direct
	Questions        []Question
	QuestionWords    map[string][]string // what else is said beside a question
	Circumstances    []Circumstance
	Sizes            Sizes
	Weights          Weights
	Reaches          Reaches
}

// Kind of quantity, as far as units tell it.
type Kind string

// The kinds.
const (
	Pressure   Kind = "pressure"
	Drop       Kind = "drop"
	Temp       Kind = "temp"
	Delta      Kind = "delta"
	Size       Kind = "size"
	Length     Kind = "length"
	Heat       Kind = "heat"
	Share      Kind = "share"
	Mass       Kind = "mass"
	Volume     Kind = "volume"
	Volts      Kind = "volts"
	Amps       Kind = "amps"
	Ohms       Kind = "ohms"
	Insulation Kind = "insulation"
	Vacuum     Kind = "vacuum"
	Time       Kind = "time"
	Age        Kind = "age"
	Starts     Kind = "starts"
)

var kinds = map[vocab.Quantity]Kind{
	vocab.GaugePressure: Pressure, vocab.PressureDrop: Drop, vocab.Temperature: Temp, vocab.TempDifference: Delta,
	vocab.TubeSize: Size, vocab.Length: Length, vocab.HeatFlow: Heat, vocab.Mass: Mass, vocab.Volume: Volume,
	vocab.Voltage: Volts, vocab.Current: Amps, vocab.Resistance: Ohms, vocab.Insulation: Insulation,
	vocab.DeepVacuum: Vacuum, vocab.ShortTime: Time, vocab.Age: Age, vocab.StartsFrequency: Starts,
}

// KindOf is the kind of number that a key holds.
func KindOf(k vocab.Key) Kind { return kindOf()[k] }

var kindOf = sync.OnceValue(func() map[vocab.Key]Kind {
	m := map[vocab.Key]Kind{}
	for _, d := range vocab.Definitions() {
		m[d.Key] = kinds[d.Quantity]
	}
	return m
})

// Unit is one unit and the ways it is typed.
type Unit struct {
	Say     []string            `yaml:"say"`
	As      map[Kind]units.Code `yaml:"as"`
	Times   float64             `yaml:"times"`   // 0 is 1
	Glued   bool                `yaml:"glued"`   // only right behind the digits
	Assumed bool                `yaml:"assumed"` // "degrees" leaves open which
}

// Name is what names a reading; see readings.yaml.
type Name struct {
	Say    []string             `yaml:"say"`
	Is     []vocab.Key          `yaml:"is"`
	Or     []vocab.Key          `yaml:"or"`
	Ask    string               `yaml:"ask"`
	Beside []Beside             `yaml:"beside"`
	Of     map[string]vocab.Key `yaml:"of"`
	Only   Kind                 `yaml:"only"`
	Loose  bool                 `yaml:"loose"`
	Row    []vocab.Key          `yaml:"row"`
	Plate  bool                 `yaml:"plate"`
	Ignore bool                 `yaml:"ignore"`
	Behind bool                 `yaml:"behind"`
}

// Beside settles a bare number by another key of the same message.
type Beside struct {
	Key   vocab.Key `yaml:"key"`
	Under float64   `yaml:"under"` // below this share of Key's value; 0 is any
	Then  vocab.Key `yaml:"then"`
}

// Value is a fact that words state.
type Value struct {
	Fact vocab.Fact `yaml:"fact"`
	Is   string     `yaml:"is"`
	Say  []string   `yaml:"say"`
}

// Part of the machine, and the finding that each condition of it means.
type Part struct {
	Name  string                   `yaml:"name"`
	Say   []string                 `yaml:"say"`
	True  map[string]vocab.Finding `yaml:"true"`
	False map[string]vocab.Finding `yaml:"false"`
}

// Direct is a finding that a phrase says alone; "!" in front denies it.
type Direct struct {
	Say     []string `yaml:"say"`
	Finding string   `yaml:"finding"`
}

// Question is how a calculation is asked for.
type Question struct {
	About  string          `yaml:"about"`
	Say    []string        `yaml:"say"`
	Asks   bool            `yaml:"asks"`   // it is a question however it is put
	Own    bool            `yaml:"own"`    // its numbers are those of a plan, not readings of the case
	Unless []string        `yaml:"unless"` // it is not asked where one of these is said
	Lacks  []string        `yaml:"lacks"`  // nor where one of these numbers stands, as in Heard
	Doubts []vocab.Finding `yaml:"doubts"` // findings that asking this does not deny
	Take   []Take          `yaml:"take"`
	Cycle  bool            `yaml:"cycle"` // it takes saturation temperatures: "-25 sst 120 cond"
	Heard  []Heard         `yaml:"heard"` // where no phrase of any question stands
}

// Heard is a question by what is said anywhere in the message, in whatever order.
type Heard struct {
	All   [][]string `yaml:"all"`   // one phrase of each list
	Has   []string   `yaml:"has"`   // numbers: kinds with their unit typed, or keys that were read
	Lacks []string   `yaml:"lacks"` // likewise, none of them
	Asks  bool       `yaml:"asks"`  // only where the message asks something
}

// Take is a number that only a question gives, in the order of the text.
type Take struct {
	Kind Kind       `yaml:"kind"`
	As   vocab.Key  `yaml:"as"`
	Over bool       `yaml:"over"` // though it was read as a reading
	Bare bool       `yaml:"bare"` // though no unit was typed
	Unit units.Code `yaml:"unit"` // what it is kept in, when not as typed
	By   []string   `yaml:"by"`   // only right beside one of these words
}

// Circumstance is what is said when something stands (trade-basis 5.5).
type Circumstance struct {
	Name   vocab.Circumstance `yaml:"name"`
	Says   []string           `yaml:"says"`
	Across []string           `yaml:"across"` // also over the end of a sentence: "fans tripped. reset"
	Denied []string           `yaml:"denied"`
}

// Mistake is one thing wrong in a word file.
type Mistake struct {
	File         string
	Line, Column int
	What, Do     string
}

// Error says where, what, and what to do.
func (m Mistake) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s: %s", m.File, m.Line, m.Column, m.What, m.Do)
}
