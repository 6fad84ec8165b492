package derive

import (
	"coldcase/calc/cycle"
	"coldcase/calc/pipe"
	"coldcase/calc/props"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// stream is the refrigerant on its way: flow at full load with what it rests on.
type stream struct {
	flow     units.MassFlow
	hOut     units.Enthalpy
	hLiquid  units.Enthalpy
	gas      props.State
	minShare float64 // min load over full load; 0 when unknown
	note     string
	from     []vocab.Key
}

// pipeNumbers are flow, velocities, the riser's need and the liquid line's losses.
func (g *group) pipeNumbers(rec Record) {
	if g.fluid == nil || g.state != vocab.Running {
		return
	}
	g.liquidNumbers()
	s, ok := g.stream()
	if !ok {
		return
	}
	lbh, kgh := measured{s.flow.PoundsPerHour(), units.CodePoundPerHour, 0}, measured{s.flow.KilogramsPerHour(), units.CodeKgPerHour, 0}
	g.put(MassFlow, FullLoad, lbh, kgh, s.note, s.from...)
	if g.has(vocab.SuctionLineSize) {
		g.velocities(SuctionVelocity, vocab.SuctionLineSize, s)
	}
	if g.has(vocab.RiserSize) {
		g.velocities(RiserVelocity, vocab.RiserSize, s)
		g.riser(s)
	}
}

// assumedLiquid stands in for an unread liquid line; the numbers that rest on it
// say so. Common practice: the tables of the trade use 90 F.
func assumedLiquid() units.Temperature { return units.Fahrenheit(90) }

func (g *group) stream() (s stream, ok bool) {
	gasKey, ok := g.firstOf(vocab.SuctionLineTemp, vocab.EvapOutletTemp)
	if !ok || !g.has(vocab.Capacity, vocab.SuctionPressure) {
		return s, false
	}
	p := g.pressure(vocab.SuctionPressure)
	outKey, _ := g.firstOf(vocab.EvapOutletTemp, vocab.SuctionLineTemp)
	s.from = []vocab.Key{vocab.Capacity, vocab.SuctionPressure, outKey}
	out, err := g.gasAt(p, g.temp(outKey))
	if err != nil {
		return s, false
	}
	if s.gas, err = g.gasAt(p, g.temp(gasKey)); err != nil {
		return s, false
	}
	liquid := assumedLiquid()
	if g.has(vocab.LiquidLineTemp) {
		liquid = g.temp(vocab.LiquidLineTemp)
		s.from = append(s.from, vocab.LiquidLineTemp)
	} else {
		s.note = "liquid line taken as 90 F"
	}
	if s.hLiquid, err = cycle.LiquidEnthalpy(g.fluid, liquid); err != nil {
		return s, false
	}
	s.hOut = out.H
	if s.flow, err = cycle.MassFlow(units.Power(g.si(vocab.Capacity)), s.hOut, s.hLiquid); err != nil {
		return s, false
	}
	if outKey == vocab.SuctionLineTemp {
		s.note = join(s.note, "heat picked up in the suction line counted as load")
	}
	if g.has(vocab.MinCapacity) {
		s.minShare = g.minShare()
	}
	return s, true
}

// gasAt is the gas at a pipe's temperature, or saturated vapor where the pipe
// reads below dew by no more than the instruments leave open.
func (g *group) gasAt(p units.Pressure, t units.Temperature) (props.State, error) {
	dew, err := g.fluid.DewTemp(p)
	if err != nil {
		return props.State{}, err
	}
	if t < dew {
		return g.fluid.VaporAtDew(p)
	}
	return g.fluid.AtTP(t, p)
}

// minShare is the least load as a share of full load; it was typed as either.
func (g *group) minShare() float64 {
	v := g.si(vocab.MinCapacity)
	if v <= 1 { // a fraction: a load in watts is never that small
		return v
	}
	return v / g.si(vocab.Capacity)
}

func join(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}

func (g *group) velocities(name Name, size vocab.Key, s stream) {
	t, err := tube.ACR(units.Length(g.si(size)))
	if err != nil {
		return
	}
	v, err := pipe.Velocity(s.flow, s.gas.Rho, t)
	if err != nil {
		return
	}
	from := append([]vocab.Key{size}, s.from...)
	put := func(v units.Velocity, load Load) {
		g.put(name, load, measured{v.FeetPerMinute(), units.CodeFeetPerMinute, 0}, measured{v.MetersPerSecond(), units.CodeMeterPerSec, 0}, s.note, from...)
	}
	put(v, FullLoad)
	if s.minShare > 0 {
		put(units.Velocity(float64(v)*s.minShare), MinLoad)
	}
}

func (g *group) riser(s stream) {
	t, err := tube.ACR(units.Length(g.si(vocab.RiserSize)))
	if err != nil {
		return
	}
	least, err := pipe.LeastOilFlow(s.gas.Rho, pipe.OilFilm(), t)
	if err != nil {
		return
	}
	load, err := pipe.LeastOilLoad(least, s.hOut, s.hLiquid)
	if err != nil {
		return
	}
	from := append([]vocab.Key{vocab.RiserSize}, s.from...)
	g.put(RiserMinCapacity, "", measured{load.BtuPerHour(), units.CodeBtuPerHour, 0}, measured{load.Kilowatts(), units.CodeKilowatt, 0}, s.note, from...)
	if !g.has(vocab.RiserHeight) {
		return
	}
	drop, err := pipe.Friction(s.flow, s.gas.Rho, pipe.GasViscosity(g.fluid, s.gas), t, units.Length(g.si(vocab.RiserHeight)))
	if err != nil {
		return
	}
	us, si := measured{drop.PSI(), units.CodePSI, 0}, measured{drop.KPa(), units.CodeKPa, 0}
	g.put(RiserPressureDrop, FullLoad, us, si, s.note, append(from, vocab.RiserHeight)...)
}

// liquidNumbers are the static loss of the lift and the margin against flashing.
func (g *group) liquidNumbers() {
	if !g.has(vocab.LiquidLift, vocab.LiquidLineTemp) {
		return
	}
	liquid, err := g.fluid.LiquidAtBubble(g.temp(vocab.LiquidLineTemp))
	if err != nil {
		return
	}
	static := pipe.StaticHead(liquid.Rho, units.Length(g.si(vocab.LiquidLift)))
	from := []vocab.Key{vocab.LiquidLift, vocab.LiquidLineTemp}
	g.put(LiquidStaticLoss, "", measured{static.PSI(), units.CodePSI, 0}, measured{static.KPa(), units.CodeKPa, 0}, "", from...)
	g.flashMargin(static, liquid, from)
}

func (g *group) flashMargin(static units.PressureDelta, liquid props.State, from []vocab.Key) {
	k, ok := g.firstOf(vocab.LiquidPressure, vocab.DischargePressure)
	if !ok {
		return
	}
	p := g.pressure(k)
	loss, note := static, ""
	if g.has(vocab.LiquidDrierDrop) {
		loss += units.PressureDelta(g.si(vocab.LiquidDrierDrop))
	} else {
		note = "drier and solenoid drop not counted"
	}
	if friction, ok := g.liquidFriction(liquid); ok {
		loss += friction
	} else {
		note = join(note, "pipe friction not counted")
	}
	before, err1 := g.fluid.BubbleTemp(p)
	after, err2 := g.fluid.BubbleTemp(p.Add(-loss))
	if err1 != nil || err2 != nil {
		return
	}
	margin := before.Sub(g.temp(vocab.LiquidLineTemp)) - before.Sub(after)
	us, si := difference(margin, g.saturationError(p)+units.DegreesF(probeDegF))
	g.put(FlashMargin, "", us, si, note, append(from, k)...)
}

func (g *group) liquidFriction(liquid props.State) (units.PressureDelta, bool) {
	if !g.has(vocab.LiquidLineSize) {
		return 0, false
	}
	t, err := tube.ACR(units.Length(g.si(vocab.LiquidLineSize)))
	if err != nil {
		return 0, false
	}
	s, ok := g.stream()
	if !ok {
		return 0, false
	}
	length := units.Length(g.si(vocab.LiquidLift))
	if g.has(vocab.LiquidRun) {
		length += units.Length(g.si(vocab.LiquidRun))
	}
	length = pipe.WithFittings(length) // common practice (trade-basis 2.6)
	drop, err := pipe.Friction(s.flow, liquid.Rho, pipe.LiquidViscosity(g.fluid, liquid), t, length)
	return drop, err == nil
}
