package props

import (
	"fmt"
	"math"

	"coldcase/refdata/units"
)

// insideDome finds the two-phase state of a blend at pressure and enthalpy or
// entropy. Its temperature runs from the bubble to the dew point, so that the
// lever between the two ends does not hold: the phases are split at each
// temperature and the temperature is bracketed.
func (f *Fluid) insideDome(p, want float64, c caloric, bubbleAt, dewAt State) (State, error) {
	low, high := float64(bubbleAt.T), float64(dewAt.T)
	sp := split{m: f.m, p: p}
	if err := sp.start(f); err != nil {
		return State{}, err
	}
	lowOff, highOff := c.of(bubbleAt)-want, c.of(dewAt)-want
	for range 100 {
		t := low + (high-low)*min(max(-lowOff/(highOff-lowOff), 0.02), 0.98)
		s, err := sp.at(t)
		if err != nil {
			return State{}, err
		}
		off := c.of(s) - want
		if high-low < 1e-9 || math.Abs(off) < 1e-9*math.Abs(want) {
			return s, nil
		}
		if off < 0 {
			low, lowOff = t, off
			highOff /= 2
		} else {
			high, highOff = t, off
			lowOff /= 2
		}
	}
	return State{}, &NoConvergenceError{What: "two-phase state", Fluid: f.Name(), At: fmt.Sprintf("%g Pa, %s %g", p, c.what, want)}
}

// split is a blend separating into liquid and vapor at one pressure.
type split struct {
	m              *model
	p              float64
	lnK            [maxParts]float64
	rhoLiq, rhoVap float64
}

func (sp *split) start(f *Fluid) error {
	s, err := f.saturationAtP(bubble, sp.p)
	if err != nil {
		return err
	}
	for i := range sp.m.parts {
		sp.lnK[i] = math.Log(s.y[i] / s.x[i])
	}
	sp.rhoLiq, sp.rhoVap = s.rhoLiq, s.rhoVap
	return nil
}

// at splits the blend at t by successive substitution of the K-values.
func (sp *split) at(t float64) (State, error) {
	n := len(sp.m.parts)
	var x, y [maxParts]float64
	for range 200 {
		beta := sp.vaporFraction(&x, &y)
		liq, err := sp.density(t, x[:n], sp.rhoLiq)
		if err != nil {
			return State{}, err
		}
		vap, err := sp.density(t, y[:n], sp.rhoVap)
		if err != nil {
			return State{}, err
		}
		sp.rhoLiq, sp.rhoVap = liq, vap
		l, v := sp.m.phaseAt(t, liq, x[:n]), sp.m.phaseAt(t, vap, y[:n])
		moved := 0.0
		for i := range n {
			next := l.lnF[i] - math.Log(x[i]) - v.lnF[i] + math.Log(y[i])
			moved = max(moved, math.Abs(next-sp.lnK[i]))
			sp.lnK[i] = next
		}
		if moved < 1e-10 {
			return sp.state(t, beta, x[:n], y[:n]), nil
		}
	}
	return State{}, &NoConvergenceError{What: "split into liquid and vapor", Fluid: sp.m.name, At: fmt.Sprintf("%g K, %g Pa", t, sp.p)}
}

// vaporFraction solves the Rachford-Rice equation for the molar share of vapor
// and sets both compositions.
func (sp *split) vaporFraction(x, y *[maxParts]float64) float64 {
	low, high := 0.0, 1.0
	beta := 0.5
	for range 100 {
		beta = (low + high) / 2
		sum := 0.0
		for i, z := range sp.m.x {
			k := math.Exp(sp.lnK[i])
			sum += z * (k - 1) / (1 + beta*(k-1))
		}
		if sum > 0 {
			low = beta
		} else {
			high = beta
		}
	}
	var sx, sy float64
	for i, z := range sp.m.x {
		k := math.Exp(sp.lnK[i])
		x[i] = z / (1 + beta*(k-1))
		y[i] = k * x[i]
		sx, sy = sx+x[i], sy+y[i]
	}
	for i := range sp.m.x {
		x[i], y[i] = x[i]/sx, y[i]/sy
	}
	return beta
}

// density follows a phase of changing composition to the pressure by secant
// steps in ln rho from its last density.
func (sp *split) density(t float64, x []float64, rho float64) (float64, error) {
	for range 60 {
		const h = 1e-6
		p := sp.m.phaseAt(t, rho, x).p
		slope := (sp.m.phaseAt(t, rho*(1+h), x).p - p) / h
		step := (sp.p - p) / slope
		if slope <= 0 {
			break
		}
		step = min(max(step, -0.3), 0.3)
		rho *= 1 + step
		if math.Abs(step) < 1e-11 {
			return rho, nil
		}
	}
	return 0, sp.m.noDensity("density of a phase", t, sp.p)
}

// state is the mixture of both phases by mass.
func (sp *split) state(t, beta float64, x, y []float64) State {
	liq, vap := sp.m.withComposition(x), sp.m.withComposition(y)
	l, v := liq.stateOf(t, sp.rhoLiq), vap.stateOf(t, sp.rhoVap)
	quality := beta * vap.molarMass / (beta*vap.molarMass + (1-beta)*liq.molarMass)
	s := mixed(l, v, quality)
	s.P = units.Pressure(sp.p)
	return s
}

// withComposition is the model of another composition in the same reference
// state as m: the constant shift belongs to the mass, so mass keeps it.
func (m *model) withComposition(x []float64) *model {
	n := blendModel(m.name, m.parts, x, m.pairs, m.gasR)
	n.hShift, n.sShift = m.hShift, m.sShift
	return n
}
