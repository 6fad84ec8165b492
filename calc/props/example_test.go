package props_test

import (
	"errors"
	"fmt"

	"coldcase/calc/props"
	"coldcase/refdata/units"
)

// A suction gas of R448A at 2.93 bar absolute, 12 F in the pipe: how far above
// dew, how dense, and what an ideal compressor would make of it.
func Example() {
	f, err := props.Lookup("R448A")
	if err != nil {
		fmt.Println(err)
		return
	}
	suction, line := units.Pascal(293e3), units.Fahrenheit(12)
	dew, err := f.DewTemp(suction)
	if err != nil {
		fmt.Println(err)
		return
	}
	gas, err := f.AtTP(line, suction)
	if err != nil {
		fmt.Println(err)
		return
	}
	end, err := f.AtPS(units.Pascal(1.7e6), gas.S)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("superheat %.1f F, %.2f kg/m3\n", line.Sub(dew).DegreesF(), float64(gas.Rho))
	fmt.Printf("isentropic discharge %.0f F, %s\n", end.T.F(), end.Phase)
	// Output:
	// superheat 7.5 F, 12.57 kg/m3
	// isentropic discharge 141 F, vapor
}

// A blend that rests on a pair nobody measured says so.
func ExampleFluid_Doubt() {
	f, err := props.Lookup("R438A")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Doubt())
	// Output:
	// Nobody fitted isopentane with the HFCs: the dew pressure may read 8 % low, the bubble pressure is good.
}

// A mistyped name comes back with the likeliest one.
func ExampleLookup() {
	_, err := props.Lookup("R449")
	var unknown *props.UnknownFluidError
	if errors.As(err, &unknown) {
		fmt.Println("did you mean", unknown.Nearest)
	}
	// Output:
	// did you mean R449A
}

// An expansion valve throttles at constant enthalpy: how much flashes.
func ExampleFluid_AtPH() {
	f, err := props.Lookup("R134a")
	if err != nil {
		fmt.Println(err)
		return
	}
	liquid, err := f.Bubble(units.Celsius(35))
	if err != nil {
		fmt.Println(err)
		return
	}
	after, err := f.AtPH(units.Pascal(2e5), liquid.H)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f C, %.1f %% vapor by mass\n", after.T.C(), 100*after.Quality)
	// Output:
	// -10.1 C, 30.3 % vapor by mass
}
