// Package pipe computes flow in refrigerant lines: velocity, the least flow that
// carries oil up a riser, friction as a loss of saturation temperature, and the
// sizes that follow.
package pipe

import (
	"math"

	"coldcase/calc/cycle"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
)

const gravity = 9.80665 // m/s2, standard

// Velocity is the mean velocity in a tube.
//
//	V = m / (rho A)
//
// In:     mass flow; density at the place; tube
// Out:    velocity
// Range:  density above zero
// Error:  *cycle.RangeError
// Within: 1 % of trade-basis 2.3 (1,625 fpm)
// Source: continuity
func Velocity(m units.MassFlow, rho units.Density, t tube.Tube) (units.Velocity, error) {
	if !(rho > 0) {
		return 0, &cycle.RangeError{Quantity: "density, kg/m3", Got: float64(rho), Low: 0, High: 2000}
	}
	return units.Velocity(float64(m) / (float64(rho) * float64(t.Bore()))), nil
}

// OilFilm is the density of the oil-rich liquid film on a riser's wall. Within
// -2..+7 % of the recalled R22 tables and -12..+21 % of the R134a suction table,
// hence the margins of the verdict (trade-basis 2.3).
func OilFilm() units.Density { return units.KilogramsPerCubicMeter(1000) }

// LeastOilFlow is the least mass flow that lifts oil up a riser.
//
//	G_min = 0.7225 sqrt(g d rho_g (rho_l - rho_g)) ;  m_min = G_min pi d^2/4
//
// In:     gas density at the riser's worst place; film, the oil-rich liquid's
//
//	density (OilFilm); tube
//
// Out:    mass flow
// Range:  gas lighter than the film, tube up to 4-1/8 in
// Error:  *cycle.RangeError
// Within: see OilFilm; worked examples of trade-basis 2.3 to 1 %
// Source: Jacobs, Scheideman, Kazem, Macken, ASHRAE Transactions 1976 (from memory)
func LeastOilFlow(gas, film units.Density, t tube.Tube) (units.MassFlow, error) {
	if !(gas > 0 && gas < film) {
		return 0, &cycle.RangeError{Quantity: "gas density, kg/m3", Got: float64(gas), Low: 0, High: float64(film)}
	}
	const flooding = 0.7225 // 0.85 squared: j*^0.5 = 0.85
	g := flooding * math.Sqrt(gravity*float64(t.ID)*float64(gas)*float64(film-gas))
	return units.MassFlow(g * float64(t.Bore())), nil
}

// LeastOilLoad is the load whose flow just lifts the oil.
//
//	Q_min = m_min (h_out - h_liquid)
//
// In:     least flow of LeastOilFlow; enthalpies as in cycle.MassFlow
// Out:    load
// Range:  hOut above hLiquid
// Error:  *cycle.RangeError
// Within: 1 % of trade-basis 2.3 (14,350 Btu/h)
// Source: heat balance
func LeastOilLoad(least units.MassFlow, hOut, hLiquid units.Enthalpy) (units.Power, error) {
	if !(hOut > hLiquid) {
		return 0, &cycle.RangeError{Quantity: "refrigerating effect, kJ/kg", Got: float64(hOut-hLiquid) / 1e3, Low: 0, High: 2000}
	}
	return units.Power(float64(least) * float64(hOut-hLiquid)), nil
}

// StaticHead is the weight of a column.
//
//	dp = rho g z
//
// In:     density; rise, below zero for a drop
// Out:    pressure lost on the way up
// Range:  any
// Error:  none
// Within: exact
// Source: hydrostatics
func StaticHead(rho units.Density, rise units.Length) units.PressureDelta {
	return units.PressureDelta(float64(rho) * gravity * float64(rise))
}

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
	if !(reynolds >= 1 && reynolds <= 1e9) {
		return 0, &cycle.RangeError{Quantity: "Reynolds number", Got: reynolds, Low: 1, High: 1e9}
	}
	a := math.Pow(2.457*math.Log(1/(math.Pow(7/reynolds, 0.9)+0.27*roughness)), 16)
	b := math.Pow(37530/reynolds, 16)
	return 8 * math.Pow(math.Pow(8/reynolds, 12)+math.Pow(a+b, -1.5), 1.0/12), nil
}

// drawnCopper is the wall roughness of drawn tube, common textbook figure.
const drawnCopper = 1.5e-6 // m

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
	v, err := Velocity(m, rho, t)
	if err != nil {
		return 0, err
	}
	d := float64(t.ID)
	f, err := FrictionFactor(float64(rho)*float64(v)*d/float64(mu), drawnCopper/d)
	if err != nil {
		return 0, err
	}
	return units.PressureDelta(f * float64(length) / d * float64(rho) * float64(v) * float64(v) / 2), nil
}
