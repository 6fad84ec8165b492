// Package cycle computes what a gauge set and a thermometer tell of the
// refrigeration cycle: superheat, subcooling, ratio, splits and mass flow.
package cycle

import (
	"fmt"
	"math"

	"coldcase/refdata/units"
)

// RangeError says that an input lies outside what a formula holds for. Got, Low
// and High are in the unit that Quantity names.
type RangeError struct {
	Quantity       string
	Got, Low, High float64
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%s: %g outside %g..%g", e.Quantity, e.Got, e.Low, e.High)
}

// Air is the pressure of the standard atmosphere at an altitude.
//
//	p = 14.696 (1 - 6.8754e-6 z)^5.2559    psia, z in ft
//
// In:     altitude above sea level
// Out:    absolute pressure; weather moves it by about 0.3 psi either way
// Range:  -1,000 to 15,000 ft
// Error:  *RangeError
// Within: 0.1 % of trade-basis 1.1 (14.696, 13.416, 12.412, 10.107 psia)
// Source: ASHRAE Handbook-Fundamentals ch. 1, standard atmosphere (from memory)
func Air(altitude units.Length) (units.Pressure, error) {
	const low, high = -1000, 15000
	z := altitude.Feet()
	if !(z >= low && z <= high) {
		return 0, &RangeError{Quantity: "altitude, ft", Got: z, Low: low, High: high}
	}
	return units.PSIA(14.696 * math.Pow(1-6.8754e-6*z, 5.2559)), nil
}
