package answer

import (
	"coldcase/calc/pipe"
	"coldcase/refdata/limits"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// massFlow is what a load moves through the circuit.
func (a *asked) massFlow() {
	d, effect, ok := a.loadDuty()
	if !ok {
		return
	}
	a.putFlow("mass_flow", d.Flow)
	a.line("%s for %s: each %s takes up %s", a.sayFlow(d.Flow), a.sayLoad(units.Power(a.si(vocab.Capacity))), a.sayUnitMass(), a.sayEnthalpy(effect))
}

// loadDuty is suctionDuty where unloading does not matter.
func (a *asked) loadDuty() (pipe.Duty, units.Enthalpy, bool) {
	if !a.has(vocab.MinCapacity) {
		a.q.Values[vocab.MinCapacity] = vocab.Reading{Key: vocab.MinCapacity, Value: 100, Unit: units.CodePercent}
	}
	return a.suctionDuty()
}

// lineLoss is what a line that is there loses, in pressure and as temperature.
func (a *asked) lineLoss() {
	switch {
	case a.has(vocab.LiquidLineSize) || a.q.Said[LiquidSide] && !a.has(vocab.SuctionLineSize):
		a.liquidLoss()
	case a.has(vocab.DischargeLineSize) || a.q.Said[HotGas]:
		a.gasLoss(vocab.DischargeLineSize, limitDelta("discharge_penalty_dF"), "discharge line")
	default:
		a.gasLoss(vocab.SuctionLineSize, limitDelta("suction_penalty_dF"), "suction line")
	}
}

// gasLoss judges a suction or discharge line: to 1.5 times the target a mention, over
// twice of it bad (trade-basis 2.6).
func (a *asked) gasLoss(size vocab.Key, target units.TempDelta, what string) {
	t, sized := a.lineTube(size, vocab.RiserSize, vocab.SuctionLineSize)
	length, okLength := a.equivalent(vocab.SuctionRun, vocab.RiserHeight, vocab.LiquidRun)
	hot := size == vocab.DischargeLineSize
	if hot {
		a.evaporatingForGas()
	}
	d, _, ok := a.loadDuty()
	if !ok || !okLength || !sized {
		return
	}
	try := pipe.Try
	if hot {
		gas, ok := a.hotGas()
		if !ok {
			return
		}
		d.State, d.Viscosity, try = gas, pipe.GasViscosity(a.fluid, gas), pipe.TryDischarge
	}
	fit, err := try(d, t, length)
	if a.fail(err) {
		return
	}
	a.putFlow("mass_flow", d.Flow)
	a.putVelocity("velocity_full", fit.Velocity)
	a.putDrop("pressure_drop", fit.Drop)
	a.putDelta("penalty", fit.Penalty)
	v := limits.Rising(float64(fit.Penalty/target), 1, 2, 1e9)
	a.judge(v)
	words := map[limits.Verdict]string{limits.OK: "within", limits.Watch: "over", limits.Bad: "far over"}[v]
	a.line("%s %s at %s loses %s, %s as temperature: %s the %s that is usual", t.Nominal, what, a.sayVelocity(fit.Velocity), a.sayDrop(fit.Drop), a.sayDelta(fit.Penalty), words, a.sayDelta(target))
}

// lineTube is the tube of the first of these sizes that is given.
func (a *asked) lineTube(sizes ...vocab.Key) (tube.Tube, bool) {
	for _, k := range sizes {
		if a.has(k) {
			return a.tube(k)
		}
	}
	a.miss(sizes[0])
	return tube.Tube{}, false
}

func (a *asked) liquidLoss() {
	t, sized := a.lineTube(vocab.LiquidLineSize)
	a.plannedLiquid()
	p, liquid, ok := a.liquidStart()
	if !ok || !sized || !a.need(vocab.Capacity) {
		return
	}
	run, ok := a.liquidRun(liquid)
	if !ok || len(a.r.Missing) > 0 {
		return
	}
	run.Tube = t
	got, err := pipe.LiquidLine(a.fluid, p, liquid, run)
	if a.fail(err) {
		return
	}
	a.putFlow("mass_flow", run.Flow)
	a.losses(got)
	a.line("%s liquid line at %s loses %s: height %s, friction %s, drier and solenoid %s", t.Nominal, a.sayVelocity(got.Velocity), a.sayDrop(got.Total), a.sayDrop(got.Static), a.sayDrop(got.Friction), a.sayDrop(got.Components))
	a.line("that uses up %s subcooling", a.sayDelta(got.Need))
}

// hotGasRiser sizes one, or judges the one there is.
func (a *asked) hotGasRiser() {
	if !a.has(vocab.RiserSize) && !a.has(vocab.DischargeLineSize) {
		a.sizeHotGasRiser()
		return
	}
	t, _ := a.lineTube(vocab.DischargeLineSize, vocab.RiserSize)
	a.evaporatingForGas()
	d, effect, ok := a.suctionDuty()
	if !ok {
		return
	}
	gas, ok := a.hotGas()
	if !ok {
		return
	}
	d.State, d.Viscosity = gas, pipe.GasViscosity(a.fluid, gas)
	fit, err := pipe.TryDischarge(d, t, a.height())
	if a.fail(err) {
		return
	}
	a.liftsOil(fit, d, effect, "hot-gas riser")
	a.line("a loop at its foot and a check valve above keep oil and liquid out of the head at a stop")
}

func (a *asked) sizeHotGasRiser() {
	if !a.has(vocab.RiserHeight) && a.has(vocab.SuctionRun) {
		a.q.Values[vocab.RiserHeight] = a.q.Values[vocab.SuctionRun]
	}
	if !a.need(vocab.RiserHeight) {
		a.needFluid()
		return
	}
	a.sizeDischarge()
}

// height of the riser, 0 when not said: it moves the loss only, not the lifting.
func (a *asked) height() units.Length {
	if !a.has(vocab.RiserHeight) {
		return 0
	}
	return units.Length(a.si(vocab.RiserHeight))
}
