// Package service computes the tests and records of service work: the nitrogen
// hold, the vacuum's decay and the leak rate.
package service

import (
	"math"

	"coldcase/calc/cycle"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// HoldingChange is what a nitrogen charge gained or lost beyond what its
// temperature explains.
//
//	expected = p1 T2/T1 (absolute) ;  change = p2 - expected
//
// In:     gauge pressures and pipe temperatures at start and end; air around
// Out:    change, below zero for a loss; the pressure that was expected
// Range:  absolute pressures above zero
// Error:  *cycle.RangeError
// Within: 0.3 psi of trade-basis 6.3 (305 psig 91 F to 58 F: 285.8 psig)
// Source: ideal gas at constant volume
func HoldingChange(start units.Gauge, startTemp units.Temperature, end units.Gauge, endTemp units.Temperature, air units.Pressure) (change units.PressureDelta, expected units.Gauge, err error) {
	p1 := start.Abs(air)
	if !(p1 > 0) || !(startTemp > 0) || !(endTemp > 0) {
		return 0, 0, &cycle.RangeError{Quantity: "test pressure, psia", Got: p1.PSIA(), Low: 0, High: 3000}
	}
	expected = units.Pressure(float64(p1) * float64(endTemp) / float64(startTemp)).Gauge(air)
	return end.Sub(expected), expected, nil
}

// HoldingTolerance is the loss that gauges alone explain.
//
//	max(1 % of reading, 0.5 psi)
//
// In:     reading, the gauge at the end
// Out:    tolerance; to twice of it repeat longer, beyond it is a leak
// Range:  any
// Error:  none
// Within: a choice of this project
// Source: trade-basis 6.3 (own)
func HoldingTolerance(reading units.Gauge) units.PressureDelta {
	share := float64(units.Percent(limits.Value("holding_loss_pct")))
	return max(units.PressureDelta(share*math.Abs(float64(reading))), units.PSI(limits.Value("holding_loss_psi")))
}

// HoldingVerdict judges the change of a holding test.
//
//	loss within tolerance ok · to twice watch, repeat longer · more: leak
//	gain beyond tolerance: a temperature is wrong
//
// In:     change of HoldingChange; reading, the gauge at the end
// Out:    verdict; ask for a gain
// Range:  any
// Error:  none
// Within: exact
// Source: trade-basis 6.3 (own)
func HoldingVerdict(change units.PressureDelta, reading units.Gauge) limits.Verdict {
	tolerance := HoldingTolerance(reading)
	if change > tolerance {
		return limits.Ask
	}
	return limits.Rising(-change.PSI(), tolerance.PSI(), 2*tolerance.PSI(), math.Inf(1))
}

// AnnualizedLeakRate is a leak rate by the annualizing method.
//
//	LR = added/full 365/min(days, 365)
//
// In:     mass added, full charge, time since the last addition
// Out:    fraction of the charge a year
// Range:  full charge and time above zero
// Error:  *cycle.RangeError
// Within: 0.01 % of trade-basis 7.2 (310 lb, 44 lb, 141 days: 36.74 %)
// Source: 40 CFR 82.152 and 84.102 (seen restated): verify the current rule
func AnnualizedLeakRate(added, full units.Mass, since units.Duration) (units.Fraction, error) {
	if !(since > 0) {
		return 0, &cycle.RangeError{Quantity: "days since the last addition", Got: since.Days(), Low: 0, High: math.Inf(1)}
	}
	if _, err := RollingLeakRate(added, full); err != nil {
		return 0, err
	}
	return units.Fraction(float64(added) / float64(full) * 365 / min(since.Days(), 365)), nil
}

// RollingLeakRate is a leak rate by the rolling-average method.
//
//	LR = added in the last 365 days / full
//
// In:     mass added since then, or since the last passed follow-up test; full charge
// Out:    fraction of the charge a year
// Range:  full charge above zero
// Error:  *cycle.RangeError
// Within: 0.01 % of trade-basis 7.2 (310 lb, 65 lb: 20.97 %)
// Source: 40 CFR 82.152 and 84.102 (seen restated): verify the current rule
func RollingLeakRate(added, full units.Mass) (units.Fraction, error) {
	if !(added >= 0) {
		return 0, &cycle.RangeError{Quantity: "charge added, lb", Got: added.Pounds(), Low: 0, High: math.Inf(1)}
	}
	if !(full > 0) {
		return 0, &cycle.RangeError{Quantity: "full charge, lb", Got: full.Pounds(), Low: 0, High: math.Inf(1)}
	}
	return units.Fraction(added / full), nil
}
