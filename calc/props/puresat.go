package props

import (
	"fmt"
	"math"
)

// saturated is a solved point of the saturation line: the pressure and molar
// densities of both phases, and the composition of the incipient one.
type saturated struct {
	t, p           float64
	rhoLiq, rhoVap float64
	x, y           [maxParts]float64 // [component], mole fractions of liquid and vapor
}

// pureSaturation solves equal pressure and equal Gibbs energy at t. Near the
// critical point the ancillary densities are no start any more; there the line is
// climbed from below.
func (m *model) pureSaturation(t float64) (saturated, error) {
	c := m.parts[0]
	s, err := m.solvePure(t, c.rhoLiq.at(t)/m.rhoRed, c.rhoVap.at(t)/m.rhoRed)
	if err == nil || t < climbFrom*c.tCrit {
		return s, err
	}
	return m.climbTo(t)
}

// climbFrom is the share of the critical temperature where every ancillary starts well.
const climbFrom = 0.97

// climbTo halves the way to the critical temperature again and again; the densities
// draw together as (Tc - T)^(1/3), nearly.
func (m *model) climbTo(t float64) (saturated, error) {
	c := m.parts[0]
	mid, from := c.rhoCrit/m.rhoRed, climbFrom*c.tCrit
	s, err := m.solvePure(from, c.rhoLiq.at(from)/m.rhoRed, c.rhoVap.at(from)/m.rhoRed)
	for err == nil && s.t < t {
		next := min(t, c.tCrit-(c.tCrit-s.t)/2)
		shrink := math.Cbrt((c.tCrit - next) / (c.tCrit - s.t))
		dl, dv := s.rhoLiq/m.rhoRed, s.rhoVap/m.rhoRed
		s, err = m.solvePure(next, mid+(dl-mid)*shrink, mid+(dv-mid)*shrink)
	}
	return s, err
}

// solvePure iterates from reduced densities of liquid and vapor.
// Source: R. Akasaka, J. Therm. Sci. Technol. 3 (2008) 442.
func (m *model) solvePure(t, dl, dv float64) (saturated, error) {
	iso := isotherms.Get().(*isotherm)
	defer isotherms.Put(iso)
	iso.fill(m, m.tRed/t)
	for range 60 {
		l, v := iso.at(m, dl), iso.at(m, dv)
		jl, jv := dl*(1+l.d), dv*(1+v.d)
		kl, kv := l.d+l.a+math.Log(dl), v.d+v.a+math.Log(dv)
		jld, jvd := 1+2*l.d+l.dd, 1+2*v.d+v.dd
		kld, kvd := jld/dl, jvd/dv
		det := jvd*kld - jld*kvd
		stepL := ((kv-kl)*jvd - (jv-jl)*kvd) / det
		stepV := ((kv-kl)*jld - (jv-jl)*kld) / det
		damp := 1.0
		for damp > 1e-3 && (math.Abs(damp*stepL) > 0.2*dl || math.Abs(damp*stepV) > 0.5*dv) {
			damp /= 2
		}
		dl, dv = dl+damp*stepL, dv+damp*stepV
		if math.Abs(stepL) < 1e-13*dl && math.Abs(stepV) < 1e-12*dv || math.Abs(stepL) < 3e-15*dl {
			return m.acceptPure(iso, t, dl, dv)
		}
	}
	return m.acceptPure(iso, t, dl, dv)
}

// acceptPure takes a solution only if the phases are two and agree.
func (m *model) acceptPure(iso *isotherm, t, dl, dv float64) (saturated, error) {
	l, v := iso.at(m, dl), iso.at(m, dv)
	pl, pv := dl*(1+l.d), dv*(1+v.d)
	apart := math.Abs(l.d + l.a + math.Log(dl) - v.d - v.a - math.Log(dv))
	if !(dl > dv*1.0001) || !(math.Abs(pl-pv) < 1e-7*pv+1e-10*dl) || !(apart < 1e-8) {
		return saturated{}, &NoConvergenceError{What: "saturation", Fluid: m.name, At: fmt.Sprintf("%g K", t)}
	}
	s := saturated{t: t, p: pv * m.rhoRed * m.gasR * t, rhoLiq: dl * m.rhoRed, rhoVap: dv * m.rhoRed}
	s.x[0], s.y[0] = 1, 1
	return s, nil
}
