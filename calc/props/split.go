package props

import (
	"fmt"
	"math"

	"coldcase/refdata/units"
)

// inside is a blend between its bubble and dew point at one pressure. It is
// walked by the share of vapor, not by temperature: a blend with a glide of a
// hundredth of a degree has its whole dome in there.
type inside struct {
	f         *Fluid
	p         float64
	low, high saturated // bubble and dew point
}

// insideDome finds the two-phase state of a blend where a property that grows
// with the share of vapor has the value wanted.
func (f *Fluid) insideDome(p, want float64, c caloric) (State, error) {
	in, err := f.openDome(p)
	if err != nil {
		return State{}, err
	}
	low, high := 0.0, 1.0
	first, err := in.at(low)
	if err != nil {
		return State{}, err
	}
	last, err := in.at(high)
	if err != nil {
		return State{}, err
	}
	offLow, offHigh := c.of(first)-want, c.of(last)-want
	for range 60 {
		share := low - offLow*(high-low)/(offHigh-offLow)
		if !(share > low && share < high) {
			share = (low + high) / 2
		}
		s, err := in.at(share)
		if err != nil {
			return State{}, err
		}
		off := c.of(s) - want
		if math.Abs(off) < 1e-10*math.Abs(want) || high-low < 1e-14 {
			return s, nil
		}
		// regula falsi after Illinois
		if off < 0 {
			low, offLow = share, off
			offHigh /= 2
		} else {
			high, offHigh = share, off
			offLow /= 2
		}
	}
	return State{}, &NoConvergenceError{What: "two-phase state", Fluid: f.Name(), At: fmt.Sprintf("%g Pa, %s %g", p, c.what, want)}
}

func (f *Fluid) openDome(p float64) (in inside, err error) {
	in = inside{f: f, p: p}
	if in.low, err = f.saturationAtP(bubble, p); err != nil {
		return in, err
	}
	in.high, err = f.saturationAtP(dew, p)
	return in, err
}

// at solves the state at a molar share of vapor, from between the two ends.
func (in *inside) at(share float64) (State, error) {
	m := in.f.m
	v := vle{m: m, inside: true, beta: share, p: in.p, t: in.low.t + share*(in.high.t-in.low.t)}
	v.u = in.low.unknowns(m)
	end := in.high.unknowns(m)
	for i := range v.u {
		v.u[i] += share * (end[i] - v.u[i])
	}
	s, err := v.solve()
	if err != nil {
		return State{}, err
	}
	n := len(m.parts)
	l, g := m.phaseAt(s.t, s.rhoLiq, s.x[:n]), m.phaseAt(s.t, s.rhoVap, s.y[:n])
	hl, sl, ml := m.caloricsAt(s.t, s.rhoLiq, s.x[:n], l.h)
	hg, sg, mg := m.caloricsAt(s.t, s.rhoVap, s.y[:n], g.h)
	liquid := State{T: units.Temperature(s.t), P: units.Pressure(in.p), Rho: units.Density(s.rhoLiq * ml), H: units.Enthalpy(hl), S: units.Entropy(sl)}
	vapor := State{T: liquid.T, P: liquid.P, Rho: units.Density(s.rhoVap * mg), H: units.Enthalpy(hg), S: units.Entropy(sg)}
	return mixed(liquid, vapor, share*mg/(share*mg+(1-share)*ml)), nil
}

// unknowns lays a solved point out as a start for the next.
func (s *saturated) unknowns(m *model) (u [maxUnknowns]float64) {
	u[atLnLiq], u[atLnVap] = math.Log(s.rhoLiq), math.Log(s.rhoVap)
	for i := range m.parts {
		u[atLnK+i] = math.Log(s.y[i] / s.x[i])
	}
	u[len(m.parts)+2] = math.Log(s.t)
	return u
}
