package service

import (
	"math"

	"coldcase/calc/cycle"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// Sample is one look at a gauge: how long after the pump was valved off, and what
// it read.
type Sample struct {
	After units.Duration
	Level units.Pressure
}

// Decay is what a vacuum does once it is left alone.
type Decay string

// The shapes of trade-basis 6.4.
const (
	Dry       Decay = "dry and tight"
	Wet       Decay = "wet"        // levels: moisture, or refrigerant boiling out of oil
	FreeWater Decay = "free water" // levels at water's vapor pressure
	Leaking   Decay = "leaking"    // keeps rising in a straight line
	Unclear   Decay = "unclear"    // two readings in the middle tell no shape: read it once more
)

// Trend is how a rise went on, as somebody saw it.
type Trend string

// The trends.
const (
	TrendUnsaid Trend = ""
	TrendLevels Trend = "levels off" // "then stopped", "held there"
	TrendRises  Trend = "keeps rising"
)

// VacuumDecay tells dry, wet and leaking apart by the shape of the rise.
//
//	late slope < half of the early one: it levels; else it is straight
//	two readings: as it was seen to go on
//	end <= 500, or <= 1000 levelling: dry · levelling above: wet · straight: leak
//
// In:     readings in order, the first when the pump was valved off; pipe
//
//	temperature or 0 when not known; how the rise was seen to go on
//
// Out:    shape
// Range:  two readings or more, times rising, 1 to 760,000 micron
// Error:  *cycle.RangeError
// Within: two readings tell a shape only at the ends: 500 and below, 2000 and above
// Source: trade-basis 6.4 (UFGS 15182 seen; the rest common practice, own shape test)
func VacuumDecay(read []Sample, pipe units.Temperature, seen Trend) (Decay, error) {
	level, err := DecayTrend(read)
	if err != nil {
		return Unclear, err
	}
	end := read[len(read)-1].Level.Micron()
	if end <= limits.Value("vacuum_target_micron") {
		return Dry, nil
	}
	if level == TrendUnsaid {
		level = seen
	}
	switch {
	case level == TrendRises:
		return Leaking, nil
	case level == TrendUnsaid && end > limits.Value("vacuum_leak_micron"):
		return Leaking, nil
	case level == TrendUnsaid:
		return Unclear, nil
	case end <= limits.Value("vacuum_rise_micron"):
		return Dry, nil
	case pipe > 0 && nearWater(read[len(read)-1].Level, pipe):
		return FreeWater, nil
	case end > limits.Value("vacuum_wet_micron") && !(pipe > 0):
		return Unclear, nil
	}
	return Wet, nil
}

func checkSamples(read []Sample) error {
	if len(read) < 2 {
		return &cycle.RangeError{Quantity: "vacuum readings", Got: float64(len(read)), Low: 2, High: math.Inf(1)}
	}
	for i, s := range read {
		if m := s.Level.Micron(); !(m >= 0.99 && m <= 760000.5) {
			return &cycle.RangeError{Quantity: "vacuum, micron", Got: m, Low: 1, High: 760000}
		}
		if i > 0 && !(s.After > read[i-1].After) {
			return &cycle.RangeError{Quantity: "time after valving off, min", Got: s.After.Minutes(), Low: read[i-1].After.Minutes(), High: math.Inf(1)}
		}
	}
	return nil
}

// DecayTrend tells by its looks whether a vacuum's rise levels off.
//
//	late slope < half of the early one: it levels; else it goes on
//
// In:     readings in order, the first when the pump was valved off
// Out:    trend; unsaid with fewer than three readings: two tell no shape
// Range:  times rising, 1 to 760,000 micron
// Error:  *cycle.RangeError
// Within: the gauge's step over the last stretch
// Source: trade-basis 6.4 (own shape test)
func DecayTrend(read []Sample) (Trend, error) {
	if err := checkSamples(read); err != nil {
		return TrendUnsaid, err
	}
	n := len(read)
	if n < 3 {
		return TrendUnsaid, nil
	}
	if slope(read[n-2], read[n-1]) < limits.Value("vacuum_levelling_share")*slope(read[0], read[1]) {
		return TrendLevels, nil
	}
	return TrendRises, nil
}

func slope(a, b Sample) float64 { return float64(b.Level-a.Level) / float64(b.After-a.After) }

func nearWater(level units.Pressure, pipe units.Temperature) bool {
	water, err := WaterVapor(pipe)
	return err == nil && math.Abs(float64(level-water)) < 0.15*float64(water)
}

// WaterVapor is the vapor pressure of water: where a vacuum hangs while liquid
// water is left.
//
//	p = 0.61121 exp((18.678 - t/234.5) t/(257.14 + t))    kPa, t in C
//
// In:     temperature of the coldest wet spot
// Out:    absolute pressure
// Range:  0 to 60 C
// Error:  *cycle.RangeError
// Within: 1 % of trade-basis 6.4 (4,590 9,210 17,550 micron at 32, 50, 68 F)
// Source: A.L. Buck, Journal of Applied Meteorology 20 (1981) 1527, revised 1996 (from memory)
func WaterVapor(t units.Temperature) (units.Pressure, error) {
	const low, high = -0.01, 60
	c := t.C()
	if !(c >= low && c <= high) {
		return 0, &cycle.RangeError{Quantity: "pipe temperature, C", Got: c, Low: 0, High: high}
	}
	return units.Pascal(611.21 * math.Exp((18.678-c/234.5)*c/(257.14+c))), nil
}
