package pipe

import (
	"fmt"
	"math"

	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
)

// LiquidRun is a liquid line as it stands: what flows, how far, how high.
type LiquidRun struct {
	Tube       tube.Tube
	Flow       units.MassFlow
	Viscosity  units.Viscosity
	Equivalent units.Length        // with fittings
	Lift       units.Length        // below zero when the valve is lower
	Before     units.PressureDelta // drier and whatever stands at the line's start
	After      units.PressureDelta // solenoid and whatever stands at the valve
}

// FlashPlace is where in a liquid line the first bubble forms.
type FlashPlace string

// The places, in the direction of flow; "" when it stays liquid.
const (
	FlashAtInlet FlashPlace = "before the line: no subcooling at its start"
	FlashAtDrier FlashPlace = "in the drier"
	FlashInLine  FlashPlace = "in the line"
	FlashAtValve FlashPlace = "at the solenoid and valve"
)

// LiquidLosses is what a liquid line costs and what that does.
type LiquidLosses struct {
	Static, Friction, Components, Total units.PressureDelta
	Velocity                            units.Velocity
	Subcooling                          units.TempDelta // at the line's start
	Need                                units.TempDelta // subcooling that the losses use up
	Margin                              units.TempDelta // left at the valve; below zero it flashes
	Solid                               units.TempDelta // subcooling that would keep it liquid with reserve
	Flash                               FlashPlace
	FlashAt                             units.Fraction // share of the line behind, with FlashInLine
	Verdict                             limits.Verdict
}

// LiquidLine adds up a liquid line's losses, holds them against the subcooling
// and finds where the first bubble forms.
//
//	dp = friction + rho g lift + components
//	need = t_bubble(p) - t_bubble(p - dp) ;  margin = subcooling - need
//
// In:     fluid; p, absolute, and liquid temperature at the line's start; the run
// Out:    losses, need, margin, where it flashes; heat gain is not counted
// Range:  below the critical point; static and friction are taken as spread
//
//	evenly along the line
//
// Error:  *cycle.RangeError, *props.RangeError
// Within: 3 % of worked_examples.csv LIQ rows
// Source: trade-basis 2.8; reserve of 3 F is common practice
func LiquidLine(f *props.Fluid, p units.Pressure, liquid units.Temperature, run LiquidRun) (LiquidLosses, error) {
	state, err := f.LiquidAtBubble(liquid)
	if err != nil {
		return LiquidLosses{}, fmt.Errorf("liquid line: %w", err)
	}
	bubble, err := f.BubbleTemp(p)
	if err != nil {
		return LiquidLosses{}, fmt.Errorf("liquid line: %w", err)
	}
	out := LiquidLosses{Static: StaticHead(state.Rho, run.Lift), Components: run.Before + run.After, Subcooling: bubble.Sub(liquid)}
	if out.Friction, err = Friction(run.Flow, state.Rho, run.Viscosity, run.Tube, run.Equivalent); err != nil {
		return LiquidLosses{}, fmt.Errorf("liquid line: %w", err)
	}
	if out.Velocity, err = Velocity(run.Flow, state.Rho, run.Tube); err != nil {
		return LiquidLosses{}, fmt.Errorf("liquid line: %w", err)
	}
	out.Total = out.Static + out.Friction + out.Components
	if out.Need, err = LiquidPenalty(f, p, out.Total); err != nil {
		return LiquidLosses{}, fmt.Errorf("liquid line: %w", err)
	}
	out.judge()
	out.findFlash(p, state.P, run)
	return out, nil
}

// judge sets margin, the subcooling that would do, and the verdict.
func (l *LiquidLosses) judge() {
	reserve := units.DegreesF(limits.Value("flash_reserve_dF"))
	l.Margin = l.Subcooling - l.Need
	l.Solid = max(l.Need, 0) + reserve
	l.Verdict = limits.Falling(l.Margin.DegreesF(), reserve.DegreesF(), 0, math.Inf(-1))
	v := l.Velocity.FeetPerMinute()
	l.Verdict = limits.Worst(l.Verdict, limits.Rising(v, limits.Value("liquid_solenoid_fpm"), limits.Value("liquid_bad_fpm"), math.Inf(1)))
}

// findFlash follows the pressure along the line to the liquid's own bubble point.
func (l *LiquidLosses) findFlash(p, flashes units.Pressure, run LiquidRun) {
	atDrier := p.Sub(flashes)
	atLine := atDrier - run.Before
	slope := l.Static + l.Friction
	switch {
	case atDrier < 0:
		l.Flash = FlashAtInlet
	case atLine < 0:
		l.Flash = FlashAtDrier
	case slope > atLine:
		l.Flash, l.FlashAt = FlashInLine, units.Fraction(atLine/slope)
	case l.Total > atDrier:
		l.Flash = FlashAtValve
	}
}

// LiquidCharge is the refrigerant that fills a length of liquid line.
//
//	m = L pi d^2/4 rho
//
// In:     fluid; liquid temperature; tube and length
// Out:    mass
// Range:  below the critical temperature, length not below zero
// Error:  *cycle.RangeError, *props.RangeError
// Within: 3 % of worked_examples.csv CHG1 (15.26 lb)
// Source: mass balance (trade-basis 7.1)
func LiquidCharge(f *props.Fluid, liquid units.Temperature, t tube.Tube, length units.Length) (units.Mass, error) {
	if !(length >= 0) {
		return 0, &cycle.RangeError{Quantity: "length, ft", Got: length.Feet(), Low: 0, High: math.Inf(1)}
	}
	state, err := f.LiquidAtBubble(liquid)
	if err != nil {
		return 0, fmt.Errorf("liquid charge: %w", err)
	}
	return units.Mass(float64(length) * float64(t.Bore()) * float64(state.Rho)), nil
}
