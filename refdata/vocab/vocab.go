// Package vocab is the vocabulary that intake, calculations, rules and the case
// record share: what can be read, stated, seen, and told in passing. A key means
// the same thing everywhere; people never type keys (that is refdata/lexicon).
package vocab

import (
	"encoding/json"
	"slices"

	"coldcase/refdata/units"
)

// Key names a reading: a number with a unit.
type Key string

// Quantity says what kind of number a key holds, and so which units fit it.
type Quantity string

// The quantities of readings.
const (
	GaugePressure   Quantity = "gauge pressure"
	PressureDrop    Quantity = "pressure difference"
	Temperature     Quantity = "temperature"
	TempDifference  Quantity = "temperature difference"
	TubeSize        Quantity = "tube outside diameter"
	Length          Quantity = "length"
	HeatFlow        Quantity = "heat flow"
	Mass            Quantity = "mass"
	Volume          Quantity = "volume"
	Voltage         Quantity = "voltage"
	Current         Quantity = "current"
	Resistance      Quantity = "resistance"
	Insulation      Quantity = "insulation resistance"
	DeepVacuum      Quantity = "deep vacuum"
	ShortTime       Quantity = "test time"
	Age             Quantity = "age"
	StartsFrequency Quantity = "starts per time"
)

// Definition of one reading key (readings.md).
type Definition struct {
	Key      Key
	What     string     // what it is, in the trade's words
	Quantity Quantity   // which units fit
	Bare     units.Code // unit of a bare number
}

// Reading is one value as it was typed; it is never converted here.
type Reading struct {
	Key     Key        `json:"key"`
	Value   float64    `json:"value"`
	Unit    units.Code `json:"unit"`
	Assumed bool       `json:"assumed,omitempty"` // the unit was not typed
	Approx  bool       `json:"approx,omitempty"`  // said to be rough, or the middle of a range
	Span    *[2]int    `json:"span,omitempty"`    // bytes of the message it came from: from, to
}

// State of the machine when a reading was taken. Numbers pair readings of one
// visit and one state only (interfaces.md).
type State string

// The states that are told apart.
const (
	Running  State = "running"  // the default
	Standing State = "standing" // off, at rest, equalized, overnight, pumped down, before the start
)

// Fact names one thing stated about the machine, one value each.
type Fact string

// Facts maps what was stated to its value: text as readings.md spells it, or
// "yes" and "no" for the has_ facts, which JSON writes as true and false.
type Facts map[Fact]string

// MarshalJSON writes has_ facts as booleans and the rest as text.
func (f Facts) MarshalJSON() ([]byte, error) {
	out := make(map[Fact]any, len(f))
	for k, v := range f {
		if IsYesNo(k) {
			out[k] = v == Yes
		} else {
			out[k] = v
		}
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (f *Facts) UnmarshalJSON(b []byte) error {
	var in map[Fact]any
	if err := json.Unmarshal(b, &in); err != nil {
		return err
	}
	*f = make(Facts, len(in))
	for k, v := range in {
		switch v := v.(type) {
		case bool:
			(*f)[k] = No
			if v {
				(*f)[k] = Yes
			}
		case string:
			(*f)[k] = v
		}
	}
	return nil
}

// The values of a has_ fact.
const (
	Yes = "yes"
	No  = "no"
)

// Finding names something seen: true or false; unsaid stays unknown.
type Finding string

// Circumstance names what a message tells besides readings, facts and findings
// and the case keeps for the rules (readings.md rule 6, trade-basis 5.5): when
// the trouble comes, what was changed, what the tech means to do next.
type Circumstance string

// Define returns the definition of a reading key.
func Define(k Key) (Definition, bool) {
	d, ok := byKey[k]
	return d, ok
}

// Definitions lists every reading key in the order of readings.md.
func Definitions() []Definition { return slices.Clone(definitions) }

// AllFacts lists every fact key.
func AllFacts() []Fact { return slices.Clone(facts) }

// AllFindings lists every finding key.
func AllFindings() []Finding { return slices.Clone(findings) }

// IsYesNo reports whether a fact is one of the has_ facts.
func IsYesNo(f Fact) bool { return len(f) > 4 && f[:4] == "has_" }

// IsFact and IsFinding tell the namespaces apart.
func IsFact(name string) bool { return slices.Contains(facts, Fact(name)) }

// IsFinding reports whether name is a finding key.
func IsFinding(name string) bool { return slices.Contains(findings, Finding(name)) }

var byKey = func() map[Key]Definition {
	m := make(map[Key]Definition, len(definitions))
	for _, d := range definitions {
		m[d.Key] = d
	}
	return m
}()
