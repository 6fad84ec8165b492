package props

import (
	"fmt"
	"math"
)

const (
	densitySteps = 100
	densityTol   = 1e-12
	// Newton doubles its digits: after a step of this size a density is good to
	// about 1e-9, and settle sees to the rest.
	lastStep = 3e-5
	settled  = 1e-12
	carried  = 1e-9 // a step that the derivatives at hand carry over
)

// gasDensity is the molar density of the gas at p on a filled isotherm: the
// first root from the ideal-gas side.
func (m *model) gasDensity(iso *isotherm, t, p float64) (float64, error) {
	return m.newtonDensity(iso, t, p, m.gasGuess(iso, t, p), 0, math.Inf(1))
}

// gasGuess is a start for the gas density: of thin gas by the virial series, which
// is within a few millionths there; of dense gas by a cubic equation. In a fluid with
// critical terms, which cost the most, steps without them then come near.
func (m *model) gasGuess(iso *isotherm, t, p float64) float64 {
	ideal := p / (m.gasR * t)
	start, good := iso.virialGas(m, ideal)
	if !good {
		if rho, ok := m.cubicGas(t, p); ok {
			start = rho
		}
	}
	const thin = 0.05
	if len(m.critical) == 0 || start < thin*m.rhoRed {
		return start
	}
	return m.gasNear(iso, ideal, start)
}

// virialGas solves the virial series cut after B, p = rho R T (1 + B rho), and
// takes one of Newton's steps with C. The curve bends down there, so later steps from below
// never pass the root. good means that C did not count for much.
func (iso *isotherm) virialGas(m *model, ideal float64) (rho float64, good bool) {
	b, c := iso.virial(m)
	rho = ideal
	if root := 1 + 4*b/m.rhoRed*ideal; root > 0.1 { // past its turning point it says nothing
		rho = 2 * ideal / (1 + math.Sqrt(root))
	}
	d := rho / m.rhoRed
	third := c * d * d
	slope := 1 + 2*b*d + 3*third
	if slope <= 0.5 {
		return rho, false
	}
	const small = 0.02
	return rho - rho*third/slope, math.Abs(third) < small*slope
}

// gasNear improves a start by the power terms alone.
func (m *model) gasNear(iso *isotherm, ideal, start float64) float64 {
	const steps, near, soft = 6, 1e-3, 0.1
	rho := start
	for range steps {
		var p powers
		p.fill(rho/m.rhoRed, m.topPower)
		d1, d2 := iso.powerTerms(m, &p)
		slope := 1 + 2*d1 + d2
		step := (ideal - rho*(1+d1)) / slope
		if !(slope > soft && math.Abs(step) < rho) {
			return start // too near the dome's top for this
		}
		rho += step
		if math.Abs(step) < near*rho {
			return rho
		}
	}
	return start
}

// liquidDensity is the molar density of the liquid at p on a filled isotherm:
// the last root from the dense side, where the curve bends up.
func (m *model) liquidDensity(iso *isotherm, t, p float64) (float64, error) {
	rho := m.liquidGuess(t)
	for range 40 {
		got, slope := m.pressureAt(iso, t, rho)
		if got > p && slope > 0 {
			return m.newtonDensity(iso, t, p, rho, 0, math.Inf(1))
		}
		rho *= 1.03
	}
	return 0, m.noDensity("liquid density", t, p)
}

// liquidGuess adds up the volumes of the components' saturated liquids.
func (m *model) liquidGuess(t float64) float64 {
	v := 0.0
	for i, c := range m.parts {
		v += m.x[i] / c.liquidDensity(t)
	}
	return 1 / v
}

// pressureAt is p and dp/drho at one point of a filled isotherm.
func (m *model) pressureAt(iso *isotherm, t, rho float64) (p, slope float64) {
	rt := m.gasR * t
	d1, d2 := iso.pressureTerms(m, rho/m.rhoRed)
	return rho * rt * (1 + d1), rt * (1 + 2*d1 + d2)
}

// settle polishes a density by the full evaluation that its state needs anyway,
// until the pressure is met to the last digits.
func (m *model) settle(iso *isotherm, t, p, rho float64) (float64, helmholtz) {
	a := iso.at(m, rho/m.rhoRed)
	for range 3 {
		step := (p/(m.gasR*t) - rho*(1+a.d)) / (1 + 2*a.d + a.dd)
		if !(math.Abs(step) > settled*rho && math.Abs(step) < rho/2) {
			break
		}
		rho += step
		if share := step / rho; math.Abs(share) < carried {
			a.a, a.d, a.t = a.a+share*a.d, a.d+share*(a.d+a.dd), a.t+share*a.dt
			break // second derivatives, and cp with them, are off by as many parts in 1e9
		}
		a = iso.at(m, rho/m.rhoRed)
	}
	return rho, a
}

// newtonDensity polishes a start to the root of p, bisecting where a step would
// leave the bracket that has been seen so far. A root where dp/drho is not
// positive is no state and is refused.
func (m *model) newtonDensity(iso *isotherm, t, p, rho, low, high float64) (float64, error) {
	for range densitySteps {
		got, slope := m.pressureAt(iso, t, rho)
		if got < p {
			low = max(low, rho)
		} else {
			high = min(high, rho)
		}
		step := (p - got) / slope
		next := rho + step
		if math.Abs(step) < lastStep*rho && slope > 0 {
			return next, nil
		}
		if slope <= 0 || next <= low || next >= high {
			next = bisected(rho, low, high, got < p)
		}
		if math.Abs(next-rho) <= densityTol*rho {
			if slope <= 0 {
				break
			}
			return next, nil
		}
		rho = next
	}
	return 0, m.noDensity("density", t, p)
}

func bisected(rho, low, high float64, up bool) float64 {
	switch {
	case low > 0 && !math.IsInf(high, 1):
		return (low + high) / 2
	case up:
		return rho * 1.1
	}
	return rho / 1.1
}

func (m *model) noDensity(what string, t, p float64) error {
	return &NoConvergenceError{What: what, Fluid: m.name, At: fmt.Sprintf("%g K, %g Pa", t, p)}
}
