package derive

import (
	"coldcase/calc/protect"
	"coldcase/calc/service"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// sumpNumbers hold the sump against the low side of the same state; at rest the
// pressure after a pump-down's wait is the low side's.
func (g *group) sumpNumbers() {
	keys := []vocab.Key{vocab.SuctionPressure}
	if g.state == vocab.Standing {
		keys = append(keys, vocab.PumpdownRisePressure)
	}
	k, ok := g.firstOf(keys...)
	if !ok || g.fluid == nil || !g.has(vocab.SumpTemp) {
		return
	}
	p := g.pressure(k)
	dew, err := g.fluid.DewTemp(p)
	if err != nil {
		return
	}
	us, si := difference(g.temp(vocab.SumpTemp).Sub(dew), g.saturationError(p)+units.DegreesF(probeDegF))
	g.put(SumpSuperheat, "", us, si, "", vocab.SumpTemp, k)
}

// testNumbers are those of the last pump-down, vacuum and nitrogen tests.
func (g *group) testNumbers() {
	if g.has(vocab.PumpdownPressure, vocab.PumpdownRisePressure, vocab.PumpdownWaitTime) {
		rate, err := protect.LeakByRate(units.Gauge(g.si(vocab.PumpdownPressure)), units.Gauge(g.si(vocab.PumpdownRisePressure)), units.Duration(g.si(vocab.PumpdownWaitTime)))
		if err == nil {
			g.put(PumpdownLeakRate, "", measured{rate.PSIPerMinute(), units.CodePSIPerMinute, 0}, measured{rate.BarPerMinute(), units.CodeBarPerMinute, 0}, "", vocab.PumpdownRisePressure, vocab.PumpdownPressure)
		}
	}
	if g.has(vocab.VacuumLevel, vocab.VacuumRiseLevel) {
		rise := units.Pressure(g.si(vocab.VacuumRiseLevel) - g.si(vocab.VacuumLevel))
		us, si := same(rise.Micron(), units.CodeMicron, 0)
		g.put(VacuumRise, "", us, si, "", vocab.VacuumRiseLevel, vocab.VacuumLevel)
	}
	if g.has(vocab.TestPressureStart, vocab.TestPressureEnd, vocab.TestTempStart, vocab.TestTempEnd) {
		change, _, err := service.HoldingChange(units.Gauge(g.si(vocab.TestPressureStart)), g.temp(vocab.TestTempStart), units.Gauge(g.si(vocab.TestPressureEnd)), g.temp(vocab.TestTempEnd), g.air)
		if err == nil {
			tolerance := service.HoldingTolerance(units.Gauge(g.si(vocab.TestPressureEnd)))
			g.put(HoldingTestChange, "", measured{change.PSI(), units.CodePSI, tolerance.PSI()}, measured{change.Bar(), units.CodeBar, tolerance.Bar()}, "", vocab.TestPressureStart, vocab.TestPressureEnd)
		}
	}
}

// protectionNumbers are what the charge asks of an accumulator.
func (g *group) protectionNumbers(rec Record) {
	if g.fluid == nil || !g.has(vocab.SystemCharge) {
		return
	}
	share, note := units.Percent(50), "half of the charge, liquid at 40 F, 70 % of the shell usable"
	if m := rec.Facts[vocab.Metering]; m == "cap_tube" || m == "orifice" || rec.Circumstances[vocab.HotGasDefrost] {
		share, note = units.Percent(70), "70 % of the charge, liquid at 40 F, 70 % of the shell usable"
	}
	v, err := protect.AccumulatorVolume(g.fluid, units.Mass(g.si(vocab.SystemCharge)), share, units.Fahrenheit(40))
	if err != nil {
		return
	}
	g.put(AccumulatorNeeded, "", measured{v.CubicInches(), units.CodeCubicInch, 0}, measured{v.Liters(), units.CodeLiter, 0}, note, vocab.SystemCharge)
}

// leakNumbers annualise the last addition over the time since the one before.
func (g *group) leakNumbers(rec Record) {
	var last, before *Observation
	for i := range rec.Observations {
		if o := &rec.Observations[i]; o.Key == vocab.ChargeAdded {
			before, last = last, o
		}
	}
	if before == nil || !g.has(vocab.SystemCharge) {
		return
	}
	added, err := vocab.SI(last.Reading, g.air)
	if err != nil {
		return
	}
	days := last.At.Sub(before.At).Hours() / 24
	rate, err := service.AnnualizedLeakRate(units.Mass(added), units.Mass(g.si(vocab.SystemCharge)), units.Days(days))
	if err != nil || days < 1 {
		return
	}
	us, si := same(rate.Percent(), units.CodePercent, 0)
	g.put(LeakRate, "", us, si, "annualizing method; hold it against the rule in force", vocab.SystemCharge)
}
