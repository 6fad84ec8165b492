package answer

import (
	"fmt"
	"math"
	"strings"

	"coldcase/calc/cycle"
	"coldcase/calc/protect"
	"coldcase/calc/service"
	"coldcase/refdata/cleanup"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// shortCycling judges starts an hour and the shortest run and rest.
func (a *asked) shortCycling() {
	if !a.has(vocab.StartsPerHour) && !a.has(RunTime) && !a.has(RestTime) && !a.has(CycleTime) {
		a.line("hermetic or scroll: under %.0f starts an hour, over %.0f too many; semi-hermetic: under %.0f, over %.0f too many", limits.Value("starts_hermetic_watch_per_h"), limits.Value("starts_hermetic_bad_per_h"), limits.Value("starts_semi_watch_per_h"), limits.Value("starts_semi_bad_per_h"))
		a.line("no run or rest under %.0f min, %.0f min with a long riser; the maker's figure wins", limits.Value("least_run_min"), limits.Value("riser_run_min"))
		return
	}
	run, rest := a.duration(RunTime), a.duration(RestTime)
	perHour := 0.0
	switch {
	case a.has(vocab.StartsPerHour):
		perHour = a.si(vocab.StartsPerHour) * units.Hours(1).Seconds()
	case a.duration(CycleTime) > 0:
		perHour = float64(units.Hours(1) / a.duration(CycleTime))
	case run > 0 && rest > 0:
		perHour = float64(units.Hours(1) / (run + rest))
		a.assume("starts an hour from run and rest")
	}
	semi := a.q.Facts[vocab.CompressorType] == "semi_hermetic"
	v, err := protect.ShortCycling(perHour, semi, run, rest)
	if a.fail(err) {
		return
	}
	kind, watch, bad := "hermetic or scroll", "starts_hermetic_watch_per_h", "starts_hermetic_bad_per_h"
	if semi {
		kind, watch, bad = "semi-hermetic", "starts_semi_watch_per_h", "starts_semi_bad_per_h"
	} else if a.q.Facts[vocab.CompressorType] == "" {
		a.assume("hermetic or scroll; a semi-hermetic stands fewer")
	}
	a.judge(v)
	if perHour > 0 {
		a.plain("starts_per_hour", perHour, units.CodePerHour)
		a.line("%.0f starts an hour: a %s is well under %.0f, too many over %.0f", perHour, kind, limits.Value(watch), limits.Value(bad))
	}
	least := units.Minutes(limits.Value("least_run_min"))
	if run > 0 && run < least || rest > 0 && rest < least {
		a.line("under %.0f min of run or rest: too short. A long riser wants %.0f min to carry the oil up", least.Minutes(), limits.Value("riser_run_min"))
	}
	if v != limits.OK {
		a.line("look at control differential, charge, a solenoid that lets by in pump-down, dirty condenser, oversized unit, start gear")
	}
}

func (a *asked) duration(k vocab.Key) units.Duration {
	if !a.has(k) {
		return 0
	}
	return units.Duration(a.si(k))
}

// cleanup lists the steps that the sample of oil asks for.
func (a *asked) cleanup() {
	f := a.q.Findings
	class, steps, err := service.Cleanup(service.OilSample{
		Acid:        f[vocab.OilAcid],
		StrongAcid:  a.q.Said[StrongAcid],
		Carbon:      f[vocab.CarbonOnValves],
		BurntWiring: f[vocab.WindingSpotBurn] || f[vocab.WindingEvenBurn] || f[vocab.WindingSinglePhaseBurn] || f[vocab.Grounded] || a.q.Told[vocab.OilBurntSmell] || a.q.Told[vocab.EarlierBurnout] || a.q.Said[Burnout],
	})
	if a.fail(err) {
		return
	}
	a.line("clean-up, %s", classWords[class])
	if class == cleanup.Mechanical && !f[vocab.OilClean] && len(f) == 0 {
		a.assume("nothing burnt and no acid: say what failed and test the oil; a burn or acid changes the list")
	}
	if class == cleanup.Mild && !f[vocab.OilAcid] {
		a.assume("no carbon at the suction stub and no strong acid: look there and test the oil; either makes it severe")
	}
	for i, s := range steps {
		a.line("%d. %s: %s%s", i+1, strings.ReplaceAll(s.Topic, "_", " "), s.Do, outBy(s.OutH))
	}
}

// outBy is when a temporary core comes out.
func outBy(hours float64) string {
	if hours == 0 {
		return ""
	}
	return fmt.Sprintf(" (out by day %.0f)", hours/24)
}

var classWords = map[cleanup.Class]string{
	cleanup.Mechanical: "mechanical failure, no acid",
	cleanup.Mild:       "mild burn-out: slight acid, no carbon in the suction line",
	cleanup.Severe:     "severe burn-out: strong acid, or carbon at the suction stub or drier",
}

// floodback counts the signs of liquid at the compressor, running and at rest.
func (a *asked) floodback() {
	a.needFluid()
	low := vocab.SuctionPressure
	if !a.has(low) && a.q.Standing && a.has(vocab.LiquidPressure) {
		low = vocab.LiquidPressure // equalized: one pressure everywhere
	}
	if !a.need(low) {
		return
	}
	if !a.has(vocab.SuctionLineTemp) && !a.has(vocab.SumpTemp) && a.r.Err == nil {
		a.r.Missing = append(a.r.Missing, Missing{Key: vocab.SuctionLineTemp, Why: "suction line temp at the compressor, or the temp of the bottom of the shell"})
		return
	}
	s := protect.FloodSigns{}
	p := a.pressure(low)
	if a.has(vocab.SuctionLineTemp) && !a.q.Standing {
		if d, err := cycle.Superheat(a.fluid, a.temp(vocab.SuctionLineTemp), p); !a.fail(err) {
			s.TotalSuperheat = &d
			a.putDelta("total_superheat", d)
			a.line("superheat at the compressor %s: under %s is liquid, under %s stop it", a.sayDelta(d), a.sayWhole(limitDelta("floodback_superheat_dF")), a.sayWhole(limitDelta("wet_suction_dF")))
		}
	}
	a.sumpSign(&s, p)
	a.dischargeSign(&s, p)
	if a.r.Err != nil {
		return
	}
	got := protect.Floodback(s)
	a.judge(limits.Worst(got.Running, got.Standing))
	a.line("%s", floodWords(got, a.q.Standing))
}

func limitDelta(name string) units.TempDelta { return units.DegreesF(limits.Value(name)) }

func (a *asked) sumpSign(s *protect.FloodSigns, p units.Pressure) {
	if !a.has(vocab.SumpTemp) {
		return
	}
	d, _, err := protect.SumpMargin(a.fluid, a.temp(vocab.SumpTemp), p)
	if a.fail(err) {
		return
	}
	a.putDelta("sump_superheat", d)
	s.SumpRunning = &d
	if a.q.Standing {
		s.SumpRunning, s.SumpStanding = nil, &d
	}
	a.line("sump %s over the dew point: %s or more is right", a.sayDelta(d), a.sayWhole(limitDelta("sump_watch_dF")))
}

func (a *asked) dischargeSign(s *protect.FloodSigns, p units.Pressure) {
	if !a.has(vocab.DischargePressure, vocab.DischargeLineTemp, vocab.SuctionLineTemp) {
		return
	}
	head := a.pressure(vocab.DischargePressure)
	d, err := cycle.Superheat(a.fluid, a.temp(vocab.DischargeLineTemp), head)
	if a.fail(err) {
		return
	}
	s.DischargeSuperheat = &d
	if band, err := cycle.DischargeBand(a.fluid, p, a.temp(vocab.SuctionLineTemp), head); err == nil {
		s.Compression = cycle.ReadDischarge(a.temp(vocab.DischargeLineTemp), band)
	}
	a.line("discharge %s over the dew point", a.sayDelta(d))
}

func floodWords(f protect.Flood, standing bool) string {
	switch {
	case f.Running == limits.Stop:
		return "wet suction: stop or throttle it now"
	case f.Running == limits.Bad:
		return "liquid comes back while it runs"
	case standing && f.Standing == limits.Bad:
		return "refrigerant is condensing into the oil: do not start it, warm it first"
	case standing && f.Standing == limits.Watch:
		return "little margin at rest: heater weak or off?"
	case f.Running == limits.Watch:
		return "one sign of liquid, not enough to call it"
	}
	return "no sign of liquid coming back in that"
}

// envelope lists in which way a working point leaves what compressors are made for.
func (a *asked) envelope() {
	low, high := a.has(vocab.SuctionPressure) || a.has(EvaporatingTemp), a.has(vocab.DischargePressure) || a.has(CondensingTemp)
	if !low && !high {
		a.line("compression ratio: fine to %.0f, too high over %.0f, stop over %.0f on one stage; the maker's envelope decides", limits.Value("watch_ratio"), limits.Value("high_ratio"), limits.Value("stop_ratio"))
		return
	}
	if !low {
		a.miss(vocab.SuctionPressure)
	}
	if !high {
		a.miss(vocab.DischargePressure)
	}
	if !a.has(vocab.SuctionPressure) || !a.has(vocab.DischargePressure) {
		a.needFluid()
	}
	if len(a.r.Missing) > 0 {
		return
	}
	s, okLow := a.lowSide()
	d, okHigh := a.highSide()
	if !okLow || !okHigh {
		return
	}
	ratio, err := cycle.CompressionRatio(d, s)
	if a.fail(err) {
		return
	}
	a.plain("compression_ratio", ratio, units.CodeRatio)
	a.judge(limits.Rising(ratio, limits.Value("watch_ratio"), limits.Value("high_ratio"), limits.Value("stop_ratio")))
	words := map[limits.Verdict]string{limits.OK: "", limits.Watch: ", on the high side", limits.Bad: ", too high", limits.Stop: ", beyond one stage: stop it"}[a.r.Verdict]
	a.line("ratio %.1f%s: fine to %.0f, too high over %.0f, stop over %.0f (one stage)", ratio, words, limits.Value("watch_ratio"), limits.Value("high_ratio"), limits.Value("stop_ratio"))
	for _, c := range protect.Envelope(a.workingPoint(ratio, s, d)) {
		a.judge(limits.Watch)
		a.line("%s", c)
	}
	a.assume("the maker's envelope decides")
}

// workingPoint is what protect.Envelope looks at; the discharge temperature is computed
// where none was measured.
func (a *asked) workingPoint(ratio float64, suction, discharge units.Pressure) protect.Working {
	w := protect.Working{Ratio: ratio}
	if a.has(vocab.DischargeLineTemp) {
		w.Discharge = a.temp(vocab.DischargeLineTemp)
	}
	if a.has(vocab.SuctionLineTemp) {
		w.ReturnGas = a.temp(vocab.SuctionLineTemp)
	}
	if a.fluid == nil {
		return w
	}
	if dew, err := a.fluid.DewTemp(discharge); err == nil {
		w.Condensing = dew
	}
	line := w.ReturnGas
	if line == 0 {
		dew, err := a.fluid.DewTemp(suction)
		if err != nil {
			return w
		}
		line = dew.Add(limitDelta("assume_return_superheat_dF"))
	}
	band, err := cycle.DischargeBand(a.fluid, suction, line, discharge)
	if err != nil {
		return w
	}
	if w.Discharge == 0 {
		w.Discharge = band.Typical
		a.assume("suction gas taken as " + a.sayTemp(line))
		a.putTemp("expected_discharge_temp", band.Typical)
		a.line("discharge line about %s, to %s from a poor machine", a.sayTemp(band.Typical), a.sayTemp(band.Poor))
	}
	return w
}

// dischargeTemp judges a discharge line, and tells what dry compression would give.
func (a *asked) dischargeTemp() {
	if a.has(vocab.DischargeLineTemp) {
		a.dischargeLimit()
		if a.fluid == nil || !a.has(vocab.SuctionPressure, vocab.SuctionLineTemp, vocab.DischargePressure) {
			a.line("with refrigerant, suction, return gas temp and head I tell what it should be")
			return
		}
	}
	a.needFluid()
	if !a.has(vocab.SuctionPressure) && !a.has(EvaporatingTemp) {
		a.miss(vocab.SuctionPressure)
	}
	if !a.has(vocab.DischargePressure) && !a.has(CondensingTemp) {
		a.miss(vocab.DischargePressure)
	}
	if !a.need(vocab.SuctionLineTemp) {
		return
	}
	low, okLow := a.lowSide()
	high, okHigh := a.highSide()
	if !okLow || !okHigh {
		return
	}
	b, err := cycle.DischargeBand(a.fluid, low, a.temp(vocab.SuctionLineTemp), high)
	if a.fail(err) {
		return
	}
	a.putTemp("expected_discharge_temp", b.Typical)
	a.putTemp("expected_discharge_low", b.Best)
	a.putTemp("expected_discharge_high", b.Poor)
	a.line("expect about %s, %s at the best, %s from a poor one; 6 in from the compressor, insulated", a.sayTemp(b.Typical), a.sayTemp(b.Best), a.sayTemp(b.Poor))
	if !a.has(vocab.DischargeLineTemp) {
		return
	}
	sign := cycle.ReadDischarge(a.temp(vocab.DischargeLineTemp), b)
	if sign != cycle.DryAndSound {
		a.judge(limits.Bad)
	}
	a.line("%s is %s", a.sayTemp(a.temp(vocab.DischargeLineTemp)), sign)
}

// dischargeLimit holds a discharge line against what oil stands; ammonia and CO2 are hot
// by nature.
func (a *asked) dischargeLimit() {
	t := a.temp(vocab.DischargeLineTemp)
	if a.fluid != nil && (a.fluid.Name() == "R717" || a.fluid.Name() == "R744") {
		a.line("%s runs hot by nature: the maker's limit decides", a.fluid.Name())
		return
	}
	watch, bad, stop := limits.Value("watch_discharge_F"), limits.Value("hot_discharge_F"), limits.Value("stop_discharge_F")
	v := limits.Rising(t.F(), watch, math.Nextafter(bad, 0), math.Nextafter(stop, 0))
	a.judge(v)
	words := map[limits.Verdict]string{limits.OK: "fine", limits.Watch: "on the hot side", limits.Bad: "too hot", limits.Stop: "far too hot, shut it down"}[v]
	at := func(f float64) string { return a.sayTemp(units.Fahrenheit(f)) }
	a.line("discharge line %s, %s: to %s is fine, from %s too hot, from %s stop; the valve is %s to %s hotter than the line", a.sayTemp(t), words, at(watch), at(bad), at(stop), a.sayWhole(limitDelta("valve_over_line_from_dF")), a.sayWhole(limitDelta("valve_over_line_to_dF")))
}
