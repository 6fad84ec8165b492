package props

import (
	"fmt"
	"math"

	"coldcase/refdata/units"
)

// saturation solves one point of a saturation line at t by the equations
// themselves.
func (f *Fluid) saturation(s side, t float64) (saturated, error) {
	low, high := f.satSpan()
	if !(t >= low-1e-9 && t <= high+1e-9) {
		return saturated{}, &RangeError{Quantity: s.String() + " temperature", Fluid: f.Name(), Got: t, Low: low, High: high}
	}
	switch f.model {
	case ModelPure:
		return f.m.pureSaturation(t)
	case ModelPseudo:
		return f.pseudoSaturation(s, t)
	}
	line, err := f.lines[s]()
	if err != nil {
		return saturated{}, err
	}
	return line.atT(f.m, t)
}

// pseudoSaturation takes the published bubble and dew pressures as they are;
// a pseudo-pure equation has no condition of equal fugacity, nor another phase at
// that pressure: only the density of the asked side is set.
func (f *Fluid) pseudoSaturation(s side, t float64) (saturated, error) {
	c := f.m.parts[0]
	out := saturated{t: t, p: c.pBubble.at(t)}
	if s == dew {
		out.p = c.pDew.at(t)
	}
	iso := isotherms.Get().(*isotherm)
	defer isotherms.Put(iso)
	iso.fill(f.m, f.m.tRed/t)
	var err error
	if s == bubble {
		out.rhoLiq, err = f.m.liquidDensity(iso, t, out.p)
	} else {
		out.rhoVap, err = f.m.gasDensity(iso, t, out.p)
	}
	return out, err
}

// saturationAtP solves one point of a saturation line at p.
func (f *Fluid) saturationAtP(s side, p float64) (saturated, error) {
	if f.model == ModelMix || f.model == ModelMixLB {
		line, err := f.lines[s]()
		if err != nil {
			return saturated{}, err
		}
		return line.atP(f.m, p)
	}
	t, err := f.invert(s, p)
	if err != nil {
		return saturated{}, err
	}
	return f.saturation(s, t)
}

// curveMiss is how far off the fast curves' temperature is taken to be at most, K;
// the tests hold them to a tenth of that.
const curveMiss = 0.01

// nearOn is the temperature by the fast curve, to start from.
func (f *Fluid) nearOn(s side, p float64) (t float64, ok bool) {
	if f.table == nil {
		return 0, false
	}
	c, l := &f.table.temperature[s], math.Log(p)
	if !c.covers(l) {
		return 0, false
	}
	return c.at(l), true
}

// invert finds the temperature of a pure or pseudo-pure saturation pressure, by
// Newton's steps in ln p over 1/T inside a shrinking bracket.
func (f *Fluid) invert(s side, p float64) (float64, error) {
	low, high := f.satSpan()
	if near, ok := f.nearOn(s, p); ok {
		low, high = max(low, near-curveMiss), min(high, near+curveMiss)
	}
	pLow, err := f.saturation(s, low)
	if err != nil {
		return 0, err
	}
	pHigh, err := f.saturation(s, high)
	if err != nil {
		return 0, err
	}
	if !(p >= pLow.p && p <= pHigh.p) {
		return 0, &RangeError{Quantity: s.String() + " pressure", Fluid: f.Name(), Got: p, Low: pLow.p, High: pHigh.p}
	}
	lnP := math.Log(p)
	a, la, b, lb := 1/low, math.Log(pLow.p), 1/high, math.Log(pHigh.p)
	stayed := 0 // which end stayed at the last step
	for range 100 {
		x := a + (b-a)*(lnP-la)/(lb-la)
		at, err := f.saturation(s, 1/x)
		if err != nil {
			return 0, err
		}
		l := math.Log(at.p)
		if math.Abs(l-lnP) < 1e-13*max(1, math.Abs(lnP)) {
			return 1 / x, nil
		}
		// regula falsi after Illinois: an end that stays twice loses half its weight
		if (l < lnP) == (la < lnP) {
			if a, la = x, l; stayed > 0 {
				lb = lnP + (lb-lnP)/2
			}
			stayed = 1
		} else {
			if b, lb = x, l; stayed < 0 {
				la = lnP + (la-lnP)/2
			}
			stayed = -1
		}
		if math.Abs(a-b) < 1e-15*a {
			return 1 / x, nil
		}
	}
	return 0, &NoConvergenceError{What: s.String() + " temperature", Fluid: f.Name(), At: fmt.Sprintf("%g Pa", p)}
}

// Bubble is the saturated liquid at a temperature, solved by the equation of
// state. Range: Span. Errors: *RangeError, *NoConvergenceError.
func (f *Fluid) Bubble(t units.Temperature) (State, error) {
	at, err := f.saturation(bubble, float64(t))
	return f.saturatedState(bubble, at, err)
}

// Dew is the saturated vapor at a temperature, solved by the equation of state.
// Range: Span. Errors: *RangeError, *NoConvergenceError.
func (f *Fluid) Dew(t units.Temperature) (State, error) {
	at, err := f.saturation(dew, float64(t))
	return f.saturatedState(dew, at, err)
}

// BubbleAtP is the saturated liquid at a pressure, solved by the equation of state.
func (f *Fluid) BubbleAtP(p units.Pressure) (State, error) {
	at, err := f.saturationAtP(bubble, float64(p))
	return f.saturatedState(bubble, at, err)
}

// DewAtP is the saturated vapor at a pressure, solved by the equation of state.
func (f *Fluid) DewAtP(p units.Pressure) (State, error) {
	at, err := f.saturationAtP(dew, float64(p))
	return f.saturatedState(dew, at, err)
}

func (f *Fluid) saturatedState(s side, at saturated, err error) (State, error) {
	if err != nil {
		return State{}, err
	}
	rho, quality, phase := at.rhoLiq, 0.0, Liquid
	if s == dew {
		rho, quality, phase = at.rhoVap, 1, Vapor
	}
	st := f.m.stateOf(at.t, rho)
	st.Quality, st.Phase, st.P = quality, phase, units.Pressure(at.p)
	return st, nil
}

// Incipient is the first bubble of vapor at the bubble point, or the first drop
// of liquid at the dew point, in mole fractions.
type Incipient struct {
	Components []string
	Fractions  []float64 // [component], sums to 1
}

// FirstBubble is the composition of the first vapor at the bubble point at t.
// Range: Span. Errors: *RangeError, *NoConvergenceError, *NoModelError (ppf).
func (f *Fluid) FirstBubble(t units.Temperature) (Incipient, error) {
	at, err := f.saturation(bubble, float64(t))
	return f.incipient(at.y, err)
}

// FirstDrop is the composition of the first liquid at the dew point at t.
// Range: Span. Errors: *RangeError, *NoConvergenceError, *NoModelError (ppf).
func (f *Fluid) FirstDrop(t units.Temperature) (Incipient, error) {
	at, err := f.saturation(dew, float64(t))
	return f.incipient(at.x, err)
}

func (f *Fluid) incipient(x [maxParts]float64, err error) (Incipient, error) {
	if err != nil {
		return Incipient{}, err
	}
	if f.model == ModelPseudo {
		return Incipient{}, &NoModelError{Property: "incipient composition", Fluid: f.Name(), State: "a pseudo-pure equation"}
	}
	var out Incipient
	for i, c := range f.m.parts {
		out.Components, out.Fractions = append(out.Components, c.name), append(out.Fractions, x[i])
	}
	return out, nil
}
