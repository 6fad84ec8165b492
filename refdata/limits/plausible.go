// Package limits holds the thresholds of the trade by name, each with its source.
package limits

import (
	_ "embed"
	"fmt"
	"sync"

	"coldcase/refdata/table"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

//go:embed plausibility.csv
var plausibility string

// Span is what a reading can be at all and what it usually is, in Unit.
type Span struct {
	Key                         vocab.Key
	Unit                        units.Code
	Low, High                   float64 // beyond: asked about, never used
	UnusuallyLow, UnusuallyHigh float64 // beyond: used, echoed and asked once
	Source                      string
}

// Plausible is the span of a reading. High-pressure refrigerants (R744) have
// wider ones; an empty name is an unknown refrigerant.
func Plausible(k vocab.Key, refrigerant string) (Span, bool) {
	s, ok := spans()[k]
	if ok && refrigerant == "R744" {
		s = s.forCO2()
	}
	return s, ok
}

// forCO2 widens the pressures as the notes of the table say.
func (s Span) forCO2() Span {
	switch s.Key {
	case vocab.SuctionPressure:
		s.High, s.UnusuallyLow, s.UnusuallyHigh = 1100, 150, 600
	case vocab.DischargePressure, vocab.LiquidPressure:
		s.High, s.UnusuallyLow, s.UnusuallyHigh = 1900, 400, 1500
	case vocab.CutInPressure, vocab.CutOutPressure:
		s.High, s.UnusuallyHigh = 900, 600
	case vocab.PumpdownPressure, vocab.PumpdownRisePressure:
		s.High, s.UnusuallyHigh = 900, 600
	}
	return s
}

var spans = sync.OnceValue(func() map[vocab.Key]Span {
	out, err := readSpans(plausibility)
	if err != nil {
		panic(err) // embedded: a test holds that it reads
	}
	return out
})

func readSpans(text string) (map[vocab.Key]Span, error) {
	columns := []string{"hard_min", "hard_max", "unusual_min", "unusual_max"}
	rows, err := table.Read(text, append(columns, "key", "unit", "source")...)
	if err != nil {
		return nil, fmt.Errorf("plausibility: %w", err)
	}
	out := map[vocab.Key]Span{}
	for _, r := range rows {
		var n [4]float64
		for i, c := range columns {
			if n[i], err = r.Number(c); err != nil {
				return nil, fmt.Errorf("plausibility: %w", err)
			}
		}
		k := vocab.Key(r.Text("key"))
		out[k] = Span{Key: k, Unit: units.Code(r.Text("unit")), Low: n[0], High: n[1], UnusuallyLow: n[2], UnusuallyHigh: n[3], Source: r.Text("source")}
	}
	return out, nil
}
