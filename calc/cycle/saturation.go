package cycle

import (
	"fmt"

	"coldcase/calc/props"
	"coldcase/refdata/units"
)

// Glide is how far dew lies above bubble at one pressure.
//
//	glide = t_dew(p) - t_bubble(p)
//
// In:     p, absolute
// Out:    difference, 0 for a pure fluid
// Range:  the saturation pressures of the fluid
// Error:  *props.RangeError
// Within: that of the saturation temperatures
// Source: textbook definition (trade-basis 1.2)
func Glide(f *props.Fluid, p units.Pressure) (units.TempDelta, error) {
	dew, err := f.DewTemp(p)
	if err != nil {
		return 0, fmt.Errorf("glide: %w", err)
	}
	bubble, err := f.BubbleTemp(p)
	if err != nil {
		return 0, fmt.Errorf("glide: %w", err)
	}
	return dew.Sub(bubble), nil
}

// MeanEvaporating is the temperature that a coil works at on the whole: half way
// from what leaves the valve to dew.
//
//	T_mean = (T_inlet + T_dew)/2    T_inlet from flashing h_liquid at p
//
// In:     p, absolute, in the coil; liquid ahead of the valve
// Out:    temperature, below dew by about 0.4 of the glide
// Range:  the saturation pressures of the fluid; liquid below critical
// Error:  *props.RangeError, *props.NoConvergenceError
// Within: 1 F of worked_examples.csv CYC rows
// Source: trade-basis 1.2
func MeanEvaporating(f *props.Fluid, p units.Pressure, liquid units.Temperature) (units.Temperature, error) {
	dew, err := f.DewTemp(p)
	if err != nil {
		return 0, fmt.Errorf("mean evaporating: %w", err)
	}
	h, err := LiquidEnthalpy(f, liquid)
	if err != nil {
		return 0, fmt.Errorf("mean evaporating: %w", err)
	}
	inlet, err := f.AtPH(p, h)
	if err != nil {
		return 0, fmt.Errorf("mean evaporating: %w", err)
	}
	return inlet.T.Add(units.TempDelta(float64(dew.Sub(inlet.T)) / 2)), nil
}

// CoilTD is the box less the evaporating temperature on dew.
//
//	TD = t_box - t_dew(p)
//
// In:     box air; p, absolute, in the coil
// Out:    difference
// Range:  the saturation pressures of the fluid; 0 to 1000 K read
// Error:  *props.RangeError, *RangeError
// Within: 0.1 K of the dew temperature's source
// Source: trade-basis 1.7 (common practice)
func CoilTD(f *props.Fluid, box units.Temperature, p units.Pressure) (units.TempDelta, error) {
	dew, err := f.DewTemp(p)
	if err == nil {
		err = touched(box)
	}
	if err != nil {
		return 0, fmt.Errorf("coil TD: %w", err)
	}
	return box.Sub(dew), nil
}
