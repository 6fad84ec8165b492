package derive

import (
	"fmt"

	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// AtRest holds the pressure of a machine that stands at the temperature of the air
// against that of its refrigerant there (trade-basis 1.4).
type AtRest struct {
	Over units.PressureDelta // above the bubble pressure at the air's temperature; below 0 under it
}

// Settings are those of the low-pressure control as what they mean for the gas in it
// (trade-basis 3.4).
type Settings struct {
	CutInDew, CutOutDew *units.Temperature
	CutInOverAir        *units.PressureDelta // cut-in less the gas's pressure at the air around
}

// farOver is the share of its pressure beyond which what stands over the bubble line is
// another refrigerant rather than air in this one. Own.
const farOver = 0.35

// atRest compares a standing machine with the air around it.
func (g *group) atRest() {
	k, ok := g.firstOf(vocab.DischargePressure, vocab.LiquidPressure, vocab.SuctionPressure)
	if !ok || g.fluid == nil || g.state == vocab.Running || !g.has(vocab.AmbientTemp) {
		return
	}
	want, err := g.fluid.BubblePressure(g.temp(vocab.AmbientTemp))
	if err != nil {
		return
	}
	over := g.pressure(k).Sub(want)
	g.out.AtRest = &AtRest{Over: over}
	if float64(over) > farOver*float64(want) {
		g.out.Doubts = append(g.out.Doubts, Doubt{
			Fact: vocab.Refrigerant, Fault: WrongRefrigerant,
			Why: fmt.Sprintf("Standing at %.0f F, %s has %.0f psig, not %.0f. Is it really %s?", g.temp(vocab.AmbientTemp).F(), g.fluid.Name(), want.Gauge(g.air).PSIG(), g.pressure(k).Gauge(g.air).PSIG(), g.fluid.Name()),
		})
	}
}

// settings works out what the low-pressure control is set to.
func (g *group) settings() {
	if g.fluid == nil || !g.has(vocab.CutInPressure) && !g.has(vocab.CutOutPressure) {
		return
	}
	s := &Settings{}
	for _, c := range []struct {
		key vocab.Key
		dew **units.Temperature
	}{{vocab.CutInPressure, &s.CutInDew}, {vocab.CutOutPressure, &s.CutOutDew}} {
		if !g.has(c.key) {
			continue
		}
		if dew, err := g.fluid.DewTemp(g.pressure(c.key)); err == nil {
			*c.dew = &dew
		}
	}
	if g.has(vocab.CutInPressure, vocab.AmbientTemp) {
		if air, err := g.fluid.DewPressure(g.temp(vocab.AmbientTemp)); err == nil {
			over := g.pressure(vocab.CutInPressure).Sub(air)
			s.CutInOverAir = &over
		}
	}
	g.out.Settings = s
}
