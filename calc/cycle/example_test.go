package cycle_test

import (
	"fmt"

	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/units"
)

func fluid(name string) *props.Fluid {
	f, err := props.Lookup(name)
	if err != nil {
		panic(err)
	}
	return f
}

func seaLevel() units.Pressure { return units.PSIA(14.696) }

func ExampleAir() {
	p, err := cycle.Air(units.Feet(4600))
	fmt.Printf("%.3f psia, %v\n", p.PSIA(), err)
	// Output: 12.412 psia, <nil>
}

func ExampleSuperheat() {
	sh, err := cycle.Superheat(fluid("R404A"), units.Fahrenheit(38), units.PSIG(16).Abs(seaLevel()))
	fmt.Printf("%.1f F, %v\n", sh.DegreesF(), err)
	// Output: 58.0 F, <nil>
}

func ExampleSubcooling() {
	sc, err := cycle.Subcooling(fluid("R404A"), units.Fahrenheit(90), units.PSIG(222).Abs(seaLevel()))
	fmt.Printf("%.1f F, %v\n", sc.DegreesF(), err)
	// Output: 5.6 F, <nil>
}

func ExampleCondensingSplit() {
	split, err := cycle.CondensingSplit(fluid("R404A"), units.Fahrenheit(81), units.PSIG(224).Abs(seaLevel()))
	fmt.Printf("%.1f F, %v\n", split.DegreesF(), err)
	// Output: 15.5 F, <nil>
}

func ExampleCompressionRatio() {
	cr, err := cycle.CompressionRatio(units.PSIG(224).Abs(seaLevel()), units.PSIG(16).Abs(seaLevel()))
	fmt.Printf("%.2f, %v\n", cr, err)
	// Output: 7.78, <nil>
}

func ExampleDischargeTemp() {
	t2, err := cycle.DischargeTemp(fluid("R404A"), units.PSIG(16).Abs(seaLevel()), units.Fahrenheit(38), units.PSIG(224).Abs(seaLevel()), units.Percent(65))
	fmt.Printf("%.0f F, %v\n", t2.F(), err)
	// Output: 209 F, <nil>
}

func ExampleDischargeBand() {
	b, err := cycle.DischargeBand(fluid("R404A"), units.PSIG(16).Abs(seaLevel()), units.Fahrenheit(38), units.PSIG(224).Abs(seaLevel()))
	fmt.Printf("%.0f %.0f %.0f F, %v\n", b.Best.F(), b.Typical.F(), b.Poor.F(), err)
	// Output: 186 209 246 F, <nil>
}

func ExampleReadDischarge() {
	b := cycle.Band{Best: units.Fahrenheit(186), Typical: units.Fahrenheit(209), Poor: units.Fahrenheit(246)}
	fmt.Printf("%s\n", cycle.ReadDischarge(units.Fahrenheit(150), b))
	// Output: cooler than any dry compression
}

func ExampleGlide() {
	g, err := cycle.Glide(fluid("R449A"), units.PSIG(41).Abs(seaLevel()))
	fmt.Printf("%.1f F, %v\n", g.DegreesF(), err)
	// Output: 10.4 F, <nil>
}

func ExampleMeanEvaporating() {
	t, err := cycle.MeanEvaporating(fluid("R449A"), units.PSIG(41).Abs(seaLevel()), units.Fahrenheit(84))
	fmt.Printf("%.1f F, %v\n", t.F(), err)
	// Output: 13.4 F, <nil>
}

func ExampleCoilTD() {
	td, err := cycle.CoilTD(fluid("R449A"), units.Fahrenheit(31), units.PSIG(41).Abs(seaLevel()))
	fmt.Printf("%.1f F, %v\n", td.DegreesF(), err)
	// Output: 13.7 F, <nil>
}

func ExampleLiquidEnthalpy() {
	h, err := cycle.LiquidEnthalpy(fluid("R134a"), units.Celsius(0))
	fmt.Printf("%.0f kJ/kg, %v\n", h.JoulesPerKilogram()/1e3, err)
	// Output: 200 kJ/kg, <nil>
}

func ExampleMassFlow() {
	m, err := cycle.MassFlow(units.BtuPerHour(31500), units.BtuPerPound(151.57), units.BtuPerPound(100))
	fmt.Printf("%.1f lb/h, %v\n", m.PoundsPerHour(), err)
	// Output: 610.8 lb/h, <nil>
}
