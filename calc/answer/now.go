package answer

import (
	"coldcase/calc/cycle"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// wantedGlide is the glide above which the reply says which line was used.
var wantedGlide = units.DegreesF(2) // trade-basis 1.2

// superheatNow is the superheat of a pressure and a pipe.
func (a *asked) superheatNow() {
	a.needFluid()
	p, okLow := a.lowSide()
	place, temp := "at the compressor", vocab.SuctionLineTemp
	if !a.has(temp) && a.has(vocab.EvapOutletTemp) {
		place, temp = "at the coil", vocab.EvapOutletTemp
	}
	if !a.need(temp) || !okLow {
		return
	}
	d, err := cycle.Superheat(a.fluid, a.temp(temp), p)
	if a.fail(err) {
		return
	}
	dew, bubble, ok := a.saturations(p)
	if !ok {
		return
	}
	a.line("superheat %s: dew is %s at %s", a.sayDelta(d), a.sayTemp(dew), a.sayGauge(p.Gauge(a.air)))
	if dew.Sub(bubble) > wantedGlide {
		a.line("that is on the dew line; bubble is %s", a.sayTemp(bubble))
	}
	if temp == vocab.EvapOutletTemp {
		a.putDelta("evap_superheat", d)
		return
	}
	a.putDelta("total_superheat", d)
	a.assume("the pipe " + place)
	a.judge(limits.Falling(d.DegreesF(), limits.Value("watch_superheat_dF"), limits.Value("floodback_superheat_dF"), limits.Value("wet_suction_dF")))
	a.line("%s", map[limits.Verdict]string{
		limits.OK:    "dry enough to be safe",
		limits.Watch: "little reserve against a load swing",
		limits.Bad:   "liquid is likely coming back",
		limits.Stop:  "wet suction: stop or throttle it when it stays there",
	}[a.r.Verdict])
}

// saturations are dew and bubble at a pressure.
func (a *asked) saturations(p units.Pressure) (dew, bubble units.Temperature, ok bool) {
	dew, err := a.fluid.DewTemp(p)
	if a.fail(err) {
		return 0, 0, false
	}
	bubble, err = a.fluid.BubbleTemp(p)
	return dew, bubble, !a.fail(err)
}

// subcoolingNow is the subcooling of a pressure and a pipe.
func (a *asked) subcoolingNow() {
	p, t, ok := a.liquidStart()
	if !ok {
		return
	}
	d, err := cycle.Subcooling(a.fluid, t, p)
	if a.fail(err) {
		return
	}
	bubble, err := a.fluid.BubbleTemp(p)
	if a.fail(err) {
		return
	}
	a.putDelta("subcooling", d)
	a.line("subcooling %s: bubble is %s at %s", a.sayDelta(d), a.sayTemp(bubble), a.sayGauge(p.Gauge(a.air)))
	a.subcoolingTarget()
}

// coilTD is the box over the coil; a saturation that is told needs no refrigerant.
func (a *asked) coilTD() {
	var dew units.Temperature
	var glide units.TempDelta
	switch {
	case a.has(EvaporatingTemp):
		dew = a.temp(EvaporatingTemp)
	default:
		a.needFluid()
		p, ok := a.lowSide()
		if !ok {
			break
		}
		var bubble units.Temperature
		if dew, bubble, ok = a.saturations(p); !ok {
			return
		}
		glide = dew.Sub(bubble)
	}
	if !a.need(vocab.BoxTemp) {
		return
	}
	td := a.temp(vocab.BoxTemp).Sub(dew)
	a.putDelta("evap_td", td)
	a.line("TD %s: box %s over dew %s", a.sayDelta(td), a.sayTemp(a.temp(vocab.BoxTemp)), a.sayTemp(dew))
	if glide > wantedGlide {
		mean := td + units.TempDelta(limits.Value("mean_evaporating_share")*float64(glide))
		a.line("against the mean evaporating temp %s", a.sayDelta(mean))
	}
	if td < 0 {
		a.judge(limits.Ask)
		a.line("the coil can't be warmer than the box: is it running, and is that the suction?")
		return
	}
	watch, bad := limits.Value("td_watch_dF"), limits.Value("td_walk_in_dF")
	a.judge(limits.Rising(td.DegreesF(), watch, bad, 1e3))
	a.line("a walk-in has %s to %s; over %s is ice, fans, a dirty or starved coil", a.sayWhole(limitDelta("td_from_dF")), a.sayWhole(units.DegreesF(watch)), a.sayWhole(units.DegreesF(bad)))
	a.assume("walk-in, box near set point and steady; prep rooms 12 to 20 F")
}

// split is the condensing temperature over the air on the coil; one that is told needs
// no refrigerant.
func (a *asked) split() {
	if !a.has(vocab.DischargePressure) && !a.has(CondensingTemp) {
		a.miss(vocab.DischargePressure)
	}
	if !a.has(CondensingTemp) {
		a.needFluid()
	}
	if !a.need(vocab.AmbientTemp) {
		return
	}
	var d units.TempDelta
	if a.has(CondensingTemp) {
		d = a.temp(CondensingTemp).Sub(a.temp(vocab.AmbientTemp))
	} else {
		var err error
		if d, err = cycle.CondensingSplit(a.fluid, a.temp(vocab.AmbientTemp), a.pressure(vocab.DischargePressure)); a.fail(err) {
			return
		}
	}
	a.putDelta("condensing_split", d)
	a.judge(limits.Rising(d.DegreesF(), limits.Value("split_watch_unit_dF"), limits.Value("split_unit_dF"), 1e3))
	a.line("condensing %s over the air: a condensing unit to %s, over %s is dirt, fan, air or overcharge; a remote one over %s", a.sayDelta(d), a.sayWhole(limitDelta("split_watch_unit_dF")), a.sayWhole(limitDelta("split_unit_dF")), a.sayWhole(limitDelta("split_remote_dF")))
	if air := a.temp(vocab.AmbientTemp); air < units.Fahrenheit(limits.Value("head_control_F")) {
		a.line("below %s the head-pressure control may hide it", a.sayTemp(units.Fahrenheit(limits.Value("head_control_F"))))
	}
}

// highSide is the discharge pressure, read or by the condensing temperature.
func (a *asked) highSide() (units.Pressure, bool) {
	if a.has(vocab.DischargePressure) {
		return a.pressure(vocab.DischargePressure), a.r.Err == nil
	}
	if !a.has(CondensingTemp) || a.fluid == nil {
		return 0, false
	}
	p, err := a.fluid.DewPressure(a.temp(CondensingTemp))
	return p, !a.fail(err)
}
