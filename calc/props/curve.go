package props

import (
	"math"

	"coldcase/refdata/units"
)

// DewTemp is the temperature at which the last liquid is gone at p.
// Range: the pressures of Span. Within 1 mK of the equation of state.
// Errors: *RangeError, *NoConvergenceError.
func (f *Fluid) DewTemp(p units.Pressure) (units.Temperature, error) {
	t, err := f.tempAt(dew, float64(p))
	return units.Temperature(t), err
}

// BubbleTemp is the temperature at which the first vapor forms at p.
// Range: the pressures of Span. Within 1 mK of the equation of state.
// Errors: *RangeError, *NoConvergenceError.
func (f *Fluid) BubbleTemp(p units.Pressure) (units.Temperature, error) {
	t, err := f.tempAt(bubble, float64(p))
	return units.Temperature(t), err
}

// DewPressure is the pressure of saturated vapor at t.
// Range: Span. Within 0.01 % of the equation of state.
// Errors: *RangeError, *NoConvergenceError.
func (f *Fluid) DewPressure(t units.Temperature) (units.Pressure, error) {
	p, err := f.pressureAt(dew, float64(t))
	return units.Pressure(p), err
}

// BubblePressure is the pressure of saturated liquid at t.
// Range: Span. Within 0.01 % of the equation of state.
// Errors: *RangeError, *NoConvergenceError.
func (f *Fluid) BubblePressure(t units.Temperature) (units.Pressure, error) {
	p, err := f.pressureAt(bubble, float64(t))
	return units.Pressure(p), err
}

func (f *Fluid) tempAt(s side, p float64) (float64, error) {
	if t, ok := f.nearOn(s, p); ok {
		return t, nil
	}
	at, err := f.saturationAtP(s, p)
	return at.t, err
}

func (f *Fluid) pressureAt(s side, t float64) (float64, error) {
	if f.table != nil {
		if c := &f.table.pressure[s]; c.covers(t) {
			return math.Exp(c.at(t)), nil
		}
	}
	at, err := f.saturation(s, t)
	return at.p, err
}

// LiquidAtBubble is Bubble by the fast curve: the liquid at t and the bubble
// pressure, within 0.01 % of it in pressure. Range and errors as Bubble.
func (f *Fluid) LiquidAtBubble(t units.Temperature) (State, error) {
	p, err := f.pressureAt(bubble, float64(t))
	if err != nil {
		return State{}, err
	}
	return f.single(float64(t), p, Liquid)
}

// VaporAtDew is DewAtP by the fast curve: the gas at p and the dew temperature,
// within 1 mK of it. Range and errors as DewAtP.
func (f *Fluid) VaporAtDew(p units.Pressure) (State, error) {
	t, err := f.tempAt(dew, float64(p))
	if err != nil {
		return State{}, err
	}
	return f.single(t, float64(p), Vapor)
}
