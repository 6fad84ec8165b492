package answer

import (
	"strings"

	"coldcase/calc/service"
	"coldcase/refdata/limits"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// chargeEstimate adds up the parts of the circuit that are known, and names the others.
func (a *asked) chargeEstimate() {
	c, counted, left := service.Circuit{}, []string(nil), []string(nil)
	part := func(name string, v *units.Volume, got units.Volume) {
		if *v = got; got > 0 {
			counted = append(counted, name)
		} else {
			left = append(left, name)
		}
	}
	part("liquid line", &c.LiquidLine, a.pipeVolume(vocab.LiquidLineSize, vocab.LiquidRun, vocab.LiquidLift))
	part("receiver", &c.Receiver, a.volume(ReceiverVolume))
	part("condenser", &c.Condenser, a.volume(CondenserVolume))
	part("evaporator", &c.Evaporator, a.volume(CoilVolume))
	part("suction line", &c.SuctionLine, a.pipeVolume(vocab.SuctionLineSize, vocab.SuctionRun, vocab.RiserHeight))
	if len(counted) == 0 && len(a.r.Missing) == 0 {
		a.miss(vocab.LiquidLineSize)
		a.miss(vocab.LiquidRun)
	}
	a.needFluid()
	if len(a.r.Missing) > 0 || a.r.Err != nil {
		return
	}
	c.Liquid, c.FloodedForWinterHead = a.liquidTemp(), a.q.Said[Flooded]
	if c.SuctionLine > 0 {
		a.evaporatingForGas()
		gas, ok := a.suctionGas()
		if !ok {
			return
		}
		c.SuctionGas = gas.Rho
	}
	got, err := service.CircuitCharge(a.fluid, c)
	if a.fail(err) {
		return
	}
	a.chargeTaken(c, left)
	a.putMass("charge", got.Estimate)
	a.putMass("charge_low", got.Low)
	a.putMass("charge_high", got.High)
	a.line("%s: %s (%s to %s); charge by weight, not to this", strings.Join(counted, " + "), a.sayMass(got.Estimate), a.sayMass(got.Low), a.sayMass(got.High))
	if got.SuctionGas > 0 {
		a.putMass("charge_suction_line", got.SuctionGas)
		a.line("%s of that is gas in the suction line: gas lines hardly matter", a.sayLittle(got.SuctionGas))
	}
}

func (a *asked) evaporatingForGas() {
	if !a.has(EvaporatingTemp) && !a.has(vocab.SuctionPressure) {
		evap := a.assumedTemp("evaporating", "assume_evaporating_F")
		a.q.Values[EvaporatingTemp] = vocab.Reading{Key: EvaporatingTemp, Value: evap.F(), Unit: units.CodeF}
	}
}

// chargeTaken says what share of each part was taken as liquid, and what is not counted.
func (a *asked) chargeTaken(c service.Circuit, left []string) {
	say := func(v units.Volume, what, limit string) {
		if v > 0 {
			a.assume(what + " " + whole(units.Fraction(limits.Value(limit)).Percent()) + " % liquid by volume")
		}
	}
	say(c.Receiver, "receiver", "receiver_liquid_share")
	if c.FloodedForWinterHead {
		say(c.Condenser, "condenser flooded for winter", "flooded_condenser_share")
	} else {
		say(c.Condenser, "condenser", "condenser_liquid_share")
	}
	say(c.Evaporator, "evaporator", "evaporator_liquid_share")
	if len(left) > 0 {
		a.assume("not counted: " + strings.Join(left, ", "))
	}
}

func (a *asked) volume(k vocab.Key) units.Volume {
	if !a.has(k) {
		return 0
	}
	return units.Volume(a.si(k))
}

// pipeVolume is what a pipe holds; a size without a length, or the other way round, is
// asked for.
func (a *asked) pipeVolume(size vocab.Key, runs ...vocab.Key) units.Volume {
	length, known := 0.0, false
	for _, k := range runs {
		if a.has(k) {
			length += max(a.si(k), -a.si(k))
			known = true
		}
	}
	switch {
	case !known && !a.has(size):
		return 0
	case !known:
		a.miss(runs[0])
		return 0
	case !a.has(size):
		a.miss(size)
		return 0
	}
	t, ok := a.tube(size)
	if !ok {
		return 0
	}
	return inside(t, length)
}

func inside(t tube.Tube, meters float64) units.Volume {
	return units.Volume(meters * float64(t.Bore()))
}
