package elec_test

import (
	"fmt"

	"coldcase/calc/elec"
	"coldcase/refdata/units"
)

func ExampleUnbalance() {
	u, err := elec.Unbalance(units.Volts(220), units.Volts(215), units.Volts(210))
	fmt.Printf("%.2f %%, %v\n", u.Percent(), err)
	// Output: 2.33 %, <nil>
}

func ExampleExtraHeat() {
	heat, err := elec.ExtraHeat(units.Percent(2.53))
	fmt.Printf("%.1f %%, %v\n", heat.Percent(), err)
	// Output: 12.8 %, <nil>
}

func ExampleDerating() {
	load, err := elec.Derating(units.Percent(2.53))
	fmt.Printf("%.2f, %v\n", float64(load), err)
	// Output: 0.92, <nil>
}

func ExampleInsulationAt40C() {
	r, err := elec.InsulationAt40C(units.Megohms(38), units.Celsius(22))
	fmt.Printf("%.1f Mohm, %v\n", r.Megohms(), err)
	// Output: 10.9 Mohm, <nil>
}

func ExampleCopperAt() {
	r, err := elec.CopperAt(units.Ohms(0.85), units.Celsius(48), units.Celsius(25))
	fmt.Printf("%.3f ohm, %v\n", r.Ohms(), err)
	// Output: 0.781 ohm, <nil>
}

func ExampleCurrentOrigin() {
	from, err := elec.CurrentOrigin(units.Percent(2.53), units.Percent(10.6))
	fmt.Printf("%s, %v\n", from, err)
	// Output: supply, <nil>
}

func ExampleRollTest() {
	from, err := elec.RollTest([3]units.Current{units.Amperes(31), units.Amperes(26), units.Amperes(27)}, [3]units.Current{units.Amperes(26), units.Amperes(31), units.Amperes(27)})
	fmt.Printf("%s, %v\n", from, err)
	// Output: motor, <nil>
}

func ExampleLoadVerdict() {
	v, err := elec.LoadVerdict(units.Amperes(33), units.Amperes(28), units.Amperes(160))
	fmt.Printf("%s, %v\n", v, err)
	// Output: bad, <nil>
}

func ExampleSupplyVerdict() {
	v, err := elec.SupplyVerdict(units.Volts(182), units.Volts(208), units.Volts(230))
	fmt.Printf("%s, %v\n", v, err)
	// Output: bad, <nil>
}

func ExampleSinglePhaseWindings() {
	off, sound, err := elec.SinglePhaseWindings(units.Ohms(1.2), units.Ohms(4.1), units.Ohms(5.3))
	fmt.Printf("%.1f %%, %v, %v\n", off.Percent(), sound, err)
	// Output: 0.0 %, true, <nil>
}

func ExampleInsulationVerdict() {
	v, err := elec.InsulationVerdict(units.Megohms(10.9))
	fmt.Printf("%s, %v\n", v, err)
	// Output: bad, <nil>
}
