package answer

import (
	"errors"

	"coldcase/calc/cycle"
	"coldcase/calc/elec"
	"coldcase/calc/pipe"
	"coldcase/calc/protect"
	"coldcase/calc/service"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

func (a *asked) leakRate() {
	if !a.need(vocab.ChargeAdded, vocab.SystemCharge) {
		return
	}
	added, full := units.Mass(a.si(vocab.ChargeAdded)), units.Mass(a.si(vocab.SystemCharge))
	var rate units.Fraction
	var err error
	if a.has(SinceAdded) {
		rate, err = service.AnnualizedLeakRate(added, full, units.Duration(a.si(SinceAdded)))
		a.assume("annualizing method; use the facility's one method throughout")
	} else {
		rate, err = service.RollingLeakRate(added, full)
		a.assume("all of it within the last 365 days (rolling method); say how many days since the last addition to annualize")
	}
	if a.fail(err) {
		return
	}
	a.plain("leak_rate_pct_per_year", rate.Percent(), units.CodePercent)
	a.judge(limits.Rising(rate.Percent(), limits.Value("leak_watch_pct"), 100, 125))
	a.line("leak rate %.1f %% a year", rate.Percent())
	a.holdToRule(rate.Percent(), full)
}

// holdToRule compares with the dated threshold of commercial refrigeration.
func (a *asked) holdToRule(pct float64, full units.Mass) {
	part := "84"
	if r := a.q.Refrigerant; r == "R22" || r == "R502" || r == "R12" || r == "R401A" || r == "R402A" || r == "R408A" || r == "R409A" {
		part = "82"
	}
	rule, ok := limits.LeakRuleFor(part, "commercial", full.Pounds(), a.q.On)
	if !ok {
		return
	}
	a.assume("commercial refrigeration; verify the current rule, states can be stricter")
	a.plain("leak_threshold", rule.RatePct, units.CodePercent)
	if pct > rule.RatePct {
		a.judge(limits.Bad)
		a.line("over the %.0f %% of 40 CFR part %s: repair within 30 days", rule.RatePct, rule.Part)
		return
	}
	a.line("under the %.0f %% of 40 CFR part %s", rule.RatePct, rule.Part)
}

func (a *asked) lpControl() {
	if !a.needFluid() {
		return
	}
	c := protect.Control{Pumpdown: a.q.Facts[vocab.HasPumpdownSolenoid] != "no"}
	if a.has(vocab.BoxTemp) {
		c.Box = a.temp(vocab.BoxTemp)
	}
	if a.has(vocab.AmbientTemp) {
		c.Winter = a.temp(vocab.AmbientTemp)
		a.assume("coldest outdoor air " + a.sayTemp(c.Winter))
	}
	if a.has(EvaporatingTemp) {
		c.LowestSuction = a.temp(EvaporatingTemp)
	}
	if !a.has(vocab.CutInPressure, vocab.CutOutPressure) {
		a.suggestControl(c)
		return
	}
	c.CutIn, c.CutOut = units.Gauge(a.si(vocab.CutInPressure)), units.Gauge(a.si(vocab.CutOutPressure))
	got, err := protect.LowPressureControl(a.fluid, c, a.air)
	if a.fail(err) {
		return
	}
	a.controlNumbers(c, got)
	a.judge(limits.OK)
	for _, fault := range got.Faults {
		a.judge(limits.Bad)
		a.line("%s", fault)
	}
	if len(got.Faults) == 0 {
		a.line("settings hold: cut-in is %s, cut-out %s on dew, differential %s", a.sayTemp(got.CutInDew), a.sayTemp(got.CutOutDew), a.sayDrop(got.Differential))
	}
}

func (a *asked) controlNumbers(c protect.Control, got protect.ControlCheck) {
	a.putGauge("cut_in", c.CutIn)
	a.putGauge("cut_out", c.CutOut)
	a.putTemp("cut_in_dew", got.CutInDew)
	a.putTemp("cut_out_dew", got.CutOutDew)
	a.putDrop("differential", got.Differential)
	if c.Winter > 0 {
		a.putGauge("winter_pressure", got.WinterPressure)
	}
}

func (a *asked) suggestControl(c protect.Control) {
	if !a.need(vocab.BoxTemp) {
		return
	}
	c, err := protect.SuggestControl(a.fluid, c, a.air)
	if a.fail(err) {
		return
	}
	got, err := protect.LowPressureControl(a.fluid, c, a.air)
	if a.fail(err) {
		return
	}
	a.controlNumbers(c, got)
	a.assume("pump-down; the maker's settings win")
	a.line("cut-in %s (%s dew), cut-out %s (%s)", a.sayGauge(c.CutIn), a.sayTemp(got.CutInDew), a.sayGauge(c.CutOut), a.sayTemp(got.CutOutDew))
}

func (a *asked) vacuum() {
	if !a.need(vocab.VacuumLevel, vocab.VacuumRiseLevel, vocab.VacuumHoldTime) {
		return
	}
	start, end := units.Pressure(a.si(vocab.VacuumLevel)), units.Pressure(a.si(vocab.VacuumRiseLevel))
	wait := units.Duration(a.si(vocab.VacuumHoldTime))
	pipeTemp := units.Temperature(0)
	if a.has(vocab.AmbientTemp) {
		pipeTemp = a.temp(vocab.AmbientTemp)
	}
	got, err := service.VacuumDecay([]service.Sample{{Level: start}, {After: wait, Level: end}}, pipeTemp)
	if a.fail(err) {
		return
	}
	a.plain("vacuum_rise", (end - start).Micron(), units.CodeMicron)
	switch got {
	case service.Dry:
		a.judge(limits.OK)
	case service.Leaking:
		a.judge(limits.Bad)
	default:
		a.judge(limits.Watch)
	}
	a.line("%s", got)
}

func (a *asked) holdingTest() {
	if !a.need(vocab.TestPressureStart, vocab.TestPressureEnd) {
		return
	}
	start, end := units.Gauge(a.si(vocab.TestPressureStart)), units.Gauge(a.si(vocab.TestPressureEnd))
	if !a.need(vocab.TestTempStart, vocab.TestTempEnd) {
		return
	}
	change, expected, err := service.HoldingChange(start, a.temp(vocab.TestTempStart), end, a.temp(vocab.TestTempEnd), a.air)
	if a.fail(err) {
		return
	}
	v := service.HoldingVerdict(change, end)
	a.put("holding_test_change", change.PSI(), units.CodePSI, change.Bar(), units.CodeBar)
	a.putGauge("expected", expected)
	a.judge(v)
	words := map[limits.Verdict]string{limits.OK: "it holds", limits.Watch: "in doubt: leave it longer", limits.Bad: "it leaks", limits.Ask: "it gained: a pipe temperature is wrong"}[v]
	a.line("%s: the temperature alone gives %s, gauges may be off by %s", words, a.sayGauge(expected), a.sayDrop(service.HoldingTolerance(end)))
}

func (a *asked) pumpdownLeak() {
	if !a.need(vocab.PumpdownPressure, vocab.PumpdownRisePressure, vocab.PumpdownWaitTime) {
		return
	}
	start, end := units.Gauge(a.si(vocab.PumpdownPressure)), units.Gauge(a.si(vocab.PumpdownRisePressure))
	wait := units.Duration(a.si(vocab.PumpdownWaitTime))
	rate, err := protect.LeakByRate(start, end, wait)
	if a.fail(err) {
		return
	}
	a.put("pumpdown_leak_rate", rate.PSIPerMinute(), units.CodePSIPerMinute, rate.BarPerMinute(), units.CodeBarPerMinute)
	a.judge(protect.RiseVerdict(rate))
	a.line("%.2f psi/min; a jump that then stands is gas out of the oil, a straight rise is a leak", rate.PSIPerMinute())
	if !a.has(vocab.CutInPressure, vocab.CutOutPressure) {
		return
	}
	run := units.Minutes(limits.Value("pumpdown_run_min"))
	got, err := protect.PumpdownLeak(start, end, wait, units.Gauge(a.si(vocab.CutInPressure)), units.Gauge(a.si(vocab.CutOutPressure)), run)
	if a.fail(err) {
		return
	}
	a.assume("2 min to pull down again")
	a.plain("cycles_per_hour", got.Cycles, units.CodePerHour)
	a.line("a recycling pump-down would start %.1f times an hour on that with the box satisfied", got.Cycles)
}

func (a *asked) insulation() {
	if !a.need(vocab.InsulationMegohms) {
		return
	}
	var winding units.Temperature
	if a.has(WindingTemp) {
		winding = a.temp(WindingTemp)
	} else {
		winding = a.assumedTemp("winding", "assume_winding_F")
	}
	r, err := elec.InsulationAt40C(units.Resistance(a.si(vocab.InsulationMegohms)), winding)
	if a.fail(err) {
		return
	}
	v, err := elec.InsulationVerdict(r)
	if a.fail(err) {
		return
	}
	a.plain("insulation_40C", r.Megohms(), units.CodeMegohm)
	a.judge(v)
	a.line("%.1f Mohm at 40 C", r.Megohms())
}

func (a *asked) windings() {
	if !a.need(vocab.OhmsAb, vocab.OhmsBc, vocab.OhmsCa) {
		return
	}
	u, err := elec.Unbalance(a.si(vocab.OhmsAb), a.si(vocab.OhmsBc), a.si(vocab.OhmsCa))
	if a.fail(err) {
		return
	}
	a.plain("resistance_unbalance", u.Percent(), units.CodePercent)
	bad := limits.Value("winding_unbalance_pct")
	a.judge(limits.Rising(u.Percent(), limits.Value("winding_watch_pct"), bad, 100))
	a.line("windings off by %.1f %%", u.Percent())
}

func (a *asked) voltage() {
	if !a.need(vocab.VoltsAb, vocab.VoltsBc, vocab.VoltsCa) {
		return
	}
	u, err := elec.Unbalance(a.si(vocab.VoltsAb), a.si(vocab.VoltsBc), a.si(vocab.VoltsCa))
	if a.fail(err) {
		return
	}
	a.plain("voltage_unbalance", u.Percent(), units.CodePercent)
	a.judge(limits.Rising(u.Percent(), limits.Value("unbalance_watch_pct"), limits.Value("unbalance_bad_pct"), limits.Value("unbalance_stop_pct")))
	load, err := elec.Derating(u)
	var out *cycle.RangeError
	if errors.As(err, &out) {
		a.line("voltage unbalance %.1f %%: do not run it", u.Percent())
		return
	}
	heat, err := elec.ExtraHeat(u)
	if a.fail(err) {
		return
	}
	a.plain("extra_heat", heat.Percent(), units.CodePercent)
	a.plain("derating", load.Percent(), units.CodePercent)
	a.line("voltage unbalance %.1f %%: winding heats %.0f %% more, good for %.0f %% load", u.Percent(), heat.Percent(), load.Percent())
}

func (a *asked) suctionFilter() {
	a.needFluid()
	if !a.need(vocab.SuctionPressure) {
		return
	}
	p := a.pressure(vocab.SuctionPressure)
	good, err := service.FilterLimit(a.fluid, p, service.Permanent)
	if a.fail(err) {
		return
	}
	cleanup, err := service.FilterLimit(a.fluid, p, service.CleanUp)
	if a.fail(err) {
		return
	}
	a.putDrop("filter_limit", good)
	a.putDrop("filter_limit_cleanup", cleanup)
	a.line("suction filter: %s for good, %s during a clean-up", a.sayDrop(good), a.sayDrop(cleanup))
	if !a.has(vocab.SuctionFilterDrop) {
		return
	}
	drop := units.PressureDelta(a.si(vocab.SuctionFilterDrop))
	v, err := service.FilterVerdict(drop, good)
	if a.fail(err) {
		return
	}
	loss, err := pipe.SuctionPenalty(a.fluid, p, drop)
	if a.fail(err) {
		return
	}
	a.putDelta("penalty", loss)
	a.judge(v)
	a.line("%s now costs %s", a.sayDrop(drop), a.sayDelta(loss))
}
