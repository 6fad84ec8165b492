package answer

import (
	"slices"

	"coldcase/calc/cycle"
	"coldcase/calc/pipe"
	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// suctionDuty is what the suction line carries; ok is false with something missing
// or wrong.
func (a *asked) suctionDuty() (d pipe.Duty, effect units.Enthalpy, ok bool) {
	a.needFluid()
	if !a.has(EvaporatingTemp) && !a.has(vocab.SuctionPressure) {
		a.r.Missing = append(a.r.Missing, Missing{Key: vocab.SuctionPressure, Why: "suction pressure or evaporating temp"})
	}
	if !a.need(vocab.Capacity) {
		return d, 0, false
	}
	gas, ok := a.suctionGas()
	if !ok {
		return d, 0, false
	}
	d = pipe.Duty{Fluid: a.fluid, State: gas, Viscosity: pipe.GasViscosity(a.fluid, gas)}
	out, ok := a.coilOutlet(gas)
	if !ok {
		return d, 0, false
	}
	liquid, err := cycle.LiquidEnthalpy(a.fluid, a.liquidTemp())
	if a.fail(err) {
		return d, 0, false
	}
	d.Flow, err = cycle.MassFlow(units.Power(a.si(vocab.Capacity)), out.H, liquid)
	d.Least = a.leastShare()
	return d, out.H - liquid, !a.fail(err) && a.r.Err == nil
}

// suctionGas is the gas in the riser.
func (a *asked) suctionGas() (props.State, bool) {
	var p units.Pressure
	var err error
	if a.has(EvaporatingTemp) {
		p, err = a.fluid.DewPressure(a.temp(EvaporatingTemp))
	} else {
		p = a.pressure(vocab.SuctionPressure)
	}
	if a.fail(err) {
		return props.State{}, false
	}
	dew, err := a.fluid.DewTemp(p)
	if a.fail(err) {
		return props.State{}, false
	}
	t := dew.Add(units.DegreesF(limits.Value("assume_return_superheat_dF")))
	switch {
	case a.has(vocab.SuctionLineTemp):
		t = a.temp(vocab.SuctionLineTemp)
	case a.has(vocab.Superheat):
		t = dew.Add(units.TempDelta(a.si(vocab.Superheat)))
	default:
		a.assume("suction gas taken as " + a.sayTemp(t))
	}
	if t <= dew {
		gas, err := a.fluid.VaporAtDew(p)
		return gas, !a.fail(err)
	}
	gas, err := a.fluid.AtTP(t, p)
	return gas, !a.fail(err)
}

// coilOutlet is where the load is counted to.
func (a *asked) coilOutlet(gas props.State) (props.State, bool) {
	if !a.has(vocab.EvapOutletTemp) {
		return gas, true
	}
	out, err := a.fluid.AtTP(a.temp(vocab.EvapOutletTemp), gas.P)
	return out, !a.fail(err)
}

func (a *asked) liquidTemp() units.Temperature {
	if a.has(vocab.LiquidLineTemp) {
		return a.temp(vocab.LiquidLineTemp)
	}
	if a.fluid != nil && a.fluid.CriticalTemp() < units.Fahrenheit(limits.Value("assume_liquid_F")+5) {
		return a.assumedTemp("liquid line", "assume_liquid_cold_F")
	}
	return a.assumedTemp("liquid line", "assume_liquid_F")
}

// leastShare is the least load over the full one; typed as either.
func (a *asked) leastShare() units.Fraction {
	if !a.has(vocab.MinCapacity) {
		a.assume("no unloading: judged at full load; unloaders, several coils or a cycling machine?")
		return units.Percent(100)
	}
	v := a.si(vocab.MinCapacity)
	if a.q.Values[vocab.MinCapacity].Unit == units.CodePercent {
		return units.Fraction(v)
	}
	return units.Fraction(v / a.si(vocab.Capacity))
}

// equivalent is the length that friction is taken over, of the given runs.
func (a *asked) equivalent(runs ...vocab.Key) (units.Length, bool) {
	if a.has(Equivalent) {
		return units.Length(a.si(Equivalent)), true
	}
	length, known := units.Length(0), false
	for _, k := range runs {
		if a.has(k) {
			length += units.Length(max(a.si(k), -a.si(k)))
			known = true
		}
	}
	if !known {
		a.miss(runs[0])
		return 0, false
	}
	with := pipe.WithFittings(length)
	a.assume("fittings count half the pipe again: " + a.sayLength(with))
	return with, true
}

func (a *asked) sizeRiser() {
	length, okLength := a.equivalent(vocab.RiserHeight, vocab.SuctionRun)
	d, effect, ok := a.suctionDuty()
	if !ok || !okLength {
		return
	}
	pick, err := pipe.SizeSuctionRiser(d, length)
	if a.fail(err) {
		return
	}
	a.putFlow("mass_flow", d.Flow)
	if !pick.OK {
		a.line("%s", pick.Why)
		a.pair(d, length)
		return
	}
	a.fit(pick.Fit, d)
	least, err := pipe.LeastOilLoad(pick.LeastOil, effect, 0)
	if a.fail(err) {
		return
	}
	a.putLoad("riser_min_capacity", least)
	a.judge(limits.OK)
	a.line("%s riser: %s at full load, loses %s", pick.Tube.Nominal, a.sayVelocity(pick.Velocity), a.sayDelta(pick.Penalty))
	a.line("lifts oil down to %s, %.2f of that at the least load", a.sayLoad(least), pick.RatioMin)
	if pick.Marginal {
		a.judge(limits.Watch)
		a.line("%s; a double riser would have it", pick.Why)
	}
}

// fit puts the figures of one size.
func (a *asked) fit(f pipe.Fit, d pipe.Duty) {
	if a.fluid.Name() == "R744" {
		a.assume("oil return of CO2 is by the formula alone: no table of it is known here")
	}
	a.put("size", f.Tube.OD.Inches(), units.CodeInch, f.Tube.OD.Meters()*1e3, units.CodeMillimeter)
	a.putVelocity("velocity_full", f.Velocity)
	if d.Least < units.Percent(100) {
		a.putVelocity("velocity_min", units.Velocity(float64(f.Velocity)*float64(d.Least)))
	}
	a.putDrop("pressure_drop", f.Drop)
	a.putDelta("penalty", f.Penalty)
	a.plain("oil_ratio_full", f.RatioFull, units.CodeRatio)
	a.plain("oil_ratio_min", f.RatioMin, units.CodeRatio)
}

func (a *asked) doubleRiser() {
	length, okLength := a.equivalent(vocab.RiserHeight, vocab.SuctionRun)
	d, _, ok := a.suctionDuty()
	if ok && okLength {
		a.putFlow("mass_flow", d.Flow)
		a.pair(d, length)
	}
}

func (a *asked) pair(d pipe.Duty, length units.Length) {
	pair, err := pipe.DoubleRiser(d, length)
	if a.fail(err) {
		return
	}
	if pair.Small.OD > 0 {
		a.put("small_size", pair.Small.OD.Inches(), units.CodeInch, pair.Small.OD.Meters()*1e3, units.CodeMillimeter)
	}
	if pair.Large.OD > 0 {
		a.put("large_size", pair.Large.OD.Inches(), units.CodeInch, pair.Large.OD.Meters()*1e3, units.CodeMillimeter)
		a.plain("oil_ratio_small", pair.RatioSmall, units.CodeRatio)
		a.plain("oil_ratio_large", pair.RatioLarge, units.CodeRatio)
		a.putDelta("penalty", pair.LossBoth)
		a.plain("hand_over", pair.HandOver.Percent(), units.CodePercent)
	}
	if !pair.OK {
		a.judge(limits.Watch)
		if why := pair.Why; !slices.Contains(a.r.Lines, why) {
			a.line("%s", why)
		}
		return
	}
	a.judge(limits.OK)
	a.line("double riser %s and %s: %s without trap, %s with a small trap, both into the top line from above", pair.Small.Nominal, pair.Large.Nominal, pair.Small.Nominal, pair.Large.Nominal)
	a.line("%s alone has %.2f of its oil minimum at the least load; %s joins at %.0f %% load; both lose %s", pair.Small.Nominal, pair.SmallAlone.RatioMin, pair.Large.Nominal, pair.HandOver.Percent(), a.sayDelta(pair.LossBoth))
}
