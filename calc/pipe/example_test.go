package pipe_test

import (
	"fmt"

	"coldcase/calc/pipe"
	"coldcase/calc/props"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
)

func fluid(name string) *props.Fluid {
	f, err := props.Lookup(name)
	if err != nil {
		panic(err)
	}
	return f
}

func size(inches float64) tube.Tube {
	t, err := tube.ACR(units.Inches(inches))
	if err != nil {
		panic(err)
	}
	return t
}

// gasDuty is a load on gas at a dew and a line temperature.
func gasDuty(name string, dewF, gasF, flowLbH, leastPct float64) pipe.Duty {
	f := fluid(name)
	p, err := f.DewPressure(units.Fahrenheit(dewF))
	if err != nil {
		panic(err)
	}
	gas, err := f.AtTP(units.Fahrenheit(gasF), p)
	if err != nil {
		panic(err)
	}
	return pipe.Duty{Fluid: f, State: gas, Viscosity: pipe.GasViscosity(f, gas), Flow: units.PoundsPerHour(flowLbH), Least: units.Percent(leastPct)}
}

// The freezer riser, the hot gas and the rack of trade-basis 2.3 to 2.5.
func duty() pipe.Duty   { return gasDuty("R507A", -20, -12, 610.8, 33) }
func hotGas() pipe.Duty { return gasDuty("R134a", 105, 150, 691, 50) }
func rack() pipe.Duty   { return gasDuty("R507A", -25, -15, 2026, 12.5) }

// The liquid line of trade-basis 2.8, its tube 5/8.
func liquidRun() pipe.LiquidRun {
	return pipe.LiquidRun{Tube: size(0.625), Flow: units.PoundsPerHour(980), Viscosity: units.PascalSeconds(150e-6), Equivalent: units.Feet(140), Lift: units.Feet(31), Before: units.PSI(2), After: units.PSI(1.5)}
}

func ExampleTryDischarge() {
	d := hotGas()
	d.Flow = units.PoundsPerHour(714) // what 761 fpm of trade-basis 2.4 are in this tube
	fit, err := pipe.TryDischarge(d, size(1.125), units.Feet(30))
	fmt.Printf("%.0f fpm, %.2f F, lifts %.2f full %.2f least, %v\n", fit.Velocity.FeetPerMinute(), fit.Penalty.DegreesF(), fit.RatioFull, fit.RatioMin, err)
	// Output: 761 fpm, 0.11 F, lifts 2.26 full 1.13 least, <nil>
}

func ExampleVelocity() {
	v, err := pipe.Velocity(units.PoundsPerHour(610.8), units.PoundsPerCubicFoot(0.7177), size(1.375))
	fmt.Printf("%.0f fpm, %v\n", v.FeetPerMinute(), err)
	// Output: 1625 fpm, <nil>
}

func ExampleOilFilm() {
	fmt.Printf("%.0f kg/m3\n", pipe.OilFilm().KilogramsPerCubicMeter())
	// Output: 1000 kg/m3
}

func ExampleLeastOilFlow() {
	m, err := pipe.LeastOilFlow(units.PoundsPerCubicFoot(0.7177), pipe.OilFilm(), size(1.375))
	fmt.Printf("%.1f lb/h, %v\n", m.PoundsPerHour(), err)
	// Output: 278.2 lb/h, <nil>
}

func ExampleLeastOilLoad() {
	q, err := pipe.LeastOilLoad(units.PoundsPerHour(278.2), units.BtuPerPound(151.57), units.BtuPerPound(100))
	fmt.Printf("%.0f Btu/h, %v\n", q.BtuPerHour(), err)
	// Output: 14347 Btu/h, <nil>
}

func ExampleOilReturn() {
	ratio, v, err := pipe.OilReturn(units.PoundsPerHour(201.6), units.PoundsPerHour(278.2))
	fmt.Printf("%.2f %s, %v\n", ratio, v, err)
	// Output: 0.72 bad, <nil>
}

func ExampleStaticHead() {
	fmt.Printf("%.2f psi\n", pipe.StaticHead(units.PoundsPerCubicFoot(66.58), units.Feet(31)).PSI())
	// Output: 14.33 psi
}

func ExampleFrictionFactor() {
	f, err := pipe.FrictionFactor(45000, 1e-4)
	fmt.Printf("%.4f, %v\n", f, err)
	// Output: 0.0217, <nil>
}

func ExampleHaalandFactor() {
	f, err := pipe.HaalandFactor(45000, 1e-4)
	fmt.Printf("%.4f, %v\n", f, err)
	// Output: 0.0215, <nil>
}

func ExampleFriction() {
	dp, err := pipe.Friction(units.PoundsPerHour(980), units.PoundsPerCubicFoot(66.58), units.PascalSeconds(150e-6), size(0.625), units.Feet(140))
	fmt.Printf("%.2f psi, %v\n", dp.PSI(), err)
	// Output: 2.75 psi, <nil>
}

func ExampleWithFittings() {
	fmt.Printf("%.0f ft\n", pipe.WithFittings(units.Feet(26)).Feet())
	// Output: 39 ft
}

func ExampleEquivalentLength() {
	l, err := pipe.EquivalentLength(units.Feet(26), "ell_90_long_radius", 2, size(1.125))
	fmt.Printf("%.1f ft, %v\n", l.Feet(), err)
	// Output: 29.4 ft, <nil>
}

func ExampleScaledPenalty() {
	dt, err := pipe.ScaledPenalty(units.DegreesF(2), units.Feet(100), units.Feet(69.8), units.Tons(33.1), units.Tons(30))
	fmt.Printf("%.2f F, %v\n", dt.DegreesF(), err)
	// Output: 1.17 F, <nil>
}

func ExampleSuctionPenalty() {
	dt, err := pipe.SuctionPenalty(fluid("R404A"), units.PSIA(30.7), units.PSI(2))
	fmt.Printf("%.2f F, %v\n", dt.DegreesF(), err)
	// Output: 2.94 F, <nil>
}

func ExampleDischargePenalty() {
	dt, err := pipe.DischargePenalty(fluid("R404A"), units.PSIA(238.7), units.PSI(3))
	fmt.Printf("%.2f F, %v\n", dt.DegreesF(), err)
	// Output: 0.91 F, <nil>
}

func ExampleLiquidPenalty() {
	dt, err := pipe.LiquidPenalty(fluid("R404A"), units.PSIA(219.7), units.PSI(11.35))
	fmt.Printf("%.1f F, %v\n", dt.DegreesF(), err)
	// Output: 3.8 F, <nil>
}

func ExampleDropOf() {
	dp, err := pipe.DropOf(fluid("R404A"), units.PSIA(30.7), units.DegreesF(2))
	fmt.Printf("%.1f psi, %v\n", dp.PSI(), err)
	// Output: 1.4 psi, <nil>
}

func ExampleLiquidCharge() {
	m, err := pipe.LiquidCharge(fluid("R448A"), units.Fahrenheit(85), size(0.625), units.Feet(140))
	fmt.Printf("%.1f lb, %v\n", m.Pounds(), err)
	// Output: 15.3 lb, <nil>
}

func ExampleLiquidLine() {
	l, err := pipe.LiquidLine(fluid("R448A"), units.PSIA(242.7), units.Fahrenheit(89.3), liquidRun())
	fmt.Printf("%s, needs %.1f F, margin %.1f F, %v\n", l.Flash, l.Need.DegreesF(), l.Margin.DegreesF(), err)
	// Output: at the solenoid and valve, needs 6.4 F, margin -0.4 F, <nil>
}

func ExampleSizeLiquid() {
	pick, err := pipe.SizeLiquid(fluid("R448A"), units.PSIA(242.7), units.Fahrenheit(84), liquidRun())
	fmt.Printf("%s %v, %v\n", pick.Tube.Nominal, pick.OK, err)
	// Output: 5/8 true, <nil>
}

func ExampleTry() {
	fit, err := pipe.Try(duty(), size(1.375), units.Feet(26))
	fmt.Printf("%.0f fpm, oil %.2f at the least load, %v\n", fit.Velocity.FeetPerMinute(), fit.RatioMin, err)
	// Output: 1625 fpm, oil 0.72 at the least load, <nil>
}

func ExampleSizeSuctionRiser() {
	pick, err := pipe.SizeSuctionRiser(duty(), units.Feet(30.6))
	fmt.Printf("%s %.2f, %s, %v\n", pick.Tube.Nominal, pick.RatioMin, pick.Why, err)
	// Output: 1-1/8 1.23, oil rises at the least load, without reserve, <nil>
}

func ExampleSizeHorizontal() {
	pick, err := pipe.SizeHorizontal(duty(), units.Feet(100))
	fmt.Printf("%s %.1f F, %v\n", pick.Tube.Nominal, pick.Penalty.DegreesF(), err)
	// Output: 1-3/8 1.1 F, <nil>
}

func ExampleSizeDischarge() {
	pick, err := pipe.SizeDischarge(hotGas(), units.Feet(60))
	fmt.Printf("%s %.1f F, %v\n", pick.Tube.Nominal, pick.Penalty.DegreesF(), err)
	// Output: 7/8 0.8 F, <nil>
}

func ExampleSizeDischargeRiser() {
	pick, err := pipe.SizeDischargeRiser(hotGas(), units.Feet(30))
	fmt.Printf("%s %.2f, %v\n", pick.Tube.Nominal, pick.RatioMin, err)
	// Output: 7/8 2.13, <nil>
}

func ExampleDoubleRiser() {
	pair, err := pipe.DoubleRiser(rack(), units.Feet(34))
	fmt.Printf("%s and %s, both lose %.1f F, %v\n", pair.Small.Nominal, pair.Large.Nominal, pair.LossBoth.DegreesF(), err)
	// Output: 1-1/8 and 1-3/8, both lose 1.9 F, <nil>
}

func ExampleGasViscosity() {
	d := duty()
	fmt.Printf("%.1f uPas\n", float64(pipe.GasViscosity(d.Fluid, d.State))*1e6)
	// Output: 10.1 uPas
}

func ExampleLiquidViscosity() {
	f := fluid("R404A")
	liquid, err := f.LiquidAtBubble(units.Fahrenheit(86))
	fmt.Printf("%.0f uPas, %v\n", float64(pipe.LiquidViscosity(f, liquid))*1e6, err)
	// Output: 118 uPas, <nil>
}
