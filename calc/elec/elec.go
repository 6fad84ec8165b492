// Package elec computes what a meter tells of a motor and its supply.
package elec

import (
	"math"

	"coldcase/calc/cycle"
	"coldcase/refdata/units"
)

// Unbalance is the largest deviation of three values from their mean, over the
// mean: of line voltages, line currents or winding resistances.
//
//	U = max|v - mean| / mean
//
// In:     a, b, c: the three values, in one unit
// Out:    fraction, not percent
// Range:  no value below zero, mean above zero and finite
// Error:  *cycle.RangeError
// Within: 0.02 % of NEMA MG 1 14.36's worked example (220/215/210: 2.33 %)
// Source: NEMA MG 1 14.36 (seen quoted)
func Unbalance[Q ~float64](a, b, c Q) (units.Fraction, error) {
	mean := float64(a+b+c) / 3
	if !(mean > 0) || !units.Finite(mean) || a < 0 || b < 0 || c < 0 {
		return 0, &cycle.RangeError{Quantity: "mean of the three legs", Got: mean, Low: 0, High: math.Inf(1)}
	}
	most := 0.0
	for _, v := range [...]Q{a, b, c} {
		most = max(most, math.Abs(float64(v)-mean))
	}
	return units.Fraction(most / mean), nil
}

// ExtraHeat is the rise of the winding's temperature rise under unbalanced volts.
//
//	rise = 2 U^2    both in percent
//
// In:     voltage unbalance
// Out:    fraction of the temperature rise, in the hottest phase
// Range:  up to 10 %
// Error:  *cycle.RangeError
// Within: the rule is approximate
// Source: NEMA MG 1 / DOE guidance (from memory)
func ExtraHeat(u units.Fraction) (units.Fraction, error) {
	if !(u >= 0 && u <= units.Percent(10)) {
		return 0, &cycle.RangeError{Quantity: "voltage unbalance, pct", Got: u.Percent(), Low: 0, High: 10}
	}
	return units.Percent(2 * u.Percent() * u.Percent()), nil
}

// deratingCurve is read off NEMA MG 1 figure 14-1 (from memory; 3 % seen as 0.90).
var deratingCurve = [...]float64{1, 1, 0.95, 0.89, 0.82, 0.75} // [percent]

// Derating is the share of the rated load that a motor may carry under
// unbalanced volts.
//
//	linear between 1.00, 1.00, 0.95, 0.89, 0.82, 0.75 at 0 to 5 %
//
// In:     voltage unbalance
// Out:    fraction of rated load
// Range:  0 to 5 %: above, the motor may not run
// Error:  *cycle.RangeError
// Within: 0.02 of the curve
// Source: NEMA MG 1 14.36 figure 14-1 (from memory)
func Derating(u units.Fraction) (units.Fraction, error) {
	pct := u.Percent()
	last := len(deratingCurve) - 1
	if !(pct >= 0 && pct <= float64(last)) {
		return 0, &cycle.RangeError{Quantity: "voltage unbalance, pct", Got: pct, Low: 0, High: float64(last)}
	}
	i := min(int(pct), last-1)
	return units.Fraction(deratingCurve[i] + (pct-float64(i))*(deratingCurve[i+1]-deratingCurve[i])), nil
}

// InsulationAt40C corrects an insulation resistance to 40 C.
//
//	R40 = R_T 0.5^((40 - T)/10)
//
// In:     resistance at the winding's temperature
// Out:    resistance at 40 C; a screen, since the 2013 edition has other factors
//
//	for thermosetting windings
//
// Range:  -20 to 120 C
// Error:  *cycle.RangeError
// Within: 2 % of trade-basis 4.4 (38 Mohm at 22 C: 10.9)
// Source: IEEE 43, halving rule (restated in pages seen)
func InsulationAt40C(r units.Resistance, winding units.Temperature) (units.Resistance, error) {
	const low, high = -20, 120
	if c := winding.C(); !(c >= low && c <= high) {
		return 0, &cycle.RangeError{Quantity: "winding temperature, C", Got: c, Low: low, High: high}
	}
	return units.Resistance(float64(r) * math.Pow(0.5, (40-winding.C())/10)), nil
}

// CopperAt carries a winding's resistance to another temperature.
//
//	R2 = R1 (234.5 + T2)/(234.5 + T1)    C
//
// In:     resistance; the temperatures it was measured at and is wanted at
// Out:    resistance
// Range:  -50 to 200 C
// Error:  *cycle.RangeError
// Within: 1 % of trade-basis 4.3 (0.85 at 48 C: 0.781 at 25 C)
// Source: copper, 234.5 rule (textbook)
func CopperAt(r units.Resistance, measured, wanted units.Temperature) (units.Resistance, error) {
	const low, high = -50, 200
	for _, t := range [...]units.Temperature{measured, wanted} {
		if c := t.C(); !(c >= low && c <= high) {
			return 0, &cycle.RangeError{Quantity: "winding temperature, C", Got: c, Low: low, High: high}
		}
	}
	return units.Resistance(float64(r) * (234.5 + wanted.C()) / (234.5 + measured.C())), nil
}
