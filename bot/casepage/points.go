package casepage

import (
	"strings"

	"coldcase/bot/talk"
	"coldcase/calc/cycle"
	"coldcase/calc/derive"
	"coldcase/calc/props"
	"coldcase/refdata/phrases"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// Cycle is what the pressure–enthalpy diagram can show: the running machine at the
// last visit that has a pressure. ok is false without a refrigerant or a pressure.
func (s Story) Cycle() (c Cycle, ok bool) {
	f, err := props.Lookup(s.Record.Facts[vocab.Refrigerant])
	if err != nil {
		return c, false
	}
	air := s.air()
	visit, last := s.lastRunning(air)
	c = Cycle{Fluid: f, Metric: s.Record.InMetric(), Air: air, Visit: visit}
	if p, has := last[vocab.SuctionPressure]; has {
		c.Suction = units.Gauge(p).Abs(air)
		c.CoilOut, c.Inlet = stateIf(f, last, vocab.EvapOutletTemp, c.Suction), stateIf(f, last, vocab.SuctionLineTemp, c.Suction)
	}
	if p, has := last[vocab.DischargePressure]; has {
		c.Head = units.Gauge(p).Abs(air)
		c.Discharge, c.Liquid = stateIf(f, last, vocab.DischargeLineTemp, c.Head), stateIf(f, last, vocab.LiquidLineTemp, c.Head)
	}
	return c, c.Suction > 0 || c.Head > 0
}

// air is the pressure of the air at the site.
func (s Story) air() units.Pressure {
	height := units.Feet(0)
	for _, o := range s.Record.Observations {
		if o.Key == vocab.Altitude {
			if si, err := vocab.SI(o.Reading, 0); err == nil {
				height = units.Length(si)
			}
		}
	}
	air, err := cycle.Air(height)
	if err != nil {
		air, _ = cycle.Air(0) // sea level is always answered
	}
	return air
}

// lastRunning are the settled readings of the running machine, in SI, at the last
// visit that has a pressure.
func (s Story) lastRunning(air units.Pressure) (visit int, last map[vocab.Key]float64) {
	for _, o := range s.Record.Observations {
		if used(o) && (o.Key == vocab.SuctionPressure || o.Key == vocab.DischargePressure) {
			visit = o.Visit
		}
	}
	last = map[vocab.Key]float64{}
	for _, o := range s.Record.Observations {
		if o.Visit != visit || !used(o) {
			continue
		}
		if si, err := vocab.SI(o.Reading, air); err == nil {
			last[o.Key] = si
		}
	}
	return visit, last
}

func used(o derive.Observation) bool { return o.State == vocab.Running && !o.Settling }

func stateIf(f *props.Fluid, last map[vocab.Key]float64, k vocab.Key, p units.Pressure) *props.State {
	t, has := last[k]
	if !has || p <= 0 {
		return nil
	}
	st, err := f.AtTP(units.Temperature(t), p)
	if err != nil {
		return nil
	}
	return &st
}

// cycleText says the diagram in words.
func (s Story) cycleText(c Cycle) string {
	parts := []string{"Pressure-enthalpy diagram of " + c.Fluid.Name()}
	for _, n := range s.Numbers.Numbers {
		switch n.Name {
		case derive.SatSuctionTemp, derive.SatDischargeTemp, derive.EvapSuperheat, derive.TotalSuperheat, derive.Subcooling, derive.CompressionRatio:
			if n.Visit == c.Visit && n.State == vocab.Running {
				parts = append(parts, phrases.Label(string(n.Name))+" "+talk.Said(n.Value, n.Unit))
			}
		}
	}
	return strings.Join(parts, ", ") + "."
}
