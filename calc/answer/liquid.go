package answer

import (
	"coldcase/calc/cycle"
	"coldcase/calc/pipe"
	"coldcase/calc/protect"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// liquidStart is pressure and temperature where the liquid line begins.
func (a *asked) liquidStart() (p units.Pressure, t units.Temperature, ok bool) {
	a.needFluid()
	switch {
	case a.has(vocab.LiquidPressure):
		p = a.pressure(vocab.LiquidPressure)
	case a.has(vocab.DischargePressure):
		p = a.pressure(vocab.DischargePressure)
		a.assume("head pressure used: the condenser's own drop, about 3 psi, is not taken off")
	default:
		a.miss(vocab.LiquidPressure)
	}
	if !a.has(vocab.LiquidLineTemp) && !a.has(vocab.Subcooling) {
		a.miss(vocab.LiquidLineTemp)
	}
	if len(a.r.Missing) > 0 {
		return p, t, false
	}
	if a.has(vocab.LiquidLineTemp) {
		return p, a.temp(vocab.LiquidLineTemp), a.r.Err == nil
	}
	bubble, err := a.fluid.BubbleTemp(p)
	if a.fail(err) {
		return p, t, false
	}
	return p, bubble.Add(-units.TempDelta(a.si(vocab.Subcooling))), true
}

// liquidRun is the line but for its tube.
func (a *asked) liquidRun(t units.Temperature) (run pipe.LiquidRun, ok bool) {
	state, err := a.fluid.LiquidAtBubble(t)
	if a.fail(err) {
		return run, false
	}
	run.Viscosity = pipe.LiquidViscosity(a.fluid, state)
	if a.has(vocab.LiquidLift) {
		run.Lift = units.Length(a.si(vocab.LiquidLift))
	}
	run.Before = units.PSI(limits.Value("drier_default_psi"))
	if a.has(vocab.LiquidDrierDrop) {
		run.Before = units.PressureDelta(a.si(vocab.LiquidDrierDrop))
	} else {
		a.assume("drier " + a.sayDrop(run.Before))
	}
	run.After = units.PSI(limits.Value("solenoid_default_psi"))
	if a.has(SolenoidDrop) {
		run.After = units.PressureDelta(a.si(SolenoidDrop))
	} else {
		a.assume("solenoid " + a.sayDrop(run.After))
	}
	a.liquidFlow(&run, t)
	return run, a.r.Err == nil
}

// liquidFlow sets flow and length; without a load friction is left out and said.
func (a *asked) liquidFlow(run *pipe.LiquidRun, liquid units.Temperature) {
	if !a.has(vocab.Capacity) {
		a.assume("friction not counted: send the load in Btu/h")
		return
	}
	var ok bool
	if run.Equivalent, ok = a.equivalent(vocab.LiquidRun, vocab.LiquidLift); !ok {
		return
	}
	evap := units.Fahrenheit(limits.Value("assume_evaporating_F"))
	if a.has(EvaporatingTemp) {
		evap = a.temp(EvaporatingTemp)
	} else if !a.has(vocab.SuctionPressure) {
		a.assume("evaporating taken as " + a.sayTemp(evap))
	}
	p, err := a.fluid.DewPressure(evap)
	if a.has(vocab.SuctionPressure) && !a.has(EvaporatingTemp) {
		p, err = a.pressure(vocab.SuctionPressure), nil
	}
	if a.fail(err) {
		return
	}
	out, err := a.fluid.VaporAtDew(p)
	if a.fail(err) {
		return
	}
	h, err := cycle.LiquidEnthalpy(a.fluid, liquid)
	if a.fail(err) {
		return
	}
	run.Flow, err = cycle.MassFlow(units.Power(a.si(vocab.Capacity)), out.H, h)
	a.fail(err)
}

func (a *asked) flashCheck() {
	p, t, ok := a.liquidStart()
	if !ok || !a.need(vocab.LiquidLineSize) {
		return
	}
	tube, ok := a.tube(vocab.LiquidLineSize)
	if !ok {
		return
	}
	run, ok := a.liquidRun(t)
	if !ok || len(a.r.Missing) > 0 {
		return
	}
	run.Tube = tube
	got, err := pipe.LiquidLine(a.fluid, p, t, run)
	if a.fail(err) {
		return
	}
	a.losses(got)
	if got.Margin >= 0 {
		a.line("stays liquid: %s subcooling, the line needs %s, %s left", a.sayDelta(got.Subcooling), a.sayDelta(got.Need), a.sayDelta(got.Margin))
	} else {
		a.line("flashes %s: %s subcooling, the line needs %s", got.Flash, a.sayDelta(got.Subcooling), a.sayDelta(got.Need))
	}
	a.line("loses %s: height %s, friction %s, drier and solenoid %s", a.sayDrop(got.Total), a.sayDrop(got.Static), a.sayDrop(got.Friction), a.sayDrop(got.Components))
	if got.Verdict != limits.OK {
		a.line("%s subcooling would keep it liquid with reserve", a.sayDelta(got.Solid))
	}
}

// losses puts the figures of a liquid line.
func (a *asked) losses(l pipe.LiquidLosses) {
	a.putDrop("liquid_static_loss", l.Static)
	a.putDrop("friction", l.Friction)
	a.putDrop("components", l.Components)
	a.putDrop("total", l.Total)
	a.putDelta("subcooling", l.Subcooling)
	a.putDelta("subcooling_needed", l.Need)
	a.putDelta("flash_margin", l.Margin)
	a.putDelta("subcooling_solid", l.Solid)
	if l.Velocity > 0 {
		a.putVelocity("velocity_full", l.Velocity)
	}
	a.judge(l.Verdict)
}

// plannedLiquid takes the usual condensing and subcooling for a line that is not there
// yet.
func (a *asked) plannedLiquid() {
	if !a.has(vocab.LiquidPressure) && !a.has(vocab.DischargePressure) && a.fluid != nil {
		condensing := units.Temperature(0)
		if a.has(CondensingTemp) {
			condensing = a.temp(CondensingTemp)
		} else {
			condensing = a.assumedTemp("condensing", "assume_condensing_F")
		}
		p, err := a.fluid.DewPressure(condensing)
		if a.fail(err) {
			return
		}
		a.q.Values[vocab.LiquidPressure] = vocab.Reading{Key: vocab.LiquidPressure, Value: p.Gauge(a.air).PSIG(), Unit: units.CodePSIG}
	}
	if !a.has(vocab.LiquidLineTemp) && !a.has(vocab.Subcooling) {
		d := limitDelta("assume_subcooling_dF")
		a.assume("subcooling taken as " + a.sayWhole(d))
		a.q.Values[vocab.Subcooling] = vocab.Reading{Key: vocab.Subcooling, Value: d.DegreesF(), Unit: units.CodeDegreesF}
	}
}

func (a *asked) sizeLiquid() {
	a.plannedLiquid()
	p, t, ok := a.liquidStart()
	if !ok || !a.need(vocab.Capacity) {
		return
	}
	run, ok := a.liquidRun(t)
	if !ok || len(a.r.Missing) > 0 {
		return
	}
	pick, err := pipe.SizeLiquid(a.fluid, p, t, run)
	if a.fail(err) {
		return
	}
	a.putFlow("mass_flow", run.Flow)
	if pick.Tube.OD > 0 {
		a.put("size", pick.Tube.OD.Inches(), units.CodeInch, pick.Tube.OD.Meters()*1e3, units.CodeMillimeter)
		a.losses(pick.Losses)
	}
	if !pick.OK {
		a.judge(limits.Bad)
		a.line("%s", pick.Why)
		return
	}
	a.line("%s liquid line: %s, loses %s, %s subcooling left at the valve", pick.Tube.Nominal, a.sayVelocity(pick.Losses.Velocity), a.sayDrop(pick.Losses.Total), a.sayDelta(pick.Losses.Margin))
}

// share of the charge that an accumulator must hold.
func (a *asked) share() units.Fraction {
	m := a.q.Facts[vocab.Metering]
	switch {
	case m == "cap_tube" || m == "orifice":
		a.assume("70 % of the charge may come: fixed restrictor")
		return units.Fraction(limits.Value("accumulator_share_hot_gas"))
	case a.q.Told[vocab.HotGasDefrost] || a.q.Said[HotGasMelts]:
		a.assume("70 % of the charge may come: hot-gas defrost")
		return units.Fraction(limits.Value("accumulator_share_hot_gas"))
	}
	a.assume("half of the charge may come: receiver and TXV; with a cap tube or hot-gas defrost take 70 %")
	return units.Fraction(limits.Value("accumulator_share"))
}

func (a *asked) accumulator() {
	if !a.need(vocab.SystemCharge) {
		return
	}
	share, charge := a.share(), units.Mass(a.si(vocab.SystemCharge))
	if a.fluid == nil {
		a.accumulatorBracket(charge, share)
		return
	}
	cold := a.assumedTemp("liquid", "accumulator_liquid_F")
	need, err := protect.AccumulatorVolume(a.fluid, charge, share, cold)
	if a.fail(err) {
		return
	}
	a.putVolume("accumulator_needed", need)
	a.line("accumulator of %s or more for %s of %s", a.sayVolume(need), a.sayMass(charge), a.fluid.Name())
	a.judgeShell(need)
	a.oilThroughShell()
}

// oilThroughShell is the other half of an accumulator: its pick-up must see the flow
// that the maker wants at the least load.
func (a *asked) oilThroughShell() {
	const cure = "it cures no floodback"
	if !a.has(vocab.Capacity) || !a.has(EvaporatingTemp) && !a.has(vocab.SuctionPressure) {
		a.line("check the maker's least flow so the oil comes out of it; %s", cure)
		return
	}
	d, _, ok := a.suctionDuty()
	if !ok {
		return
	}
	least := units.MassFlow(float64(d.Flow) * float64(d.Least))
	a.putFlow("accumulator_least_flow", least)
	a.line("at the least load %s goes through it: the maker's least flow must lie under that, or the oil stays in; %s", a.sayFlow(least), cure)
}

func (a *asked) judgeShell(need units.Volume) {
	if !a.has(vocab.AccumulatorVolume) {
		return
	}
	ratio, v, err := protect.AccumulatorVerdict(units.Volume(a.si(vocab.AccumulatorVolume)), need)
	if a.fail(err) {
		return
	}
	a.plain("accumulator_ratio", ratio, units.CodeRatio)
	a.judge(v)
	a.line("the one there is %.2f of that", ratio)
}

// accumulatorBracket answers without a refrigerant: between the lightest and the
// densest liquid of the common ones.
func (a *asked) accumulatorBracket(charge units.Mass, share units.Fraction) {
	small, err1 := protect.ShellFor(charge, share, units.PoundsPerCubicFoot(limits.Value("assume_liquid_dense_lb_ft3")))
	large, err2 := protect.ShellFor(charge, share, units.PoundsPerCubicFoot(limits.Value("assume_liquid_light_lb_ft3")))
	if a.fail(err1) || a.fail(err2) {
		return
	}
	a.needFluid()
	a.assume("R22, R134a or an HFC blend; hydrocarbons, ammonia and CO2 need far more")
	a.putVolume("accumulator_needed_low", small)
	a.putVolume("accumulator_needed", large)
	a.line("accumulator of %s to %s, by refrigerant", a.sayVolume(small), a.sayVolume(large))
}
