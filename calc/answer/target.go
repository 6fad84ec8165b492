package answer

import (
	"coldcase/calc/pipe"
	"coldcase/calc/service"
	"coldcase/refdata/limits"
	"coldcase/refdata/refrigerant"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// superheatTarget names the superheats of an application.
func (a *asked) superheatTarget() {
	targets := map[string]string{
		"low": "freezer", "medium": "cooler", "high": "high temperature",
	}
	m := a.q.Facts[vocab.Metering]
	if m == "cap_tube" || m == "orifice" {
		a.line("a fixed restrictor has no fixed superheat: the maker's chart; 5 to 20 F at design is common")
		return
	}
	valve := "txv"
	if m == "eev" {
		valve = "eev"
	}
	for _, app := range []string{"low", "medium", "high"} {
		if said := a.application(); said != "" && said != app {
			continue
		}
		name := "superheat_" + valve + "_" + app
		a.line("%s: %s to %s at the coil outlet, box near set point and steady", targets[app], a.sayWhole(limitDelta(name+"_from_dF")), a.sayWhole(limitDelta(name+"_to_dF")))
	}
	a.line("at the compressor %s or more, under %s is liquid; the maker's figure wins", a.sayWhole(limitDelta("watch_superheat_dF")), a.sayWhole(limitDelta("floodback_superheat_dF")))
}

// application by the words of the question, else by what is known of the case.
func (a *asked) application() string {
	switch {
	case a.q.Said[Freezer]:
		return "low"
	case a.q.Said[Cooler]:
		return "medium"
	}
	return a.q.Facts[vocab.Application]
}

// mixing is never right.
// Source: trade-basis 7.3 (40 CFR 82: reclaimers take no mixtures; the rest common practice).
func (a *asked) mixing() {
	a.judge(limits.Bad)
	a.line("no: topping one gas up with another is mixing. Its pressures tell nothing any more, and nobody takes the mix back")
	a.line("recover it and charge one gas by weight; going over to another is a job by itself: oil, valve, drier, label")
}

// retrofit is going over to another gas.
// Source: trade-basis 7.3, 8 (common practice; class map ASHRAE 34, from memory)
func (a *asked) retrofit() {
	a.judge(limits.Bad)
	a.line("never a flammable gas (A2L, A3) in equipment that is not listed for it")
	a.line("not as a top-up or a drop-in: one gas on top of another is mixing")
	a.line("going over is a job by itself: the maker of compressor and parts must allow it; recover it all, then oil, drier, seals, valve, controls and charge for the new gas, check riser and capacity, relabel")
	a.line("a blend with glide needs dew for superheat and bubble for subcooling")
}

// subcoolingTarget names the subcoolings of a system with and without a receiver.
func (a *asked) subcoolingTarget() {
	high := a.sayWhole(limitDelta("subcooling_to_dF"))
	a.line("without a receiver %s to %s; with one about 0 to %s at its outlet is normal: hold it against what the line needs", a.sayWhole(limitDelta("subcooling_from_dF")), high, high)
	a.line("behind a mechanical subcooler %s to %s", a.sayWhole(limitDelta("subcooler_from_dF")), a.sayWhole(limitDelta("subcooler_to_dF")))
}

// liquidDrier judges the drop across a liquid-line drier.
func (a *asked) liquidDrier() {
	watch, bad := limits.Value("drier_watch_psi"), limits.Value("drier_bad_psi")
	a.line("liquid drier: mention it over %s, change it over %s or %s colder out than in", a.sayDrop(units.PSI(watch)), a.sayDrop(units.PSI(bad)), a.sayDelta(limitDelta("drier_temp_dF")))
	if !a.has(vocab.LiquidDrierDrop) {
		return
	}
	drop := units.PressureDelta(a.si(vocab.LiquidDrierDrop))
	a.putDrop("liquid_drier_drop", drop)
	v := limits.Rising(drop.PSI(), watch, bad, 1e3)
	a.judge(v)
	a.line("%s: %s", a.sayDrop(drop), map[limits.Verdict]string{limits.OK: "fine", limits.Watch: "loading up, keep an eye on it", limits.Bad: "change it"}[v])
}

// receiver tells whether it takes the whole charge pumped down.
func (a *asked) receiver() {
	a.needFluid()
	if !a.need(vocab.SystemCharge) {
		return
	}
	if !a.has(ReceiverVolume) {
		a.r.Missing = append(a.r.Missing, Missing{Key: ReceiverVolume, Why: "volume of the receiver"})
		return
	}
	charge := units.Mass(a.si(vocab.SystemCharge))
	most, fits, err := service.ReceiverHolds(a.fluid, charge, units.Volume(a.si(ReceiverVolume)))
	if a.fail(err) {
		return
	}
	a.putMass("receiver_holds", most)
	if fits {
		a.judge(limits.OK)
		a.line("it holds %s at 80 %% full and 90 F: %s fits", a.sayMass(most), a.sayMass(charge))
		return
	}
	a.judge(limits.Bad)
	a.line("it holds %s at 80 %% full and 90 F: %s does not fit, do not pump it all down", a.sayMass(most), a.sayMass(charge))
}

// liftSubcooling is what a rise and the parts in the line ask for, friction apart.
func (a *asked) liftSubcooling() {
	a.needFluid()
	if !a.has(vocab.LiquidLift) && a.has(vocab.RiserHeight) {
		a.q.Values[vocab.LiquidLift] = a.q.Values[vocab.RiserHeight]
	}
	if !a.need(vocab.LiquidLift) {
		return
	}
	t := a.liquidTemp()
	state, err := a.fluid.LiquidAtBubble(t)
	if a.fail(err) {
		return
	}
	static := pipe.StaticHead(state.Rho, units.Length(a.si(vocab.LiquidLift)))
	parts := units.PSI(limits.Value("drier_default_psi") + limits.Value("solenoid_default_psi"))
	p, err := a.fluid.BubblePressure(t)
	if a.fail(err) {
		return
	}
	need, err := pipe.LiquidPenalty(a.fluid, p, static+parts)
	if a.fail(err) {
		return
	}
	reserve := limitDelta("flash_reserve_dF")
	a.putDrop("liquid_static_loss", static)
	a.putDelta("subcooling_needed", need)
	a.putDelta("subcooling_solid", need+reserve)
	a.assume("drier and solenoid " + a.sayDrop(parts) + "; friction not counted: send size, run and load for a flash check")
	a.line("the height takes %s: %s subcooling just holds it liquid, %s with reserve", a.sayDrop(static), a.sayDelta(need), a.sayDelta(need+reserve))
}

// saturation is bubble and dew of what pressure or temperature was asked about.
func (a *asked) saturation() {
	a.needFluid()
	if a.has(EvaporatingTemp) && a.fluid != nil {
		a.saturationAt(a.temp(EvaporatingTemp))
		return
	}
	k := vocab.SuctionPressure
	if !a.has(k) {
		k = vocab.DischargePressure
	}
	if !a.has(k) && a.fluid != nil {
		a.boiling()
		return
	}
	if !a.has(k) {
		a.miss(vocab.SuctionPressure)
	}
	if len(a.r.Missing) > 0 {
		return
	}
	p := a.pressure(k)
	dew, err := a.fluid.DewTemp(p)
	if a.fail(err) {
		return
	}
	bubble, err := a.fluid.BubbleTemp(p)
	if a.fail(err) {
		return
	}
	a.putTemp("dew", dew)
	a.putTemp("bubble", bubble)
	if dew.Sub(bubble) < units.DegreesF(0.2) {
		a.line("%s at %s: saturation %s", a.fluid.Name(), a.sayGauge(p.Gauge(a.air)), a.sayTemp(dew))
		return
	}
	a.line("%s at %s: dew %s (superheat), bubble %s (subcooling)", a.fluid.Name(), a.sayGauge(p.Gauge(a.air)), a.sayTemp(dew), a.sayTemp(bubble))
}

func (a *asked) saturationAt(t units.Temperature) {
	dew, err := a.fluid.DewPressure(t)
	if a.fail(err) {
		return
	}
	bubble, err := a.fluid.BubblePressure(t)
	if a.fail(err) {
		return
	}
	a.putGauge("dew", dew.Gauge(a.air))
	a.putGauge("bubble", bubble.Gauge(a.air))
	if float64(bubble) < 1.003*float64(dew) {
		a.line("%s at %s: %s", a.fluid.Name(), a.sayTemp(t), a.sayGauge(dew.Gauge(a.air)))
		return
	}
	a.line("%s at %s: dew %s (superheat), bubble %s (subcooling)", a.fluid.Name(), a.sayTemp(t), a.sayGauge(dew.Gauge(a.air)), a.sayGauge(bubble.Gauge(a.air)))
}

// boiling is where a refrigerant boils with no pressure on it, and its glide there.
func (a *asked) boiling() {
	facts, err := refrigerant.Info(a.fluid.Name())
	if a.fail(err) {
		return
	}
	a.putTemp("boiling", facts.Boiling)
	a.putDelta("glide", facts.Glide)
	a.line("%s boils at %s at sea level, glide %s there; critical at %s", a.fluid.Name(), a.sayTemp(facts.Boiling), a.sayDelta(facts.Glide), a.sayTemp(facts.CriticalTemp))
}
