package protect

import (
	"fmt"
	"math"

	"coldcase/calc/cycle"
	"coldcase/calc/pipe"
	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// SumpMargin is how far the oil is above what would condense refrigerant into it.
//
//	margin = t_sump - t_dew(p)    p the low side of the same state
//
// In:     sump, bottom of the shell; p, absolute, running or at rest
// Out:    difference and verdict: >= 20 F ok · 10-20 watch · < 10 bad
// Range:  the saturation pressures of the fluid
// Error:  *props.RangeError
// Within: 0.1 K of the dew temperature's source
// Source: trade-basis 3.2 (common practice; makers differ)
func SumpMargin(f *props.Fluid, sump units.Temperature, p units.Pressure) (units.TempDelta, limits.Verdict, error) {
	dew, err := f.DewTemp(p)
	if err != nil {
		return 0, limits.Ask, fmt.Errorf("sump margin: %w", err)
	}
	margin := sump.Sub(dew)
	return margin, limits.Falling(margin.DegreesF(), limits.Value("sump_watch_dF"), limits.Value("sump_margin_dF"), math.Inf(-1)), nil
}

// AccumulatorVerdict holds the shell that is there against the one needed.
//
//	have/need >= 1 ok · 0.7-1 watch · < 0.7 bad
//
// In:     internal volume; need of AccumulatorVolume
// Out:    ratio and verdict
// Range:  need above zero
// Error:  *cycle.RangeError
// Within: exact
// Source: trade-basis 3.1 (common practice)
func AccumulatorVerdict(have, need units.Volume) (float64, limits.Verdict, error) {
	if !(need > 0) || !(have >= 0) {
		return 0, limits.Ask, &cycle.RangeError{Quantity: "accumulator needed, in3", Got: need.CubicInches(), Low: 0, High: math.Inf(1)}
	}
	ratio := float64(have / need)
	return ratio, limits.Falling(ratio, 1, limits.Value("accumulator_bad"), math.Inf(-1)), nil
}

// AccumulatorOilReturn tells whether an accumulator gives its oil back and what
// it costs.
//
//	m_least >= maker's minimum;  loss across it <= 1 F
//
// In:     fluid; p, absolute, at its inlet; flow at the least load; the maker's
//
//	minimum flow and the drop at full load
//
// Out:    loss as temperature and verdict: bad when oil stays in it, watch on loss
// Range:  the saturation pressures of the fluid; minimum flow above zero
// Error:  *cycle.RangeError, *props.RangeError
// Within: the maker's figures
// Source: trade-basis 3.1 (common practice)
func AccumulatorOilReturn(f *props.Fluid, p units.Pressure, least, makersLeast units.MassFlow, drop units.PressureDelta) (units.TempDelta, limits.Verdict, error) {
	if !(makersLeast > 0) || !(least >= 0) {
		return 0, limits.Ask, &cycle.RangeError{Quantity: "maker's least flow, lb/h", Got: makersLeast.PoundsPerHour(), Low: 0, High: math.Inf(1)}
	}
	loss, err := pipe.SuctionPenalty(f, p, drop)
	if err != nil {
		return 0, limits.Ask, fmt.Errorf("accumulator: %w", err)
	}
	if least < makersLeast {
		return loss, limits.Bad, nil
	}
	return loss, limits.Rising(loss.DegreesF(), limits.Value("accumulator_penalty_dF"), math.Inf(1), math.Inf(1)), nil
}

// HeaterCurrent is what a working crankcase heater draws.
//
//	I = P/U    single phase
//
// In:     rated watts; volts at the heater
// Out:    amps
// Range:  volts above zero
// Error:  *cycle.RangeError
// Within: exact for a plain resistor; a self-regulating one draws less when warm
// Source: Ohm's law (trade-basis 3.2)
func HeaterCurrent(rated units.Power, volts units.Voltage) (units.Current, error) {
	if !(volts > 0) || !(rated > 0) {
		return 0, &cycle.RangeError{Quantity: "heater volts, V", Got: float64(volts), Low: 1, High: 690}
	}
	return units.Current(float64(rated) / float64(volts)), nil
}

// HeaterVerdict tells whether a crankcase heater works by what it draws.
//
//	within 20 % of P/U ok · off by more watch · none bad
//
// In:     measured amps; expected of HeaterCurrent
// Out:    verdict
// Range:  expected above zero
// Error:  *cycle.RangeError
// Within: the clamp's error, large below 1 A
// Source: trade-basis 3.2 (common practice)
func HeaterVerdict(measured, expected units.Current) (limits.Verdict, error) {
	if !(expected > 0) || !(measured >= 0) {
		return limits.Ask, &cycle.RangeError{Quantity: "heater amps, A", Got: float64(measured), Low: 0, High: math.Inf(1)}
	}
	off := units.Fraction(math.Abs(float64(measured-expected)) / float64(expected)).Percent()
	if float64(measured) < 0.1*float64(expected) {
		return limits.Bad, nil
	}
	return limits.Rising(off, limits.Value("heater_current_pct"), math.Inf(1), math.Inf(1)), nil
}

// FloodSigns are what was read of liquid at the compressor; a sign not read is
// left out.
type FloodSigns struct {
	TotalSuperheat     *units.TempDelta
	DischargeSuperheat *units.TempDelta
	Compression        cycle.CompressionSign // "" when not read
	SumpRunning        *units.TempDelta
	SumpStanding       *units.TempDelta
}

// Flood is how sure liquid at the compressor is.
type Flood struct {
	Running, Standing limits.Verdict
	Signs             int // that speak for liquid while running
}

// Floodback counts the signs of liquid at the compressor, running and at rest.
//
//	total superheat < 10 F, < 5 stop · discharge superheat < 40 F with a discharge
//	cooler than any dry compression · running sump < 10 F over dew · at rest the same
//
// In:     signs that were read
// Out:    a verdict each for running and rest; one wet sign alone is a watch, but for
//
//	superheat, which is the direct one
//
// Range:  any
// Error:  none
// Within: that of the signs
// Source: trade-basis 1.3, 1.5, 3.2 (common practice)
func Floodback(s FloodSigns) Flood {
	out := Flood{Running: limits.OK, Standing: limits.OK}
	wet := func(d *units.TempDelta, name string) bool {
		return d != nil && d.DegreesF() < limits.Value(name)
	}
	direct := wet(s.TotalSuperheat, "floodback_superheat_dF")
	for _, seen := range [...]bool{direct, wet(s.DischargeSuperheat, "wet_discharge_dF") && s.Compression == cycle.WetOrCooled, wet(s.SumpRunning, "sump_margin_dF")} {
		if seen {
			out.Signs++
		}
	}
	switch {
	case wet(s.TotalSuperheat, "wet_suction_dF"):
		out.Running = limits.Stop
	case direct || out.Signs > 1:
		out.Running = limits.Bad
	case out.Signs == 1:
		out.Running = limits.Watch
	}
	if wet(s.SumpStanding, "sump_margin_dF") {
		out.Standing = limits.Bad
	} else if wet(s.SumpStanding, "sump_watch_dF") {
		out.Standing = limits.Watch
	}
	return out
}

// EnvelopeCaution is one way out of what a compressor is made for.
type EnvelopeCaution string

// The cautions.
const (
	RatioHigh      EnvelopeCaution = "compression ratio high"
	RatioLow       EnvelopeCaution = "compression ratio low: does it pump?"
	DischargeHot   EnvelopeCaution = "discharge hot"
	ReturnGasHot   EnvelopeCaution = "return gas hot"
	CondensingHigh EnvelopeCaution = "condensing high"
)

// Working is where a compressor works; a zero is not known and not checked.
type Working struct {
	Ratio                            float64
	Discharge, ReturnGas, Condensing units.Temperature
}

// Envelope lists the cautions of where a compressor works.
//
//	ratio > 8 or < 1.8 · discharge > 200 F · return gas > 65 F · condensing > 130 F
//
// In:     what is known of the working point; not for R717 and transcritical R744
// Out:    cautions, none when all is within
// Range:  any; the maker's envelope wins
// Error:  none
// Within: exact
// Source: trade-basis 1.3, 1.5, 1.6 (common practice)
func Envelope(w Working) []EnvelopeCaution {
	over := func(t units.Temperature, name string) bool { return t > 0 && t.F() > limits.Value(name) }
	var out []EnvelopeCaution
	for _, c := range [...]struct {
		holds bool
		is    EnvelopeCaution
	}{
		{w.Ratio > limits.Value("watch_ratio"), RatioHigh},
		{w.Ratio > 0 && w.Ratio < limits.Value("low_ratio"), RatioLow},
		{over(w.Discharge, "watch_discharge_F"), DischargeHot},
		{over(w.ReturnGas, "hot_return_gas_F"), ReturnGasHot},
		{over(w.Condensing, "envelope_condensing_F"), CondensingHigh},
	} {
		if c.holds {
			out = append(out, c.is)
		}
	}
	return out
}
