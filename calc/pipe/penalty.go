package pipe

import (
	"fmt"

	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/units"
)

// SuctionPenalty is a pressure lost in a suction line as a loss of evaporating
// temperature.
//
//	dT = t_dew(p) - t_dew(p - dp)
//
// In:     p, absolute, where the line begins; dp, lost on the way
// Out:    kelvin by which the compressor must pull lower
// Range:  the saturation pressures of the fluid, dp below p
// Error:  *cycle.RangeError, *props.RangeError
// Within: 3 % of worked_examples.csv FIL rows
// Source: textbook definition (trade-basis 2.6)
func SuctionPenalty(f *props.Fluid, p units.Pressure, dp units.PressureDelta) (units.TempDelta, error) {
	return dewFall(f, p, p.Add(-dp))
}

// DischargePenalty is a pressure lost in a discharge line as a rise of the
// temperature that the compressor condenses against.
//
//	dT = t_dew(p + dp) - t_dew(p)
//
// In:     p, absolute, where the line ends; dp, lost on the way
// Out:    kelvin by which the compressor must push higher
// Range:  the saturation pressures of the fluid
// Error:  *cycle.RangeError, *props.RangeError
// Within: that of the dew temperatures
// Source: textbook definition (trade-basis 2.6)
func DischargePenalty(f *props.Fluid, p units.Pressure, dp units.PressureDelta) (units.TempDelta, error) {
	return dewFall(f, p.Add(dp), p)
}

func dewFall(f *props.Fluid, high, low units.Pressure) (units.TempDelta, error) {
	if !(low > 0) {
		return 0, &cycle.RangeError{Quantity: afterLoss, Got: low.PSIA(), Low: 0, High: high.PSIA()}
	}
	before, err := f.DewTemp(high)
	if err != nil {
		return 0, fmt.Errorf("loss as temperature: %w", err)
	}
	after, err := f.DewTemp(low)
	if err != nil {
		return 0, fmt.Errorf("loss as temperature: %w", err)
	}
	return before.Sub(after), nil
}

// LiquidPenalty is a pressure lost in a liquid line as the subcooling that it
// uses up.
//
//	dT = t_bubble(p) - t_bubble(p - dp)
//
// In:     p, absolute, where the line begins; dp, lost on the way, below zero for
//
//	a line that falls
//
// Out:    subcooling needed to stay liquid
// Range:  the saturation pressures of the fluid, dp below p
// Error:  *cycle.RangeError, *props.RangeError
// Within: that of the bubble temperatures
// Source: textbook definition (trade-basis 2.8)
func LiquidPenalty(f *props.Fluid, p units.Pressure, dp units.PressureDelta) (units.TempDelta, error) {
	low := p.Add(-dp)
	if !(low > 0) {
		return 0, &cycle.RangeError{Quantity: afterLoss, Got: low.PSIA(), Low: 0, High: p.PSIA()}
	}
	before, err := f.BubbleTemp(p)
	if err != nil {
		return 0, fmt.Errorf("subcooling needed: %w", err)
	}
	after, err := f.BubbleTemp(low)
	if err != nil {
		return 0, fmt.Errorf("subcooling needed: %w", err)
	}
	return before.Sub(after), nil
}

// DropOf is the pressure that a loss of evaporating temperature stands for.
//
//	dp = p - p_dew(t_dew(p) - dT)
//
// In:     p, absolute, where the line begins; loss in kelvin
// Out:    pressure
// Range:  the saturation span of the fluid
// Error:  *props.RangeError
// Within: that of the dew pressures
// Source: textbook definition (trade-basis 6.2)
func DropOf(f *props.Fluid, p units.Pressure, loss units.TempDelta) (units.PressureDelta, error) {
	dew, err := f.DewTemp(p)
	if err != nil {
		return 0, fmt.Errorf("pressure of a loss: %w", err)
	}
	low, err := f.DewPressure(dew.Add(-loss))
	if err != nil {
		return 0, fmt.Errorf("pressure of a loss: %w", err)
	}
	return p.Sub(low), nil
}
