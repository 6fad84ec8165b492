package protect_test

import (
	"fmt"

	"coldcase/calc/props"
	"coldcase/calc/protect"
	"coldcase/refdata/units"
)

func fluid(name string) *props.Fluid {
	f, err := props.Lookup(name)
	if err != nil {
		panic(err)
	}
	return f
}

func ExampleAccumulatorVolume() {
	v, err := protect.AccumulatorVolume(fluid("R448A"), units.Pounds(46), units.Percent(50), units.Fahrenheit(40))
	fmt.Printf("%.0f in3, %v\n", v.CubicInches(), err)
	// Output: 770 in3, <nil>
}

func ExampleShellFor() {
	v, err := protect.ShellFor(units.Pounds(46), units.Percent(50), units.PoundsPerCubicFoot(73.7))
	fmt.Printf("%.0f in3, %v\n", v.CubicInches(), err)
	// Output: 770 in3, <nil>
}

func ExampleAccumulatorVerdict() {
	ratio, v, err := protect.AccumulatorVerdict(units.CubicInches(430), units.CubicInches(770))
	fmt.Printf("%.2f %s, %v\n", ratio, v, err)
	// Output: 0.56 bad, <nil>
}

func ExampleAccumulatorOilReturn() {
	loss, v, err := protect.AccumulatorOilReturn(fluid("R404A"), units.PSIA(30.7), units.PoundsPerHour(180), units.PoundsPerHour(220), units.PSI(0.5))
	fmt.Printf("%.1f F %s, %v\n", loss.DegreesF(), v, err)
	// Output: 0.7 F bad, <nil>
}

func ExampleLeakByRate() {
	rate, err := protect.LeakByRate(units.PSIG(4), units.PSIG(21), units.Minutes(12))
	fmt.Printf("%.2f psi/min, %v\n", rate.PSIPerMinute(), err)
	// Output: 1.42 psi/min, <nil>
}

func ExampleLeakedMass() {
	m, err := protect.LeakedMass(fluid("R404A"), units.CubicFeet(1.1), units.PSIA(18.7), units.PSIA(35.7), units.Fahrenheit(60))
	fmt.Printf("%.3f lb, %v\n", m.Pounds(), err)
	// Output: 0.352 lb, <nil>
}

func ExampleLeakedIn() {
	m, err := protect.LeakedIn(units.Pounds(0.352), units.Minutes(12), units.Hours(8))
	fmt.Printf("%.1f lb, %v\n", m.Pounds(), err)
	// Output: 14.1 lb, <nil>
}

func ExamplePumpdownLeak() {
	l, err := protect.PumpdownLeak(units.PSIG(4), units.PSIG(21), units.Minutes(12), units.PSIG(18), units.PSIG(5), units.Minutes(2))
	fmt.Printf("%.1f min rest, %.1f starts an hour, %s, %v\n", l.Rest.Minutes(), l.Cycles, l.Verdict, err)
	// Output: 9.2 min rest, 5.4 starts an hour, bad, <nil>
}

func ExampleRiseVerdict() {
	rate, err := protect.LeakByRate(units.PSIG(4), units.PSIG(5.5), units.Minutes(10))
	fmt.Printf("%s, %v\n", protect.RiseVerdict(rate), err)
	// Output: ok, <nil>
}

func ExampleShortCycling() {
	v, err := protect.ShortCycling(9, true, units.Minutes(4), units.Minutes(2.5))
	fmt.Printf("%s, %v\n", v, err)
	// Output: bad, <nil>
}

func ExampleLowPressureControl() {
	got, err := protect.LowPressureControl(fluid("R404A"), protect.Control{CutIn: units.PSIG(18), CutOut: units.PSIG(5), Pumpdown: true, Box: units.Fahrenheit(-5), Winter: units.Fahrenheit(-10)}, units.PSIA(14.696))
	fmt.Printf("%.1f F %.1f F %d faults, %v\n", got.CutInDew.F(), got.CutOutDew.F(), len(got.Faults), err)
	// Output: -17.2 F -38.6 F 0 faults, <nil>
}

func ExampleSuggestControl() {
	c, err := protect.SuggestControl(fluid("R404A"), protect.Control{Pumpdown: true, Box: units.Fahrenheit(35)}, units.PSIA(14.696))
	fmt.Printf("in %.0f out %.0f psig, %v\n", c.CutIn.PSIG(), c.CutOut.PSIG(), err)
	// Output: in 72 out 5 psig, <nil>
}

func ExampleSumpMargin() {
	margin, v, err := protect.SumpMargin(fluid("R404A"), units.Fahrenheit(-6), units.PSIA(30.7))
	fmt.Printf("%.0f F %s, %v\n", margin.DegreesF(), v, err)
	// Output: 14 F watch, <nil>
}

func ExampleHeaterCurrent() {
	i, err := protect.HeaterCurrent(units.Watts(70), units.Volts(230))
	fmt.Printf("%.2f A, %v\n", float64(i), err)
	// Output: 0.30 A, <nil>
}

func ExampleHeaterVerdict() {
	v, err := protect.HeaterVerdict(units.Amperes(0), units.Amperes(0.3))
	fmt.Printf("%s, %v\n", v, err)
	// Output: bad, <nil>
}

func ExampleFloodback() {
	sh := units.DegreesF(3)
	fmt.Printf("%s\n", protect.Floodback(protect.FloodSigns{TotalSuperheat: &sh}).Running)
	// Output: stop
}

func ExampleEnvelope() {
	fmt.Printf("%v\n", protect.Envelope(protect.Working{Ratio: 11, Discharge: units.Fahrenheit(231)}))
	// Output: [compression ratio high discharge hot]
}
