package calc

import (
	"math"
	"testing"

	"coldcase/calc/cycle"
	"coldcase/calc/elec"
	"coldcase/calc/pipe"
	"coldcase/calc/props"
	"coldcase/calc/protect"
	"coldcase/calc/service"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
)

// Whatever numbers come in, a formula gives a finite answer or an error: never NaN,
// never a panic.
func FuzzFormulasAnswerOrRefuse(fz *testing.F) {
	fz.Add(16.0, 224.0, 38.0, 90.0, 31500.0)
	fz.Add(-20.0, 1e9, -500.0, math.Inf(1), 0.0)
	fz.Add(math.NaN(), 0.0, 0.0, math.NaN(), -1.0)
	fl, err := props.Lookup("R134a")
	if err != nil {
		fz.Fatal(err)
	}
	fz.Fuzz(func(t *testing.T, a, b, c, d, e float64) {
		suction, head := units.PSIA(a), units.PSIA(b)
		line, liquid := f(c), f(d)
		size := tube.Sizes()[5]
		check := func(name string, v float64, err error) {
			if err == nil && !units.Finite(v) {
				t.Errorf("%s gave %g without an error", name, v)
			}
		}
		air, err := cycle.Air(units.Feet(a))
		check("air", float64(air), err)
		sh, err := cycle.Superheat(fl, line, suction)
		check("superheat", float64(sh), err)
		sc, err := cycle.Subcooling(fl, liquid, head)
		check("subcooling", float64(sc), err)
		split, err := cycle.CondensingSplit(fl, line, head)
		check("split", float64(split), err)
		td, err := cycle.CoilTD(fl, line, suction)
		check("coil TD", float64(td), err)
		cr, err := cycle.CompressionRatio(head, suction)
		check("ratio", cr, err)
		m, err := cycle.MassFlow(units.BtuPerHour(e), units.BtuPerPound(a), units.BtuPerPound(b))
		check("mass flow", float64(m), err)
		v, err := pipe.Velocity(units.PoundsPerHour(e), units.KilogramsPerCubicMeter(a), size)
		check("velocity", float64(v), err)
		film, err := pipe.LeastOilFlow(units.KilogramsPerCubicMeter(a), units.KilogramsPerCubicMeter(b), size)
		check("oil under a film", float64(film), err)
		off, err := elec.Unbalance(a, b, e)
		check("unbalance", float64(off), err)
		t2, err := cycle.DischargeTemp(fl, suction, line, head, units.Percent(65))
		check("discharge", float64(t2), err)
		h, err := cycle.LiquidEnthalpy(fl, liquid)
		check("liquid", float64(h), err)
		least, err := pipe.LeastOilFlow(units.KilogramsPerCubicMeter(a), pipe.OilFilm(), size)
		check("oil", float64(least), err)
		ff, err := pipe.FrictionFactor(a, b)
		check("friction factor", ff, err)
		loss, err := pipe.SuctionPenalty(fl, suction, units.PSI(e))
		check("penalty", float64(loss), err)
		r40, err := elec.InsulationAt40C(units.Megohms(1), line)
		check("insulation", float64(r40), err)
		load, err := elec.Derating(units.Percent(a))
		check("derating", float64(load), err)
		water, err := service.WaterVapor(line)
		check("water", float64(water), err)
		limit, err := service.FilterLimit(fl, suction, service.Permanent)
		check("filter", float64(limit), err)
		shell, err := protect.AccumulatorVolume(fl, units.Pounds(46), units.Fraction(e), liquid)
		check("accumulator", float64(shell), err)
		margin, _, err := protect.SumpMargin(fl, f(60), suction)
		check("sump", float64(margin), err)
	})
}
