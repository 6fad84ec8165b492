package cycle

import (
	"fmt"
	"math"

	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// DischargeTemp is the temperature that a compressor of a given overall
// efficiency discharges at.
//
//	h2 = h1 + (h2s - h1)/eta ;  T2 = T(p_d, h2)
//
// In:     suction pressure and suction line temperature at the compressor,
//
//	discharge pressure, all absolute; eta, suction to discharge, adiabatic
//
// Out:    discharge line temperature; wet compression ends at the dew point
// Range:  suction gas above its dew point; eta 0.3 to 1
// Error:  *RangeError, *props.RangeError
// Within: 1 F of trade-basis 1.6's worked example (186/209/246 F)
// Source: textbook; efficiency band 0.80, 0.65, 0.50 is common practice
func DischargeTemp(f *props.Fluid, suction units.Pressure, line units.Temperature, discharge units.Pressure, eta units.Fraction) (units.Temperature, error) {
	c, err := compress(f, suction, line, discharge)
	if err != nil {
		return 0, err
	}
	return c.at(eta)
}

// Band is what dry compression could discharge at.
type Band struct{ Best, Typical, Poor units.Temperature }

// DischargeBand is DischargeTemp at the best plausible, the typical and a poor
// efficiency: below it the suction was wet or cooled, above it the valves leak.
//
//	T2 at eta 0.80, 0.65, 0.50
//
// In:     as DischargeTemp
// Out:    the three temperatures
// Range:  as DischargeTemp
// Error:  *RangeError, *props.RangeError
// Within: 1 F of worked_examples.csv CYC rows
// Source: trade-basis 1.6; efficiencies are common practice
func DischargeBand(f *props.Fluid, suction units.Pressure, line units.Temperature, discharge units.Pressure) (Band, error) {
	c, err := compress(f, suction, line, discharge)
	if err != nil {
		return Band{}, err
	}
	var b Band
	for _, at := range []struct {
		name string
		into *units.Temperature
	}{{"efficiency_best", &b.Best}, {"efficiency_typical", &b.Typical}, {"efficiency_poor", &b.Poor}} {
		if *at.into, err = c.at(units.Fraction(limits.Value(at.name))); err != nil {
			return Band{}, err
		}
	}
	return b, nil
}

// compression holds one isentropic compression, so that several efficiencies
// cost one solve for entropy.
type compression struct {
	fluid     *props.Fluid
	discharge units.Pressure
	h1, h2s   units.Enthalpy
}

func compress(f *props.Fluid, suction units.Pressure, line units.Temperature, discharge units.Pressure) (compression, error) {
	s1, err := f.AtTP(line, suction)
	if err != nil {
		return compression{}, fmt.Errorf("suction gas: %w", err)
	}
	if s1.Phase == props.Liquid {
		dew, err := f.DewTemp(suction)
		if err != nil {
			return compression{}, fmt.Errorf("suction gas: %w", err)
		}
		return compression{}, &RangeError{Quantity: "suction line above dew, F", Got: line.Sub(dew).DegreesF(), Low: 0, High: 400}
	}
	if !(discharge >= suction) {
		return compression{}, &RangeError{Quantity: "discharge, psia", Got: discharge.PSIA(), Low: suction.PSIA(), High: math.Inf(1)}
	}
	s2, err := f.AtPS(discharge, s1.S)
	if err != nil {
		return compression{}, fmt.Errorf("isentropic discharge: %w", err)
	}
	return compression{f, discharge, s1.H, s2.H}, nil
}

func (c compression) at(eta units.Fraction) (units.Temperature, error) {
	const low, high = 0.3, 1
	if e := float64(eta); !(e >= low && e <= high) {
		return 0, &RangeError{Quantity: "efficiency", Got: float64(eta), Low: low, High: high}
	}
	out, err := c.fluid.AtPH(c.discharge, c.h1+units.Enthalpy(float64(c.h2s-c.h1)/float64(eta)))
	if err != nil {
		return 0, fmt.Errorf("discharge: %w", err)
	}
	return out.T, nil
}

// CompressionSign is what a measured discharge temperature says of the
// compression.
type CompressionSign string

// The signs of trade-basis 1.6.
const (
	WetOrCooled CompressionSign = "cooler than any dry compression"
	DryAndSound CompressionSign = "within what dry compression gives"
	Inefficient CompressionSign = "hotter than a sound machine"
)

// ReadDischarge holds a measured discharge temperature against the band.
//
//	below T2(0.80) - 10 F: wet or cooled · above T2(0.50): inefficient
//
// In:     measured, clamp 6 in from the compressor; band of DischargeBand
// Out:    the sign
// Range:  any
// Error:  none
// Within: the clamp's error, about 2 F
// Source: trade-basis 1.6 (common practice)
func ReadDischarge(measured units.Temperature, b Band) CompressionSign {
	switch {
	case measured < b.Best.Add(-units.DegreesF(limits.Value("dry_compression_dF"))):
		return WetOrCooled
	case measured > b.Poor:
		return Inefficient
	}
	return DryAndSound
}

// MassFlow is the refrigerant that carries a load.
//
//	m = Q / (h_out - h_liquid)
//
// In:     load; hOut, gas leaving the coil (else entering the compressor: then
//
//	useless superheat is counted and m comes out 2-8 % low); hLiquid, before the valve
//
// Out:    mass flow
// Range:  hOut above hLiquid, load above zero, all finite
// Error:  *RangeError
// Within: 1 % of trade-basis 2.3 (610.8 lb/h)
// Source: textbook heat balance
func MassFlow(load units.Power, hOut, hLiquid units.Enthalpy) (units.MassFlow, error) {
	if !(hOut > hLiquid) || !(load > 0) {
		return 0, &RangeError{Quantity: "refrigerating effect, kJ/kg", Got: float64(hOut-hLiquid) / 1e3, Low: 0, High: 2000}
	}
	m := float64(load) / float64(hOut-hLiquid)
	if !units.Finite(m) {
		return 0, &RangeError{Quantity: "load, W", Got: float64(load), Low: 0, High: math.MaxFloat64}
	}
	return units.MassFlow(m), nil
}

// LiquidEnthalpy is the enthalpy of the liquid ahead of the valve: the saturated
// liquid's at its temperature, which is close enough below the critical point.
//
//	h = h'(t_liquid)
//
// In:     liquid line temperature
// Out:    enthalpy
// Range:  below the critical temperature
// Error:  *props.RangeError
// Within: 0.2 % of the compressed liquid's in trade use
// Source: trade-basis 2.1
func LiquidEnthalpy(f *props.Fluid, liquid units.Temperature) (units.Enthalpy, error) {
	s, err := f.LiquidAtBubble(liquid)
	if err != nil {
		return 0, fmt.Errorf("liquid enthalpy: %w", err)
	}
	return s.H, nil
}
