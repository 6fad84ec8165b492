// Package derive turns what was read on a case into every number that can be
// had from it, and for the rest says what is missing.
package derive

import (
	"slices"
	"time"

	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// Observation is a reading with its place in the case.
type Observation struct {
	vocab.Reading
	At       time.Time   // when its message was sent
	Visit    int         // 1 for the first; more than 2 quiet hours or the words start the next
	State    vocab.State // running unless the words say otherwise
	Settling bool        // pull-down or the first 15 min after a start: on record, not judged
	Replaced bool        // of a compressor that has been replaced since
}

// Record is what a case holds, in order of arrival; what was undone or scratched
// is already left out. It is data only: no clock, no store.
type Record struct {
	Observations  []Observation
	Facts         vocab.Facts
	Findings      map[vocab.Finding]bool
	Circumstances map[vocab.Circumstance]bool
	Replaced      Replaced
	InQuestion    []vocab.Key       // values that were typed and could not be used, not yet answered for
	Loose         [][]vocab.Reading // numbers of which it is not known yet what they are, each as what it could be
	Metric        *bool             // the sender's choice of units; nil follows what was typed
	Visit         int               // the visit that is going on
}

// InMetric tells in which units the case is read: those that the sender chose, else
// those that were typed last.
func (rec Record) InMetric() bool {
	if rec.Metric != nil {
		return *rec.Metric
	}
	for _, o := range slices.Backward(rec.Observations) {
		if d, _ := vocab.Define(o.Key); d.Quantity == vocab.GaugePressure || d.Quantity == vocab.Temperature {
			return o.Unit.Metric()
		}
	}
	return false
}

// Name of a computed number (interfaces.md).
type Name string

// Load at which a flow number holds.
type Load string

// Loads; empty where a number has no load.
const (
	FullLoad Load = "full"
	MinLoad  Load = "min"
)

// Number is one computed value.
type Number struct {
	Name  Name
	Value float64    // in Unit
	Unit  units.Code // US or metric as interfaces.md says
	Load  Load
	Visit int
	State vocab.State
	// Settling numbers stay on record and are not judged.
	Settling bool
	// PlusMinus is the half width that the instruments leave, in Unit; 0 when unknown.
	PlusMinus float64
	From      []vocab.Key // readings it rests on
	Note      string      // what was assumed on the way, in the trade's words; "" when nothing
}

// Missing says what a number that could not be had still needs.
type Missing struct {
	Name Name
	Keys []vocab.Key // readings that would do; empty with Fact set
	Fact vocab.Fact
	Why  string // in the trade's words
}

// Doubt is a value that cannot be, or cannot be beside the others (trade-basis
// section 9): it is asked about and not used.
type Doubt struct {
	Key   vocab.Key  // the reading in doubt
	Fact  vocab.Fact // set instead when the refrigerant is in doubt
	Fault string     // gauges_swapped or wrong_refrigerant when that is what it looks like
	Why   string     // in the trade's words, with the two readings named
}

// Result is everything that the record gives.
type Result struct {
	Numbers []Number // the last value of each name and load is the last in order
	Missing []Missing
	Doubts  []Doubt

	Compression *Compression // of the last running state with its discharge line taken
	AtRest      *AtRest      // of the last standing state with the air around it taken
	Settings    *Settings    // of the low-pressure control, where it is known
}

// Compression holds a measured discharge line against what dry compression gives
// at the readings beside it (trade-basis 1.6).
type Compression struct {
	UnderDry units.TempDelta // below the best plausible machine
	OverPoor units.TempDelta // above a poor one
}
