package answer

import (
	"errors"
	"slices"

	"coldcase/calc/cycle"
	"coldcase/calc/elec"
	"coldcase/calc/protect"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

func (a *asked) insulation() {
	if !a.has(vocab.InsulationMegohms) {
		a.insulationTarget()
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
	a.line("%.1f Mohm at 40 C: %s", r.Megohms(), a.insulationWords(v, r))
}

// insulationTarget is what a megger should read, and how it is used.
func (a *asked) insulationTarget() {
	a.line("never megger in a vacuum; all leads and electronics off, 500 V DC for 1 min, then discharge it")
	a.line("corrected to 40 C: %.0f Mohm or more is sound, under %.0f dry it and test again, under %.0f no start until explained, under %.0f failed", limits.Value("insulation_ok_Mohm"), limits.Value("insulation_low_Mohm"), limits.Value("insulation_bad_Mohm"), limits.Value("insulation_stop_Mohm"))
	a.line("it halves for every 10 C warmer: send the reading and the winding's temperature")
}

func (a *asked) insulationWords(v limits.Verdict, at40 units.Resistance) string {
	switch {
	case v == limits.OK:
		return "sound"
	case v == limits.Watch:
		return "moisture or liquid in the shell. Warm or run it, change the drier, test again"
	case v == limits.Stop:
		return "failed, do not start it"
	case at40.Megohms() < limits.Value("insulation_bad_Mohm"):
		return "do not start it until that is explained; some makers take 0.5 to 2 with liquid in the shell"
	}
	return "low. Dry it, change the drier, test again; the trend matters more than the number"
}

func (a *asked) windings() {
	if !a.need(vocab.OhmsAb, vocab.OhmsBc, vocab.OhmsCa) {
		return
	}
	if a.q.Told[vocab.SinglePhaseSupply] || a.q.Said[SinglePhase] {
		a.singlePhase()
		return
	}
	u, err := elec.Unbalance(a.si(vocab.OhmsAb), a.si(vocab.OhmsBc), a.si(vocab.OhmsCa))
	if a.fail(err) {
		return
	}
	a.plain("resistance_unbalance", u.Percent(), units.CodePercent)
	bad := limits.Value("winding_unbalance_pct")
	a.judge(limits.Rising(u.Percent(), limits.Value("winding_watch_pct"), bad, 100))
	words := "alike"
	if u.Percent() > bad {
		words = "not alike: a shorted turn or a poor contact. Under 1 ohm use a 4-wire meter"
	} else if u.Percent() > limits.Value("winding_watch_pct") {
		words = "a little uneven: zero the leads and measure again"
	}
	a.line("windings off by %.1f %%: %s", u.Percent(), words)
}

// singlePhase holds C-R, C-S and S-R against each other, whatever their order: the
// highest is the two windings in series.
func (a *asked) singlePhase() {
	all := []float64{a.si(vocab.OhmsAb), a.si(vocab.OhmsBc), a.si(vocab.OhmsCa)}
	slices.Sort(all)
	off, sound, err := elec.SinglePhaseWindings(units.Resistance(all[0]), units.Resistance(all[1]), units.Resistance(all[2]))
	if a.fail(err) {
		return
	}
	a.plain("winding_sum_off", off.Percent(), units.CodePercent)
	a.line("single phase: run %.2f and start %.2f ohm against %.2f across both, off by %.1f %%", all[0], all[1], all[2], off.Percent())
	if !sound {
		a.judge(limits.Bad)
		a.line("they do not add up: a shorted or open winding, or the meter. Let the internal overload cool up to 2 h before calling it open")
		return
	}
	a.judge(limits.OK)
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
	a.againstPlate()
	a.judge(limits.Rising(u.Percent(), limits.Value("unbalance_watch_pct"), limits.Value("unbalance_bad_pct"), limits.Value("unbalance_stop_pct")))
	load, err := elec.Derating(u)
	var out *cycle.RangeError
	if errors.As(err, &out) {
		a.line("voltage unbalance %.1f %%, over the %.0f %% that any motor stands: do not run it", u.Percent(), limits.Value("unbalance_stop_pct"))
		return
	}
	heat, err := elec.ExtraHeat(u)
	if a.fail(err) {
		return
	}
	a.plain("extra_heat", heat.Percent(), units.CodePercent)
	a.plain("derating", load.Percent(), units.CodePercent)
	if u.Percent() <= limits.Value("unbalance_watch_pct") {
		a.line("voltage unbalance %.1f %%: fine", u.Percent())
		return
	}
	a.line("voltage unbalance %.1f %%: winding heats %.0f %% more, good for %.0f %% load", u.Percent(), heat.Percent(), load.Percent())
}

// againstPlate holds the mean volts against the plate.
func (a *asked) againstPlate() {
	if !a.has(vocab.RatedVolts) {
		return
	}
	plate := units.Voltage(a.si(vocab.RatedVolts))
	mean := units.Voltage((a.si(vocab.VoltsAb) + a.si(vocab.VoltsBc) + a.si(vocab.VoltsCa)) / 3)
	v, err := elec.SupplyVerdict(mean, plate, plate)
	if a.fail(err) {
		return
	}
	a.plain("mean_volts", float64(mean), units.CodeVolt)
	a.judge(v)
	words := "within 10 %"
	if v != limits.OK {
		words = "more than 10 % off: right tap and plate, sagging supply?"
	}
	a.line("mean %.0f V on a %.0f V plate: %s", float64(mean), float64(plate), words)
}

// heater holds the amps of a crankcase heater against its watts.
func (a *asked) heater() {
	switch {
	case a.has(HeaterWatts, HeaterVolts):
	case a.has(HeaterVolts, HeaterAmps):
		draws := a.si(HeaterVolts) * a.si(HeaterAmps)
		a.plain("heater_watts", draws, units.CodeWatt)
		a.line("it draws %.0f W: hold that against the watts stamped on it. Under a tenth of them it is open", draws)
		a.r.Missing = append(a.r.Missing, Missing{Key: HeaterWatts, Why: "watts stamped on the heater"})
		return
	default:
		a.r.Missing = append(a.r.Missing, Missing{Key: HeaterWatts, Why: "watts stamped on the crankcase heater, volts at it, and its amps"})
		return
	}
	expected, err := protect.HeaterCurrent(units.Power(a.si(HeaterWatts)), units.Voltage(a.si(HeaterVolts)))
	if a.fail(err) {
		return
	}
	a.plain("heater_amps", float64(expected), units.CodeAmpere)
	if !a.has(HeaterAmps) {
		a.line("%.0f W on %.0f V draws %.2f A", a.si(HeaterWatts), a.si(HeaterVolts), float64(expected))
		return
	}
	v, err := protect.HeaterVerdict(units.Current(a.si(HeaterAmps)), expected)
	if a.fail(err) {
		return
	}
	a.judge(v)
	more := a.si(HeaterAmps) > float64(expected)
	if more && v != limits.OK {
		a.line("should draw %.2f A, draws %.2f: too much for it. Wrong watts or volts, a short, or not its own wire in the clamp", float64(expected), a.si(HeaterAmps))
		return
	}
	words := map[limits.Verdict]string{limits.OK: "it works", limits.Watch: "off: wrong heater, wrong volts or a part of it open", limits.Bad: "it is dead: no start before the oil is warm"}[v]
	a.line("should draw %.2f A, draws %.2f: %s", float64(expected), a.si(HeaterAmps), words)
	a.line("the shell must feel warm; 8 to 12 h on before the first start, 24 h after a long stop")
}

// unbalance answers for every three legs that are there.
func (a *asked) unbalance() {
	legs := []struct {
		keys []vocab.Key
		work func(*asked)
	}{
		{[]vocab.Key{vocab.VoltsAb, vocab.VoltsBc, vocab.VoltsCa}, (*asked).voltage},
		{[]vocab.Key{vocab.AmpsA, vocab.AmpsB, vocab.AmpsC}, (*asked).current},
		{[]vocab.Key{vocab.OhmsAb, vocab.OhmsBc, vocab.OhmsCa}, (*asked).windings},
	}
	some := false
	for _, l := range legs {
		if a.has(l.keys...) {
			l.work(a)
			some = true
		}
	}
	for _, l := range legs {
		if !some && slices.ContainsFunc(l.keys, func(k vocab.Key) bool { return a.has(k) }) {
			a.need(l.keys...)
			return
		}
	}
	if !some {
		a.r.Missing = append(a.r.Missing, Missing{Key: vocab.VoltsAb, Why: "the three volts, or the three amps"})
	}
}
