package pipe

import (
	"math"

	"coldcase/calc/cycle"
	"coldcase/refdata/limits"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
)

// FrictionFactor is Darcy's, for laminar, transitional and turbulent flow alike.
//
//	f = 8 [(8/Re)^12 + (A + B)^-1.5]^(1/12)
//	A = (2.457 ln(1/((7/Re)^0.9 + 0.27 e/d)))^16,  B = (37530/Re)^16
//
// In:     Reynolds number; roughness over bore
// Out:    factor
// Range:  Re 1 to 1e9, roughness ratio 0 to 0.05
// Error:  *cycle.RangeError
// Within: 1 % of trade-basis 2.6 (0.0533, 0.0217, 0.0149)
// Source: S.W. Churchill, Chemical Engineering 84 (1977) 91 (from memory)
func FrictionFactor(reynolds, roughness float64) (float64, error) {
	if !(roughness >= 0 && roughness <= 0.05) {
		return 0, &cycle.RangeError{Quantity: "roughness over bore", Got: roughness, Low: 0, High: 0.05}
	}
	if !(reynolds >= 1 && reynolds <= 1e9) {
		return 0, &cycle.RangeError{Quantity: "Reynolds number", Got: reynolds, Low: 1, High: 1e9}
	}
	a := math.Pow(2.457*math.Log(1/(math.Pow(7/reynolds, 0.9)+0.27*roughness)), 16)
	b := math.Pow(37530/reynolds, 16)
	return 8 * math.Pow(math.Pow(8/reynolds, 12)+math.Pow(a+b, -1.5), 1.0/12), nil
}

// HaalandFactor is Darcy's factor of turbulent flow by a shorter formula: a check
// on FrictionFactor.
//
//	1/sqrt f = -1.8 log10[(e/(3.7 d))^1.11 + 6.9/Re]
//
// In:     Reynolds number; roughness over bore
// Out:    factor
// Range:  Re 4000 to 1e8
// Error:  *cycle.RangeError
// Within: 1.5 % of FrictionFactor
// Source: S.E. Haaland, Journal of Fluids Engineering 105 (1983) 89 (from memory)
func HaalandFactor(reynolds, roughness float64) (float64, error) {
	if !(reynolds >= 4000 && reynolds <= 1e8) {
		return 0, &cycle.RangeError{Quantity: "Reynolds number", Got: reynolds, Low: 4000, High: 1e8}
	}
	root := -1.8 * math.Log10(math.Pow(roughness/3.7, 1.11)+6.9/reynolds)
	return 1 / (root * root), nil
}

// roughness of drawn copper over a bore.
func roughness(t tube.Tube) float64 {
	return limits.Value("drawn_copper_um") * 1e-6 / float64(t.ID)
}

// Friction is the pressure lost to friction over a length of tube.
//
//	dp = f L/d rho V^2/2
//
// In:     flow, density and viscosity at the place; tube; length with the
//
//	equivalent lengths of fittings added
//
// Out:    pressure lost
// Range:  that of FrictionFactor
// Error:  *cycle.RangeError
// Within: 3 % of trade-basis 2.8 (2.75 psi)
// Source: Darcy-Weisbach; wall roughness 1.5 um for drawn copper (textbook)
func Friction(m units.MassFlow, rho units.Density, mu units.Viscosity, t tube.Tube, length units.Length) (units.PressureDelta, error) {
	if !(mu > 0) || !(length >= 0) {
		return 0, &cycle.RangeError{Quantity: "viscosity, Pa s", Got: float64(mu), Low: 0, High: 0.01}
	}
	v, err := Velocity(m, rho, t)
	if err != nil || v == 0 {
		return 0, err
	}
	d := float64(t.ID)
	f, err := FrictionFactor(float64(rho)*float64(v)*d/float64(mu), roughness(t))
	if err != nil {
		return 0, err
	}
	return units.PressureDelta(f * float64(length) / d * float64(rho) * float64(v) * float64(v) / 2), nil
}

// WithFittings is the length that a pipe's friction is taken over when nothing is
// known of its fittings: half as much again.
//
//	L_equiv = 1.5 L
//
// In:     length of the pipe
// Out:    equivalent length, an assumption that the reply must name
// Range:  any length
// Error:  none
// Within: a factor of about 1.3 either way
// Source: common practice (trade-basis 2.6)
func WithFittings(length units.Length) units.Length {
	return units.Length(float64(length) * (1 + limits.Value("fittings_share")))
}

// EquivalentLength adds the equivalent lengths of fittings to a pipe's own.
//
//	L_equiv = L + n Le
//
// In:     length of the pipe; a fitting of refdata/tube, how many, on which tube
// Out:    equivalent length
// Range:  sizes that the table lists for the fitting
// Error:  *tube.UnknownFittingError
// Within: the table's spread, about 20 %
// Source: ASHRAE Handbook-Refrigeration, fitting and valve losses (from memory)
func EquivalentLength(length units.Length, fitting string, count int, t tube.Tube) (units.Length, error) {
	each, err := tube.Equivalent(fitting, t)
	if err != nil {
		return 0, err
	}
	return length + units.Length(float64(count)*float64(each)), nil
}

// ScaledPenalty carries a tabled loss to another length and load: the check that
// line tables print beside their figures.
//
//	dT2 = dT1 (L2/L1) (Q2/Q1)^1.8
//
// In:     tabled loss at its length and load; the length and load wanted
// Out:    loss
// Range:  lengths and loads above zero
// Error:  *cycle.RangeError
// Within: 5 % for loads within a factor of 2
// Source: ASHRAE Handbook-Refrigeration, notes of the line capacity tables (from memory)
func ScaledPenalty(tabled units.TempDelta, tabledLength, length units.Length, tabledLoad, load units.Power) (units.TempDelta, error) {
	if !(tabledLength > 0) || !(tabledLoad > 0) || length < 0 || load < 0 {
		return 0, &cycle.RangeError{Quantity: "tabled load, Btu/h", Got: tabledLoad.BtuPerHour(), Low: 0, High: math.Inf(1)}
	}
	return units.TempDelta(float64(tabled) * float64(length/tabledLength) * math.Pow(float64(load/tabledLoad), 1.8)), nil
}
