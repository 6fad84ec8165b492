// Package pipe computes flow in refrigerant lines: velocity, the least flow that
// carries oil up a riser, friction as a loss of saturation temperature, and the
// sizes that follow.
package pipe

import (
	"math"

	"coldcase/calc/cycle"
	"coldcase/refdata/limits"
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
	v := float64(m) / (float64(rho) * float64(t.Bore()))
	if !units.Finite(v) {
		return 0, &cycle.RangeError{Quantity: "mass flow, kg/s", Got: float64(m), Low: 0, High: math.MaxFloat64}
	}
	return units.Velocity(v), nil
}

// OilFilm is the density of the oil-rich liquid film on a riser's wall.
//
// In:     nothing
// Out:    density
// Range:  the sizes and pressures of the recalled tables; R744 is extrapolated
// Error:  none
// Within: -2..+7 % of the recalled R22 tables and -12..+21 % of the R134a suction
//
//	table, hence the margins of the verdict (trade-basis 2.3)
//
// Source: own fit to the recalled tables (trade-basis 2.3)
func OilFilm() units.Density { return units.KilogramsPerCubicMeter(limits.Value("oil_film_kg_m3")) }

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
	heaviest := units.KilogramsPerCubicMeter(1e5) // no liquid comes near
	if !(gas > 0 && gas < film && film < heaviest) {
		return 0, &cycle.RangeError{Quantity: "gas density, kg/m3", Got: float64(gas), Low: 0, High: float64(min(film, heaviest))}
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

// OilReturn holds a flow against the least that lifts oil.
//
//	>= 1.25 ok · 1.0-1.25 watch · below: bad, and below 0.75 the trap is certain
//
// In:     flow at the least load; least flow of LeastOilFlow
// Out:    their ratio and the verdict
// Range:  least flow above zero
// Error:  *cycle.RangeError
// Within: exact; the margins carry the doubt of the film's density
// Source: trade-basis 2.3 (own margins over Jacobs 1976)
func OilReturn(m, least units.MassFlow) (ratio float64, v limits.Verdict, err error) {
	if !(least > 0) || !(m >= 0) {
		return 0, limits.Ask, &cycle.RangeError{Quantity: "least flow, lb/h", Got: least.PoundsPerHour(), Low: 0, High: math.Inf(1)}
	}
	ratio = float64(m) / float64(least)
	return ratio, limits.Falling(ratio, limits.Value("oil_return_reserve"), limits.Value("oil_return_least"), math.Inf(-1)), nil
}
