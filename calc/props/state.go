package props

import (
	"math"
	"sync"

	"coldcase/refdata/units"
)

// Phase tells on which side of the dome a state lies.
type Phase string

// The phases.
const (
	Liquid        Phase = "liquid"
	Vapor         Phase = "vapor"
	TwoPhase      Phase = "two-phase"
	Supercritical Phase = "supercritical"
)

// State is one thermodynamic state. A two-phase state has no Cp, Cv and W of
// its own: they are 0 there.
type State struct {
	T       units.Temperature
	P       units.Pressure
	Rho     units.Density
	H       units.Enthalpy // 200 kJ/kg for saturated (bubble) liquid at 273.15 K
	S       units.Entropy  // 1 kJ/(kg K) for saturated (bubble) liquid at 273.15 K
	Cp, Cv  units.HeatCapacity
	W       units.Velocity // speed of sound
	Quality float64        // vapor by mass, 0..1; -1 outside the dome
	Phase   Phase
}

var isotherms = sync.Pool{New: func() any { return new(isotherm) }}

// stateAt is the single-phase state at temperature and molar density, from the
// residual there.
//
//	p = rho R T (1 + Ad)     h/RT = 1 + Bt + At + Ad     s/R = Bt + At - B0 - Ar
//	cv/R = -(Btt + Att)      cp/R = cv/R + (1 + Ad - Adt)^2/(1 + 2 Ad + Add)
//	w^2 M/(R T) = 1 + 2 Ad + Add - (1 + Ad - Adt)^2/(Btt + Att)
func (m *model) stateAt(a *helmholtz, t, rho float64) State {
	b0, bt, btt := m.idealAt(t, rho)
	rm := m.gasR / m.molarMass
	stiff := 1 + 2*a.d + a.dd
	push := 1 + a.d - a.dt
	cv := -(btt + a.tt)
	return State{
		T: units.Temperature(t), P: units.Pressure(rho * m.gasR * t * (1 + a.d)), Rho: units.Density(rho * m.molarMass),
		H:  units.Enthalpy(rm*t*(1+bt+a.t+a.d) + m.hShift),
		S:  units.Entropy(rm*(bt+a.t-b0-a.a) + m.sShift),
		Cp: units.HeatCapacity(rm * (cv + push*push/stiff)), Cv: units.HeatCapacity(rm * cv),
		W:       units.Velocity(math.Sqrt(rm * t * (stiff + push*push/cv))),
		Quality: -1,
	}
}

// stateOf is stateAt with the residual from an isotherm of its own.
func (m *model) stateOf(t, rho float64) State {
	iso := isotherms.Get().(*isotherm)
	defer isotherms.Put(iso)
	iso.fill(m, m.tRed/t)
	a := iso.at(m, rho/m.rhoRed)
	return m.stateAt(&a, t, rho)
}

// mixed is the two-phase state between saturated liquid and vapor at one
// temperature and pressure.
func mixed(liquid, vapor State, quality float64) State {
	q := quality
	between := func(l, v float64) float64 { return l + q*(v-l) }
	return State{
		T: vapor.T, P: vapor.P,
		Rho:     units.Density(1 / between(1/float64(liquid.Rho), 1/float64(vapor.Rho))),
		H:       units.Enthalpy(between(float64(liquid.H), float64(vapor.H))),
		S:       units.Entropy(between(float64(liquid.S), float64(vapor.S))),
		Quality: q, Phase: TwoPhase,
	}
}
