package answer

import (
	"coldcase/calc/cycle"
	"coldcase/calc/pipe"
	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

func (a *asked) sizeSuction() {
	length, okLength := a.equivalent(vocab.SuctionRun, vocab.RiserHeight)
	d, _, ok := a.suctionDuty()
	if !ok || !okLength {
		return
	}
	pick, err := pipe.SizeHorizontal(d, length)
	a.gasLine(pick, err, d, "suction line, falling to the compressor; a riser in it is sized by itself")
}

func (a *asked) sizeDischarge() {
	if !a.has(EvaporatingTemp) && !a.has(vocab.SuctionPressure) {
		evap := a.assumedTemp("evaporating", "assume_evaporating_F")
		a.q.Values[EvaporatingTemp] = vocab.Reading{Key: EvaporatingTemp, Value: evap.F(), Unit: units.CodeF}
	}
	length, okLength := a.equivalent(vocab.SuctionRun, vocab.RiserHeight, vocab.LiquidRun)
	d, _, ok := a.suctionDuty()
	if !ok || !okLength {
		return
	}
	gas, ok := a.hotGas()
	if !ok {
		return
	}
	d.State, d.Viscosity = gas, pipe.GasViscosity(a.fluid, gas)
	if a.has(vocab.RiserHeight) {
		pick, err := pipe.SizeDischargeRiser(d, length)
		a.gasLine(pick, err, d, "hot-gas riser, loop below it and check valve above")
		return
	}
	pick, err := pipe.SizeDischarge(d, length)
	a.gasLine(pick, err, d, "discharge line")
}

func (a *asked) hotGas() (props.State, bool) {
	var p units.Pressure
	switch {
	case a.has(vocab.DischargePressure):
		p = a.pressure(vocab.DischargePressure)
	default:
		var condensing units.Temperature
		if a.has(CondensingTemp) {
			condensing = a.temp(CondensingTemp)
		} else {
			condensing = a.assumedTemp("condensing", "assume_condensing_F")
		}
		var err error
		if p, err = a.fluid.DewPressure(condensing); a.fail(err) {
			return props.State{}, false
		}
	}
	dew, err := a.fluid.DewTemp(p)
	if a.fail(err) {
		return props.State{}, false
	}
	t := dew.Add(units.DegreesF(limits.Value("assume_discharge_superheat_dF")))
	if a.has(vocab.DischargeLineTemp) {
		t = a.temp(vocab.DischargeLineTemp)
	} else {
		a.assume("hot gas taken as " + a.sayTemp(t))
	}
	gas, err := a.fluid.AtTP(t, p)
	return gas, !a.fail(err)
}

func (a *asked) gasLine(pick pipe.Pick, err error, d pipe.Duty, what string) {
	if a.fail(err) {
		return
	}
	a.putFlow("mass_flow", d.Flow)
	if !pick.OK {
		a.judge(limits.Bad)
		a.line("%s", pick.Why)
		return
	}
	a.fit(pick.Fit, d)
	a.judge(limits.OK)
	a.line("%s %s: %s, loses %s", pick.Tube.Nominal, what, a.sayVelocity(pick.Velocity), a.sayDelta(pick.Penalty))
	if pick.Marginal {
		a.judge(limits.Watch)
		a.line("%s", pick.Why)
	}
}

// oilReturn judges the suction riser that is there; without a load it tells the least
// load that lifts oil.
func (a *asked) oilReturn() {
	if !a.has(vocab.RiserSize) && a.has(vocab.SuctionLineSize) {
		a.q.Values[vocab.RiserSize] = a.q.Values[vocab.SuctionLineSize]
	}
	sized := a.need(vocab.RiserSize)
	if sized && !a.has(vocab.Capacity) {
		a.leastOilLoad()
		return
	}
	d, effect, ok := a.suctionDuty()
	if !ok || !sized {
		return
	}
	t, ok := a.tube(vocab.RiserSize)
	if !ok {
		return
	}
	fit, err := pipe.Try(d, t, a.height())
	if a.fail(err) {
		return
	}
	what := "riser"
	if !a.has(vocab.RiserHeight) && a.has(vocab.SuctionLineSize) {
		what = "suction line, where it rises"
	}
	a.liftsOil(fit, d, effect, what)
}

// liftsOil judges what a tube carries against the least that lifts oil.
func (a *asked) liftsOil(fit pipe.Fit, d pipe.Duty, effect units.Enthalpy, what string) {
	least, err := pipe.LeastOilLoad(fit.LeastOil, effect, 0)
	if a.fail(err) {
		return
	}
	a.fit(fit, d)
	a.putLoad("riser_min_capacity", least)
	_, v, err := pipe.OilReturn(units.MassFlow(float64(d.Flow)*float64(d.Least)), fit.LeastOil)
	if a.fail(err) {
		return
	}
	a.judge(v)
	a.line("%s %s: %s at full load, needs %s to lift oil; full load is %.2f of that, the least %.2f", fit.Tube.Nominal, what, a.sayVelocity(fit.Velocity), a.sayLoad(least), fit.RatioFull, fit.RatioMin)
	switch {
	case fit.RatioMin < limits.Value("oil_return_trap"):
		a.line("at the least load the oil stays down: a smaller pipe or a double riser")
	case v == limits.Bad:
		a.line("too big for the least load: oil comes back only when it runs fully loaded often")
	case v == limits.Watch:
		a.line("it lifts, without reserve")
	default:
		a.line("it lifts oil with reserve")
	}
}

// leastOilLoad is the least load of a riser by itself.
func (a *asked) leastOilLoad() {
	a.needFluid()
	if !a.has(EvaporatingTemp) && !a.has(vocab.SuctionPressure) {
		a.r.Missing = append(a.r.Missing, Missing{Key: vocab.SuctionPressure, Why: "suction pressure or evaporating temp"})
	}
	if len(a.r.Missing) > 0 {
		return
	}
	t, ok := a.tube(vocab.RiserSize)
	if !ok {
		return
	}
	gas, ok := a.suctionGas()
	if !ok {
		return
	}
	liquid, err := cycle.LiquidEnthalpy(a.fluid, a.liquidTemp())
	if a.fail(err) {
		return
	}
	flow, err := pipe.LeastOilFlow(gas.Rho, pipe.OilFilm(), t)
	if a.fail(err) {
		return
	}
	least, err := pipe.LeastOilLoad(flow, gas.H, liquid)
	if a.fail(err) {
		return
	}
	v, err := pipe.Velocity(flow, gas.Rho, t)
	if a.fail(err) {
		return
	}
	reserve := limits.Value("oil_return_reserve")
	a.putLoad("riser_min_capacity", least)
	a.putVelocity("riser_min_velocity", v)
	a.line("%s riser lifts oil from %s up (%s); with reserve from %s", t.Nominal, a.sayLoad(least), a.sayVelocity(v), a.sayLoad(units.Power(reserve*float64(least))))
}
