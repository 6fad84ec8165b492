package cycle

import (
	"fmt"
	"math"

	"coldcase/calc/props"
	"coldcase/refdata/units"
)

// Superheat tells how far a pipe that carries gas is above dew.
//
//	SH = t_pipe - t_dew(p)
//
// In:     pipe, wall temperature; p, absolute, at the same place: at the coil
//
//	outlet it gives the evaporator's superheat, at the compressor inlet the total,
//	on the discharge line the discharge superheat
//
// Out:    difference; below zero is an answer, not an error
// Range:  the saturation pressures of the fluid; 0 to 1000 K read
// Error:  *props.RangeError, *RangeError
// Within: 0.1 K of the dew temperature's source
// Source: textbook definition
func Superheat(f *props.Fluid, pipe units.Temperature, p units.Pressure) (units.TempDelta, error) {
	dew, err := f.DewTemp(p)
	if err == nil {
		err = touched(pipe)
	}
	if err != nil {
		return 0, fmt.Errorf("superheat: %w", err)
	}
	return pipe.Sub(dew), nil
}

// touched refuses what no thermometer on a pipe or in the air shows.
func touched(t units.Temperature) error {
	high := units.Kelvin(1000)
	if !(t > 0 && t < high) {
		return &RangeError{Quantity: "temperature read, K", Got: float64(t), Low: 0, High: float64(high)}
	}
	return nil
}

// Subcooling tells how far the liquid line is below bubble.
//
//	SC = t_bubble(p) - t_liquid
//
// In:     liquid, pipe wall temperature; p, absolute, at the same place
// Out:    difference; below zero means that it flashes
// Range:  the saturation pressures of the fluid; 0 to 1000 K read
// Error:  *props.RangeError, above the critical point too; *RangeError
// Within: 0.1 K of the bubble temperature's source
// Source: textbook definition
func Subcooling(f *props.Fluid, liquid units.Temperature, p units.Pressure) (units.TempDelta, error) {
	bubble, err := f.BubbleTemp(p)
	if err == nil {
		err = touched(liquid)
	}
	if err != nil {
		return 0, fmt.Errorf("subcooling: %w", err)
	}
	return bubble.Sub(liquid), nil
}

// CondensingSplit is the middle condensing temperature less the air on.
//
//	split = (t_dew(p) + t_bubble(p))/2 - t_air
//
// In:     air, entering the condenser; p, absolute discharge pressure
// Out:    difference
// Range:  the saturation pressures of the fluid; 0 to 1000 K read
// Error:  *props.RangeError, *RangeError
// Within: 0.1 K of the saturation temperatures' source
// Source: trade-basis 1.7 (common practice)
func CondensingSplit(f *props.Fluid, air units.Temperature, p units.Pressure) (units.TempDelta, error) {
	dew, err := f.DewTemp(p)
	if err != nil {
		return 0, fmt.Errorf("condensing split: %w", err)
	}
	bubble, err := f.BubbleTemp(p)
	if err == nil {
		err = touched(air)
	}
	if err != nil {
		return 0, fmt.Errorf("condensing split: %w", err)
	}
	return units.TempDelta(float64(bubble.Sub(air)+dew.Sub(air)) / 2), nil
}

// CompressionRatio is discharge over suction, both absolute.
//
//	CR = p_d / p_s
//
// In:     discharge and suction, absolute, at the compressor
// Out:    ratio
// Range:  both above zero, up to 1e9 Pa
// Error:  *RangeError
// Within: exact
// Source: textbook definition
func CompressionRatio(discharge, suction units.Pressure) (float64, error) {
	high := units.Pascal(1e9)
	for _, p := range [...]units.Pressure{suction, discharge} {
		if !(p > 0 && p < high) {
			return 0, &RangeError{Quantity: "pressure, Pa", Got: float64(p), Low: 0, High: float64(high)}
		}
	}
	ratio := float64(discharge) / float64(suction)
	if !units.Finite(ratio) {
		return 0, &RangeError{Quantity: "ratio", Got: ratio, Low: 0, High: math.MaxFloat64}
	}
	return ratio, nil
}
