package answer

import (
	"fmt"

	"coldcase/calc/pipe"
	"coldcase/calc/protect"
	"coldcase/calc/service"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// vacuum tells how deep to pull, or by the rise what is in there.
func (a *asked) vacuum() {
	if !a.has(vocab.VacuumLevel) && !a.has(vocab.VacuumRiseLevel) {
		a.vacuumTarget()
		return
	}
	if a.has(vocab.VacuumLevel) && !a.has(vocab.VacuumRiseLevel) {
		a.vacuumReached()
	}
	if !a.need(vocab.VacuumLevel, vocab.VacuumRiseLevel, vocab.VacuumHoldTime) {
		return
	}
	read, told := a.samples()
	pipeTemp := units.Temperature(0)
	if a.has(vocab.AmbientTemp) {
		pipeTemp = a.temp(vocab.AmbientTemp)
	}
	got, err := service.VacuumDecay(read, pipeTemp, a.trend())
	if a.fail(err) {
		return
	}
	a.plain("vacuum_rise", (read[len(read)-1].Level - read[0].Level).Micron(), units.CodeMicron)
	a.judge(decayVerdict[got])
	a.line("vacuum %s: %s", told, decayWords[got])
}

// samples of a decay test, and the test in words.
func (a *asked) samples() (read []service.Sample, told string) {
	start := units.Pressure(a.si(vocab.VacuumLevel))
	read = []service.Sample{{Level: start}}
	told = fmt.Sprintf("%.0f micron", start.Micron())
	look := func(level, after vocab.Key) {
		s := service.Sample{After: units.Duration(a.si(after)), Level: units.Pressure(a.si(level))}
		read = append(read, s)
		told += fmt.Sprintf(", %.0f after %.0f min", s.Level.Micron(), s.After.Minutes())
	}
	for _, mid := range VacuumMid {
		if a.has(mid.Level, mid.After) {
			look(mid.Level, mid.After)
		}
	}
	if len(read) == 1 {
		end, wait := units.Pressure(a.si(vocab.VacuumRiseLevel)), units.Duration(a.si(vocab.VacuumHoldTime))
		return append(read, service.Sample{After: wait, Level: end}), fmt.Sprintf("%.0f to %.0f micron in %.0f min", start.Micron(), end.Micron(), wait.Minutes())
	}
	look(vocab.VacuumRiseLevel, vocab.VacuumHoldTime)
	return read, told
}

// vacuumReached holds a level with the pump still on against what is to be reached.
func (a *asked) vacuumReached() {
	level, target, poe := units.Pressure(a.si(vocab.VacuumLevel)).Micron(), limits.Value("vacuum_target_micron"), limits.Value("vacuum_poe_micron")
	switch {
	case level > target:
		a.judge(limits.Watch)
		a.line("%.0f micron is not deep enough: %.0f or lower, %.0f with POE oil", level, target, poe)
	case level > poe:
		a.judge(limits.OK)
		a.line("%.0f micron will do but with POE oil, which wants %.0f", level, poe)
	default:
		a.judge(limits.OK)
		a.line("%.0f micron is deep enough", level)
	}
	a.line("what it does with the pump valved off tells more: send the level after 10 min, 30 to 60 on a big one")
}

// vacuumDanger is what must not be done in a vacuum.
// Source: trade-basis 4.4, 6.4 (common practice: thin gas flashes over between the terminals)
func (a *asked) vacuumDanger() {
	a.judge(limits.Bad)
	a.line("no: never start, megger or power it in a vacuum. Thin gas lets the volts flash over and the windings burn")
	a.line("break the vacuum with dry nitrogen or gas to above 0 psig first")
}

// trend is how the rise was told to go on.
func (a *asked) trend() service.Trend {
	switch {
	case a.q.Said[LevelsOff]:
		return service.TrendLevels
	case a.q.Said[KeepsRising]:
		return service.TrendRises
	}
	return service.TrendUnsaid
}

var decayVerdict = map[service.Decay]limits.Verdict{
	service.Dry: limits.OK, service.Leaking: limits.Bad, service.Wet: limits.Watch, service.FreeWater: limits.Bad, service.Unclear: limits.Watch,
}

var decayWords = map[service.Decay]string{
	service.Dry:       "dry and tight",
	service.Wet:       "levels off: moisture, or refrigerant boiling out of the oil. Warm it, pull more, break with dry nitrogen",
	service.FreeWater: "stands at water's own pressure: free water. Heat it and break with dry nitrogen, several times",
	service.Leaking:   "keeps rising: a leak. Pressure test before pulling again",
	service.Unclear:   "two readings in the middle tell no shape. Read it again after as long: levelling is moisture, straight on is a leak",
}

func (a *asked) vacuumTarget() {
	a.putMicron("vacuum_target", "vacuum_target_micron")
	a.putMicron("vacuum_target_poe", "vacuum_poe_micron")
	a.line("pull to %.0f micron or lower, %.0f with POE oil; valved off 10 min (30 to 60 on a big one) it stays under %.0f, or under %.0f and levels", limits.Value("vacuum_target_micron"), limits.Value("vacuum_poe_micron"), limits.Value("vacuum_target_micron"), limits.Value("vacuum_rise_micron"))
	a.line("gauge at the far end, cores out, pump valved off for the test; never start or megger it in a vacuum")
}

func (a *asked) putMicron(name, limit string) { a.plain(name, limits.Value(limit), units.CodeMicron) }

func (a *asked) holdingTest() {
	if !a.has(vocab.TestPressureStart) && !a.has(vocab.TestPressureEnd) {
		a.line("dry nitrogen in steps, never above the lowest test pressure on the plates; leave it 1 h for a short test, %.0f h for acceptance", limits.Value("holding_acceptance_h"))
		a.line("read pressure and pipe temp at both ends, out of the sun; a loss of more than 1 %% beyond what the temperature does is a leak")
		return
	}
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
	if !a.has(vocab.PumpdownPressure) && !a.has(vocab.PumpdownRisePressure) {
		a.findTheLeakBy()
		return
	}
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
	words := map[limits.Verdict]string{
		limits.OK:    "tight",
		limits.Watch: "in doubt: pump down once more with a warm sump. Less each time is gas out of the oil",
		limits.Bad:   "something lets by. Shut the liquid hand valve and repeat: rise gone is solenoid or valve, still there is the compressor's valves",
		limits.Ask:   "it fell: the low side was still being pulled down. Read it again with the machine off",
	}[protect.RiseVerdict(rate)]
	a.line("%s: %s", a.sayRate(rate), words)
	a.leakedMass(start, end, wait)
	a.recycles(start, end, wait)
}

// findTheLeakBy tells one step at a time which part lets by.
// Source: trade-basis 3.3 (common practice)
func (a *asked) findTheLeakBy() {
	a.line("box satisfied, solenoid shut: read the low side when it stops and again after 10 min, touching nothing. Under %.0f psi is tight, over %.0f is a leak", limits.Value("pumpdown_tight_psi"), limits.Value("pumpdown_watch_psi"))
	a.line("shut the liquid hand valve ahead of the solenoid and repeat: rise gone is the solenoid or what is behind it")
	a.line("never run it against a shut discharge valve. Still rising: with the compressor stopped and locked out shut the discharge service valve. Rise gone is its valves; the head warms too")
	a.line("both shut and ever slower with a warm sump is gas out of the oil; a warm hot-gas line is that valve")
}

// recycles tells how often a rise restarts the machine. It stopped at its cut-out; with
// no setting said the cut-in is taken a usual differential above.
func (a *asked) recycles(start, end units.Gauge, wait units.Duration) {
	out, in := start, start+units.Gauge(units.PSI(limits.Value("pumpdown_differential_psi")))
	switch {
	case a.has(vocab.CutInPressure, vocab.CutOutPressure):
		out, in = units.Gauge(a.si(vocab.CutOutPressure)), units.Gauge(a.si(vocab.CutInPressure))
	case a.has(vocab.CutInPressure):
		in = units.Gauge(a.si(vocab.CutInPressure))
	case end.Sub(start) < units.PSI(limits.Value("pumpdown_tight_psi")):
		return
	default:
		a.assume("cut-out where it stopped, cut-in " + a.sayDrop(in.Sub(out)) + " above")
	}
	run := units.Minutes(limits.Value("pumpdown_run_min"))
	got, err := protect.PumpdownLeak(start, end, wait, in, out, run)
	if a.fail(err) || got.Cycles == 0 {
		return
	}
	a.assume(fmt.Sprintf("%.0f min to pull down again", run.Minutes()))
	a.plain("cycles_per_hour", got.Cycles, units.CodePerHour)
	a.line("on a recycling pump-down that is %.1f starts an hour with the box satisfied", got.Cycles)
}

// leakedMass is what came by, where the low side's volume is known.
func (a *asked) leakedMass(start, end units.Gauge, wait units.Duration) {
	if !a.has(LowSideVolume) {
		return
	}
	if a.fluid == nil {
		a.needFluid()
		return
	}
	var gas units.Temperature
	if a.has(LowSideTemp) {
		gas = a.temp(LowSideTemp)
	} else {
		gas = a.assumedTemp("low-side gas", "assume_low_side_gas_F")
	}
	mass, err := protect.LeakedMass(a.fluid, units.Volume(a.si(LowSideVolume)), start.Abs(a.air), end.Abs(a.air), gas)
	if a.fail(err) {
		return
	}
	hour, err := protect.LeakedIn(mass, wait, units.Hours(1))
	if a.fail(err) {
		return
	}
	a.putMass("leaked", mass)
	a.putMass("leaked_per_hour", hour)
	a.line("%s came by, %s an hour", a.sayLittle(mass), a.sayLittle(hour))
}

// lowSide is the suction pressure, read or by the evaporating temperature.
func (a *asked) lowSide() (units.Pressure, bool) {
	if a.fluid == nil || a.has(vocab.SuctionPressure) || !a.has(EvaporatingTemp) {
		if !a.need(vocab.SuctionPressure) {
			return 0, false
		}
		return a.pressure(vocab.SuctionPressure), true
	}
	p, err := a.fluid.DewPressure(a.temp(EvaporatingTemp))
	return p, !a.fail(err)
}

func (a *asked) suctionFilter() {
	a.needFluid()
	p, ok := a.lowSide()
	if !ok {
		return
	}
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
