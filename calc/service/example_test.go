package service_test

import (
	"fmt"

	"coldcase/calc/props"
	"coldcase/calc/service"
	"coldcase/refdata/units"
)

func fluid(name string) *props.Fluid {
	f, err := props.Lookup(name)
	if err != nil {
		panic(err)
	}
	return f
}

func ExampleHoldingChange() {
	change, expected, err := service.HoldingChange(units.PSIG(305), units.Fahrenheit(91), units.PSIG(284.5), units.Fahrenheit(58), units.PSIA(14.696))
	fmt.Printf("%.1f psi of %.1f psig, %v\n", change.PSI(), expected.PSIG(), err)
	// Output: -1.3 psi of 285.8 psig, <nil>
}

func ExampleHoldingTolerance() {
	fmt.Printf("%.2f psi\n", service.HoldingTolerance(units.PSIG(284.5)).PSI())
	// Output: 2.85 psi
}

func ExampleHoldingVerdict() {
	fmt.Printf("%s\n", service.HoldingVerdict(units.PSI(-4), units.PSIG(284.5)))
	// Output: watch
}

func ExampleAnnualizedLeakRate() {
	rate, err := service.AnnualizedLeakRate(units.Pounds(44), units.Pounds(310), units.Days(141))
	fmt.Printf("%.2f %%, %v\n", rate.Percent(), err)
	// Output: 36.74 %, <nil>
}

func ExampleRollingLeakRate() {
	rate, err := service.RollingLeakRate(units.Pounds(65), units.Pounds(310))
	fmt.Printf("%.2f %%, %v\n", rate.Percent(), err)
	// Output: 20.97 %, <nil>
}

func ExampleDecayTrend() {
	look := func(minutes, micron float64) service.Sample {
		return service.Sample{After: units.Minutes(minutes), Level: units.Micron(micron)}
	}
	straight, err := service.DecayTrend([]service.Sample{look(0, 260), look(10, 900), look(20, 1600)})
	fmt.Printf("%s, %v\n", straight, err)
	flat, err := service.DecayTrend([]service.Sample{look(0, 500), look(5, 800), look(10, 850)})
	fmt.Printf("%s, %v\n", flat, err)
	// Output:
	// keeps rising, <nil>
	// levels off, <nil>
}

func ExampleVacuumDecay() {
	shape, err := service.VacuumDecay([]service.Sample{{Level: units.Micron(260)}, {After: units.Minutes(10), Level: units.Micron(900)}, {After: units.Minutes(20), Level: units.Micron(1600)}}, units.Kelvin(0), service.TrendUnsaid)
	fmt.Printf("%s, %v\n", shape, err)
	// Output: leaking, <nil>
}

func ExampleWaterVapor() {
	p, err := service.WaterVapor(units.Fahrenheit(68))
	fmt.Printf("%.0f micron, %v\n", p.Micron(), err)
	// Output: 17539 micron, <nil>
}

func ExampleFilterLimit() {
	dp, err := service.FilterLimit(fluid("R404A"), units.PSIA(30.7), service.CleanUp)
	fmt.Printf("%.1f psi, %v\n", dp.PSI(), err)
	// Output: 4.0 psi, <nil>
}

func ExampleFilterVerdict() {
	v, err := service.FilterVerdict(units.PSI(2), units.PSI(1.4))
	fmt.Printf("%s, %v\n", v, err)
	// Output: bad, <nil>
}

func ExampleCircuitCharge() {
	c, err := service.CircuitCharge(fluid("R448A"), service.Circuit{LiquidLine: units.CubicInches(392), Liquid: units.Fahrenheit(85)})
	fmt.Printf("%.1f lb, %.1f to %.1f, %v\n", c.Estimate.Pounds(), c.Low.Pounds(), c.High.Pounds(), err)
	// Output: 15.3 lb, 12.2 to 18.3, <nil>
}

func ExampleReceiverHolds() {
	most, fits, err := service.ReceiverHolds(fluid("R404A"), units.Pounds(46), units.CubicFeet(1))
	fmt.Printf("%.0f lb %v, %v\n", most.Pounds(), fits, err)
	// Output: 50 lb true, <nil>
}

func ExampleCleanup() {
	class, steps, err := service.Cleanup(service.OilSample{Acid: true, Carbon: true})
	fmt.Printf("%s, %d steps, %v\n", class, len(steps), err)
	// Output: severe, 6 steps, <nil>
}
