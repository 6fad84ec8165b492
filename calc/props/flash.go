package props

import (
	"errors"
	"fmt"
	"math"

	"coldcase/refdata/units"
)

// AtTP is the state at temperature and pressure. Between its bubble and dew
// pressures a blend is answered as two phases with their quality, a pseudo-pure
// fluid with *TwoPhaseError. A pure fluid exactly on its saturation line is
// answered as vapor.
// Range: the equation's own; errors: *RangeError, *NoConvergenceError.
func (f *Fluid) AtTP(t units.Temperature, p units.Pressure) (State, error) {
	if err := f.inRange(float64(t), float64(p)); err != nil {
		return State{}, err
	}
	phase, err := f.phaseAt(float64(t), float64(p))
	if err != nil {
		return State{}, err
	}
	if phase == TwoPhase {
		return f.splitAt(float64(t), float64(p))
	}
	return f.single(float64(t), float64(p), phase)
}

func (f *Fluid) inRange(t, p float64) error {
	if !(t >= f.m.tLow && t <= f.m.tHigh) {
		return &RangeError{Quantity: "temperature", Fluid: f.Name(), Got: t, Low: f.m.tLow, High: f.m.tHigh}
	}
	if !(p > 0 && p <= f.m.pHigh) {
		return &RangeError{Quantity: "pressure", Fluid: f.Name(), Got: p, Low: 0, High: f.m.pHigh}
	}
	return nil
}

// phaseAt tells the phase of a state at t and p.
func (f *Fluid) phaseAt(t, p float64) (Phase, error) {
	low, high := f.satSpan()
	switch {
	case t > f.tCrit && (f.pCrit == 0 || p > f.pCrit):
		if f.pCrit == 0 && f.clearOfDome(t, p) {
			return Vapor, nil
		}
		return Supercritical, nil
	case t > f.tCrit:
		return Vapor, nil
	case t > high:
		return f.nearTop(t, p)
	case t < low:
		return Liquid, nil // colder than any saturation that is answered: only liquid is dense there
	}
	switch {
	case f.clearlyGas(t, p):
		return Vapor, nil
	case f.clearlyLiquid(p):
		return Liquid, nil
	}
	pDew, err := f.pressureAt(dew, t)
	if err != nil {
		return "", err
	}
	if p <= pDew {
		return Vapor, nil
	}
	pBubble, err := f.pressureAt(bubble, t)
	if err != nil {
		return "", err
	}
	if p >= pBubble {
		return Liquid, nil
	}
	return TwoPhase, nil
}

// clearlyGas and clearlyLiquid answer above the fast curves, where a saturation
// pressure costs a solution: it lies between the end of the dew curve and the
// critical pressure.
func (f *Fluid) clearlyGas(t, p float64) bool {
	return f.table != nil && t > f.table.pressure[dew].high && p <= math.Exp(f.table.temperature[dew].high)
}

func (f *Fluid) clearlyLiquid(p float64) bool { return f.pCrit > 0 && p >= f.pCrit }

// splitAt is a blend inside its dome: the glide makes t fix the share of vapor.
// A pseudo-pure equation has no phases of other compositions: *TwoPhaseError.
func (f *Fluid) splitAt(t, p float64) (State, error) {
	if !f.isMixture() {
		return State{}, &TwoPhaseError{Fluid: f.Name(), T: t, P: p}
	}
	return f.insideDome(p, t, caloric{what: "temperature", of: func(s State) float64 { return float64(s.T) }})
}

// nearTop answers between the top of the solved dome and the critical point,
// where only states well below or above the dome can be told apart.
func (f *Fluid) nearTop(t, p float64) (Phase, error) {
	top, err := f.ceiling()
	if err != nil {
		return "", err
	}
	const below, above = 0.9, 1.35
	switch {
	case p < below*top:
		return Vapor, nil
	case p > above*top:
		return Liquid, nil
	}
	return "", &RangeError{Quantity: "pressure so near the critical point", Fluid: f.Name(), Got: p, Low: below * top, High: above * top}
}

func (f *Fluid) clearOfDome(t, p float64) bool {
	top, err := f.ceiling()
	return err == nil && p < top
}

// single is the state of a known phase at t and p.
func (f *Fluid) single(t, p float64, phase Phase) (State, error) {
	iso := isotherms.Get().(*isotherm)
	defer isotherms.Put(iso)
	iso.fill(f.m, f.m.tRed/t)
	find := f.m.gasDensity
	if phase == Liquid {
		find = f.m.liquidDensity
	}
	rho, err := find(iso, t, p)
	if err != nil {
		return State{}, err
	}
	rho, a := f.m.settle(iso, t, p, rho)
	s := f.m.stateAt(&a, t, rho)
	if !(s.Cv > 0) || !(s.Cp > 0) || !(s.W > 0) {
		return State{}, f.m.noDensity("stable state", t, p)
	}
	s.P, s.Phase = units.Pressure(p), phase
	return s, nil
}

// AtPH is the state at pressure and enthalpy, inside the dome with its quality.
// Errors: *RangeError, *NoConvergenceError.
func (f *Fluid) AtPH(p units.Pressure, h units.Enthalpy) (State, error) {
	return f.atPressureAnd(float64(p), float64(h), caloric{
		what: "enthalpy", of: func(s State) float64 { return float64(s.H) },
		slope: func(s State) float64 { return float64(s.Cp) },
	})
}

// AtPS is the state at pressure and entropy, inside the dome with its quality:
// isentropic compression ends here, wet or dry. Errors: *RangeError, *NoConvergenceError.
func (f *Fluid) AtPS(p units.Pressure, s units.Entropy) (State, error) {
	return f.atPressureAnd(float64(p), float64(s), caloric{
		what: "entropy", of: func(s State) float64 { return float64(s.S) },
		slope: func(s State) float64 { return float64(s.Cp) / float64(s.T) },
	})
}

// caloric is enthalpy or entropy: how to read it off a state and how it grows
// with temperature at constant pressure.
type caloric struct {
	what  string
	of    func(State) float64
	slope func(State) float64
}

func (f *Fluid) atPressureAnd(p, want float64, c caloric) (State, error) {
	if !(p > 0 && p <= f.m.pHigh) || math.IsNaN(want) {
		return State{}, &RangeError{Quantity: "pressure", Fluid: f.Name(), Got: p, Low: 0, High: f.m.pHigh}
	}
	if s, ok := f.clearlyDry(p, want, c); ok {
		return s, nil
	}
	dewAt, errDew := f.DewAtP(units.Pressure(p))
	if errDew != nil {
		return f.aboveDome(p, want, c)
	}
	if want >= c.of(dewAt) {
		return f.newtonAtP(p, want, c, float64(dewAt.T), f.m.tHigh, float64(dewAt.T), Vapor)
	}
	bubbleAt, err := f.BubbleAtP(units.Pressure(p))
	if err != nil {
		return State{}, err
	}
	if want <= c.of(bubbleAt) {
		return f.newtonAtP(p, want, c, f.m.tLow, float64(bubbleAt.T), float64(bubbleAt.T), Liquid)
	}
	if !f.isMixture() {
		q := (want - c.of(bubbleAt)) / (c.of(dewAt) - c.of(bubbleAt))
		s := mixed(bubbleAt, dewAt, q)
		s.T = units.Temperature(float64(bubbleAt.T) + q*float64(dewAt.T-bubbleAt.T))
		return s, nil
	}
	return f.insideDome(p, want, c)
}

// clearlyDry takes the short way for gas well above the dew point, where the
// fast curve tells the phase beyond doubt.
func (f *Fluid) clearlyDry(p, want float64, c caloric) (State, bool) {
	const clear = 0.1 // K
	t, err := f.tempAt(dew, p)
	if err != nil || t > f.tCrit-clear {
		return State{}, false
	}
	dry, err := f.single(t+clear, p, Vapor)
	if err != nil || want < c.of(dry) {
		return State{}, false
	}
	s, err := f.newtonAtP(p, want, c, t, f.m.tHigh, t+(want-c.of(dry))/c.slope(dry), Vapor)
	return s, err == nil
}

// aboveDome answers pressures that no saturation is solved for. Where the
// equation has no clear state so near its critical point, it says so.
func (f *Fluid) aboveDome(p, want float64, c caloric) (State, error) {
	s, err := f.beyondDome(p, want, c)
	var lost *NoConvergenceError
	if !errors.As(err, &lost) {
		return s, err
	}
	top, err := f.ceiling()
	if err != nil {
		return State{}, err
	}
	return State{}, &RangeError{Quantity: "pressure so near the critical point", Fluid: f.Name(), Got: p, Low: 0, High: top}
}

func (f *Fluid) beyondDome(p, want float64, c caloric) (State, error) {
	if f.pCrit > 0 && p < f.pCrit || f.pCrit == 0 && f.clearOfDome(f.tCrit, p) {
		low, _ := f.satSpan()
		start, err := f.single(low, p, Vapor)
		if err != nil || want < c.of(start) {
			return State{}, &RangeError{Quantity: "pressure", Fluid: f.Name(), Got: p, Low: p, High: f.m.pHigh}
		}
		return f.newtonAtP(p, want, c, low, f.m.tHigh, low, Vapor)
	}
	return f.bisectAtP(p, want, c)
}

// newtonAtP finds the temperature in a single phase by Newton's steps, kept
// inside the bracket.
func (f *Fluid) newtonAtP(p, want float64, c caloric, low, high, start float64, phase Phase) (State, error) {
	t := start
	for range 60 {
		s, err := f.single(t, p, phase)
		if err != nil {
			return State{}, err
		}
		step := (want - c.of(s)) / c.slope(s)
		next := min(max(t+step, low), high)
		if math.Abs(next-t) <= 1e-12*t {
			if math.Abs(step) > 1e-6*t {
				return State{}, f.beyondCaloric(p, want, c)
			}
			return s, nil
		}
		t = next
	}
	return State{}, &NoConvergenceError{What: "state at pressure and " + c.what, Fluid: f.Name(), At: fmt.Sprintf("%g Pa, %g", p, want)}
}

// bisectAtP finds a state at supercritical pressure, where one density belongs
// to each temperature.
func (f *Fluid) bisectAtP(p, want float64, c caloric) (State, error) {
	low, high := f.m.tLow, f.m.tHigh
	turn := f.turnsToGas(p)
	for range 200 {
		t := (low + high) / 2
		phase := Supercritical
		if t < turn {
			phase = Liquid
		}
		s, err := f.single(t, p, phase)
		if err != nil {
			return State{}, err
		}
		if high-low < 1e-10*t {
			if math.Abs(c.of(s)-want) > 1e-6*math.Abs(want)+1e-3 {
				return State{}, f.beyondCaloric(p, want, c)
			}
			return s, nil
		}
		if c.of(s) < want {
			low = t
		} else {
			high = t
		}
	}
	return State{}, &NoConvergenceError{What: "state at pressure and " + c.what, Fluid: f.Name(), At: fmt.Sprintf("%g Pa, %g", p, want)}
}

// beyondCaloric names what the fluid can have at p, from its coldest liquid (at
// thin pressures gas) to its hottest gas.
func (f *Fluid) beyondCaloric(p, want float64, c caloric) error {
	cold, errCold := f.AtTP(units.Temperature(f.m.tLow), units.Pressure(p))
	hot, errHot := f.AtTP(units.Temperature(f.m.tHigh), units.Pressure(p))
	if err := errors.Join(errCold, errHot); err != nil {
		return err
	}
	return &RangeError{Quantity: c.what, Fluid: f.Name(), Got: want, Low: c.of(cold), High: c.of(hot)}
}

// turnsToGas is the temperature from which the root on the gas side is sought at
// a pressure above the solved dome: the critical one, or below the critical
// pressure the saturation line carried on to it.
func (f *Fluid) turnsToGas(p float64) float64 {
	tc, pc := f.Critical()
	t, top := float64(tc), float64(pc)
	_, high := f.satSpan()
	under, err := f.ceiling()
	if p >= top || err != nil || p <= under || t <= high {
		return t
	}
	share := math.Log(p/under) / math.Log(top/under)
	return 1 / (1/high + share*(1/t-1/high))
}

func (f *Fluid) isMixture() bool { return f.model == ModelMix || f.model == ModelMixLB }
