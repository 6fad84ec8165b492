package props

import "fmt"

// RangeError says that a value lies outside what the equation was made for.
// Got, Low and High are in SI.
type RangeError struct {
	Quantity       string
	Fluid          string
	Got, Low, High float64
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%s: %.7g outside %.6g..%.6g (%s)", e.Quantity, e.Got, e.Low, e.High, e.Fluid)
}

// UnknownFluidError says that no refrigerant of that name is known.
type UnknownFluidError struct {
	Name    string
	Nearest string // "" when nothing is near
}

func (e *UnknownFluidError) Error() string { return fmt.Sprintf("unknown refrigerant %q", e.Name) }

// NoConvergenceError says that a solver gave up; no value is returned with it.
type NoConvergenceError struct {
	What  string
	Fluid string
	At    string
}

func (e *NoConvergenceError) Error() string {
	return fmt.Sprintf("%s: no solution found at %s (%s)", e.What, e.At, e.Fluid)
}

// TwoPhaseError says that temperature and pressure alone do not fix the state.
type TwoPhaseError struct {
	Fluid string
	T, P  float64 // K, Pa
}

func (e *TwoPhaseError) Error() string {
	return fmt.Sprintf("liquid and vapor together at %g K, %g Pa: temperature and pressure do not fix the state (%s)", e.T, e.P, e.Fluid)
}

// SheetError says that a coefficient sheet is not as it should be.
type SheetError struct{ Section, Problem string }

func (e *SheetError) Error() string {
	return fmt.Sprintf("coefficient sheet [%s]: %s", e.Section, e.Problem)
}

// NoModelError says that a property has no model for a state: transport of two
// phases at once, the phases of a pseudo-pure fluid apart.
type NoModelError struct{ Property, Fluid, State string }

func (e *NoModelError) Error() string {
	return fmt.Sprintf("no %s of %s (%s)", e.Property, e.State, e.Fluid)
}
