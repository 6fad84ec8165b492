// Package protect computes what guards a compressor from liquid and from its own
// controls: the accumulator, the sump, the pump-down and its leak-by.
package protect

import (
	"fmt"
	"math"

	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// AccumulatorVolume is the shell that can hold a share of the charge as liquid.
//
//	V = share charge / rho_liquid / usable
//
// In:     charge; share of it that may come, 0.5 for receiver and TXV systems, 0.7
//
//	for capillary, orifice or hot-gas defrost; the liquid's temperature
//
// Out:    shell volume
// Range:  share above 0 to 1; saturation range of the fluid
// Error:  *cycle.RangeError, *props.RangeError
// Within: 3 % of trade-basis 3.1 (R448A, 46 lb: 770 in3)
// Source: mass balance; shares, 40 F and the usable 0.7 are common practice
func AccumulatorVolume(f *props.Fluid, charge units.Mass, share units.Fraction, cold units.Temperature) (units.Volume, error) {
	liquid, err := f.LiquidAtBubble(cold)
	if err != nil {
		return 0, fmt.Errorf("accumulator: %w", err)
	}
	return ShellFor(charge, share, liquid.Rho)
}

// ShellFor is AccumulatorVolume for a liquid of known density.
//
//	V = share charge / rho_liquid / usable
//
// In:     charge; share of it that may come; the liquid's density
// Out:    shell volume
// Range:  share above 0 to 1; charge and density above zero
// Error:  *cycle.RangeError
// Within: exact; the usable 0.7 is a choice of the trade
// Source: mass balance; trade-basis 3.1 (common practice)
func ShellFor(charge units.Mass, share units.Fraction, liquid units.Density) (units.Volume, error) {
	if !(charge > 0) || !(liquid > 0) {
		return 0, &cycle.RangeError{Quantity: "charge, lb", Got: charge.Pounds(), Low: 0, High: math.Inf(1)}
	}
	if !(share > 0 && share <= units.Percent(100)) {
		return 0, &cycle.RangeError{Quantity: "share of the charge", Got: float64(share), Low: 0, High: 1}
	}
	return units.Volume(float64(share) * float64(charge) / float64(liquid) / limits.Value("accumulator_usable")), nil
}

// LeakByRate is how fast the low side refills after a pump-down.
//
//	r = (p2 - p1)/t
//
// In:     pressures right after the stop and after the wait; the wait
// Out:    pressure over time
// Range:  wait above zero
// Error:  *cycle.RangeError
// Within: exact
// Source: trade-basis 3.3
func LeakByRate(start, end units.Gauge, wait units.Duration) (units.PressureRate, error) {
	if !(wait > 0) {
		return 0, &cycle.RangeError{Quantity: "wait, min", Got: wait.Minutes(), Low: 0, High: 2880}
	}
	return units.PressureRate(float64(end.Sub(start)) / float64(wait)), nil
}

// LeakedMass is the refrigerant that came into the low side as gas.
//
//	m = V (rho2 - rho1)
//
// In:     low-side gas volume; pressures before and after, absolute; gas temperature
// Out:    mass
// Range:  gas at both ends
// Error:  *props.RangeError, *props.TwoPhaseError
// Within: 3 % of trade-basis 3.3 (0.352 lb)
// Source: mass balance
func LeakedMass(f *props.Fluid, volume units.Volume, before, after units.Pressure, gas units.Temperature) (units.Mass, error) {
	a, err := f.AtTP(gas, before)
	if err != nil {
		return 0, fmt.Errorf("leaked mass: %w", err)
	}
	b, err := f.AtTP(gas, after)
	if err != nil {
		return 0, fmt.Errorf("leaked mass: %w", err)
	}
	return units.Mass(float64(volume) * float64(b.Rho-a.Rho)), nil
}
