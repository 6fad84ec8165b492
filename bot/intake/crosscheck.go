package intake

import (
	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// slack is how far two values may be the wrong way round before they are asked
// about, in pascals.
const headSlack = 3 * units.PaPerPSI // gauges read that far apart at rest

// crossCheck asks about values of one breath that can't be together; neither is
// used.
func (p *parse) crossCheck() {
	if p.ordered(vocab.SuctionPressure, vocab.DischargePressure, "Head under suction can't be while it runs. Gauges swapped?", headSlack) {
		p.swapped = true
	}
	p.ordered(vocab.CutOutPressure, vocab.CutInPressure, "Cut-out has to be below cut-in. Which is which?", 0)
	p.ordered(vocab.VacuumLevel, vocab.VacuumRiseLevel, "A vacuum can't get deeper with the pump valved off. Which came first?", 0)
	p.ordered(vocab.PumpdownPressure, vocab.PumpdownRisePressure, "The low side can't fall during the wait. Which came first?", 0)
}

// ordered asks about two readings when the lower one is above the upper one.
func (p *parse) ordered(lower, upper vocab.Key, why string, slack float64) (asked bool) {
	low, okLow := p.value(lower)
	high, okHigh := p.value(upper)
	if !okLow || !okHigh || low <= high+slack {
		return false
	}
	p.ask(string(lower), why)
	p.ask(string(upper), why)
	p.drop(lower)
	p.drop(upper)
	return true
}

// hotterThanAir: a suction pressure above what the refrigerant has at rest in the
// hottest air that is usual at all.
func (p *parse) hotterThanAir(r vocab.Reading) bool {
	span, ok := limits.Plausible(vocab.SuctionPressure, p.refrigerant())
	if r.Key != vocab.SuctionPressure || !ok || p.refrigerant() == "" || p.refrigerant() == "R744" {
		return false
	}
	v, err := inUnitOf(r, span.Unit)
	if err != nil || v <= span.UnusuallyHigh {
		return false
	}
	fluid, err := props.Lookup(p.refrigerant())
	if err != nil {
		return false
	}
	air, _ := limits.Plausible(vocab.AmbientTemp, "")
	most, err := fluid.DewPressure(units.Fahrenheit(air.UnusuallyHigh))
	return err == nil && units.PSIG(v).Abs(units.Pressure(seaLevel)) > most
}

// value is a reading of this message in SI.
func (p *parse) value(k vocab.Key) (float64, bool) {
	for i := range p.m.Readings {
		if r := &p.m.Readings[i]; r.Key == k {
			v, err := vocab.SI(r.Reading, seaLevel)
			return v, err == nil
		}
	}
	return 0, false
}
