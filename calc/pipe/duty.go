package pipe

import (
	"errors"
	"fmt"

	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
)

// Duty is what a line must carry: the gas or liquid in it and how much of it.
type Duty struct {
	Fluid     *props.Fluid
	State     props.State // in the line, at its worst place
	Viscosity units.Viscosity
	Flow      units.MassFlow // at full load
	Least     units.Fraction // least load over full load; 1 when it never unloads
}

// Fit is how one size of tube would do the duty.
type Fit struct {
	Tube                tube.Tube
	Velocity            units.Velocity
	Drop                units.PressureDelta
	Penalty             units.TempDelta
	RatioFull, RatioMin float64 // flow over the oil minimum; 0 where oil is not lifted
	LeastOil            units.MassFlow
}

// Pick is a recommended size, or why none does.
type Pick struct {
	Fit
	OK       bool // a single size meets the limits
	Marginal bool // oil rises at the least load, without reserve
	Tried    []Fit
	Why      string // no size does: in the trade's words; with OK what to know about it
}

// MaxVelocity and MaxPenalty of a kind of line.
type lineLimits struct {
	penalty  units.TempDelta
	velocity units.Velocity
	loss     func(f *props.Fluid, p units.Pressure, dp units.PressureDelta) (units.TempDelta, error)
}

func suctionLimits() lineLimits {
	return lineLimits{units.DegreesF(limits.Value("suction_penalty_dF")), units.FeetPerMinute(limits.Value("riser_max_fpm")), SuctionPenalty}
}

func dischargeLimits() lineLimits {
	return lineLimits{units.DegreesF(limits.Value("discharge_penalty_dF")), units.FeetPerMinute(limits.Value("discharge_max_fpm")), DischargePenalty}
}

func (d Duty) check() error {
	if d.Fluid == nil || !(d.Flow > 0) {
		return &cycle.RangeError{Quantity: "flow, lb/h", Got: d.Flow.PoundsPerHour(), Low: 0, High: 1e6}
	}
	if !(d.Least > 0 && d.Least <= units.Percent(100)) {
		return &cycle.RangeError{Quantity: "least load, pct", Got: d.Least.Percent(), Low: 0, High: 100}
	}
	return nil
}

// Try tells how one size would carry the duty of a gas line.
//
//	velocity, friction as temperature, flow over the oil minimum at full and least load
//
// In:     duty; tube; equivalent length
// Out:    the fit; no judgement
// Range:  gas lighter than the oil film
// Error:  *cycle.RangeError, *props.RangeError
// Within: 2 % of worked_examples.csv RIS rows
// Source: Velocity, Friction, SuctionPenalty and LeastOilFlow
func Try(d Duty, t tube.Tube, length units.Length) (Fit, error) {
	return try(d, t, length, suctionLimits())
}

// TryDischarge tells how one size would carry the duty of a hot-gas line.
//
//	as Try; the loss is the rise of the condensing temperature at the compressor
//
// In:     duty, the state that of the hot gas; tube; equivalent length
// Out:    the fit; no judgement
// Range:  gas lighter than the oil film
// Error:  *cycle.RangeError, *props.RangeError
// Within: 2 % of trade-basis 2.4 (761 fpm, ratio 2.26)
// Source: Velocity, Friction, DischargePenalty and LeastOilFlow
func TryDischarge(d Duty, t tube.Tube, length units.Length) (Fit, error) {
	return try(d, t, length, dischargeLimits())
}

func try(d Duty, t tube.Tube, length units.Length, l lineLimits) (Fit, error) {
	fit := Fit{Tube: t}
	var err error
	if fit.Velocity, err = Velocity(d.Flow, d.State.Rho, t); err != nil {
		return fit, fmt.Errorf("%s tube: %w", t.Nominal, err)
	}
	if fit.Drop, err = Friction(d.Flow, d.State.Rho, d.Viscosity, t, length); err != nil {
		return fit, fmt.Errorf("%s tube: %w", t.Nominal, err)
	}
	if fit.Penalty, err = l.loss(d.Fluid, d.State.P, fit.Drop); err != nil {
		return fit, fmt.Errorf("%s tube: %w", t.Nominal, err)
	}
	if fit.LeastOil, err = LeastOilFlow(d.State.Rho, OilFilm(), t); err != nil {
		return fit, fmt.Errorf("%s tube: %w", t.Nominal, err)
	}
	fit.RatioFull = float64(d.Flow) / float64(fit.LeastOil)
	fit.RatioMin = fit.RatioFull * float64(d.Least)
	return fit, nil
}

// all tries every drawn tube that the duty can go through at all: a tube so small
// that its loss leaves the saturation span is left out. None is left of a load that
// no listed tube carries.
func all(d Duty, length units.Length, l lineLimits) ([]Fit, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	var out []Fit
	var last error
	for _, t := range tube.Sizes() {
		fit, err := try(d, t, length, l)
		if err != nil {
			last = err
			continue
		}
		out = append(out, fit)
	}
	var lost *cycle.RangeError
	if len(out) == 0 && !(errors.As(last, &lost) && lost.Quantity == afterLoss) {
		return nil, last
	}
	return out, nil
}

// afterLoss is the quantity of the error of a line that loses more than there is.
const afterLoss = "pressure after the loss, psia"

func nothingCarries() string {
	sizes := tube.Sizes()
	return "no listed tube, up to " + sizes[len(sizes)-1].Nominal + ", carries that: check the load and its unit"
}

func (l lineLimits) allow(fit Fit) bool {
	return fit.Penalty <= l.penalty && fit.Velocity <= l.velocity
}
