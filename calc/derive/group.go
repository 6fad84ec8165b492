package derive

import (
	"coldcase/calc/props"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// group is what belongs together: the readings of one visit and one state of the
// machine, and what carries over from earlier.
type group struct {
	visit   int
	state   vocab.State
	values  map[vocab.Key]value
	fluid   *props.Fluid // nil while the refrigerant is unknown
	air     units.Pressure
	out     *Result
	metric  *bool
	heating bool // a heat pump that heats: no condenser stands in the outdoor air
	order   int  // place of its last reading in the record
}

// value is a reading in SI.
type value struct {
	si       float64
	metric   bool
	shared   bool // the unit is used in both worlds
	settling bool
	carried  bool
}

// carries reports whether a key stays in force from visit to visit: nameplate,
// pipe, charge, loads and site, and tests whose two ends lie on both sides of a
// wait.
func carries(k vocab.Key) bool {
	switch k {
	case vocab.RatedVolts, vocab.RatedAmps, vocab.LockedRotorAmps,
		vocab.RiserHeight, vocab.RiserSize, vocab.SuctionLineSize, vocab.LiquidLineSize, vocab.DischargeLineSize,
		vocab.SuctionRun, vocab.LiquidRun, vocab.LiquidLift,
		vocab.Capacity, vocab.MinCapacity, vocab.SystemCharge, vocab.AccumulatorVolume,
		vocab.Altitude, vocab.CompressorAge, vocab.CutInPressure, vocab.CutOutPressure,
		vocab.TestPressureStart, vocab.TestPressureEnd, vocab.TestTempStart, vocab.TestTempEnd,
		vocab.VacuumLevel, vocab.VacuumRiseLevel, vocab.VacuumHoldTime,
		vocab.PumpdownPressure, vocab.PumpdownRisePressure, vocab.PumpdownWaitTime:
		return true
	}
	return false
}

// groups sorts the observations into visits and states, in the order of each
// group's last reading.
func groups(rec *Record, fluid *props.Fluid, air units.Pressure, out *Result) []*group {
	type place struct {
		visit int
		state vocab.State
	}
	byPlace := map[place]*group{}
	var list []*group
	carried := map[vocab.Key]value{}
	for i, o := range rec.Observations {
		si, err := vocab.SI(o.Reading, air)
		if err != nil || !units.Finite(si) {
			continue
		}
		v := value{si: si, metric: o.Unit.Metric(), shared: o.Unit.Shared(), settling: o.Settling}
		at := place{o.Visit, o.State}
		if at.state == "" {
			at.state = vocab.Running
		}
		g := byPlace[at]
		if g == nil {
			g = &group{visit: at.visit, state: at.state, values: map[vocab.Key]value{}, fluid: fluid, air: air, out: out, metric: rec.Metric}
			byPlace[at] = g
			list = append(list, g)
		}
		g.values[o.Key], g.order = v, i
		if carries(o.Key) {
			v.carried = true
			carried[o.Key] = v
		}
	}
	for _, g := range list {
		for k, v := range carried {
			if own, ok := g.values[k]; !ok || !own.settling {
				g.values[k] = v
			}
		}
	}
	sortGroups(list)
	return list
}

func sortGroups(list []*group) {
	for i := 1; i < len(list); i++ {
		for j := i; j > 0 && list[j].order < list[j-1].order; j-- {
			list[j], list[j-1] = list[j-1], list[j]
		}
	}
}

func (g *group) has(keys ...vocab.Key) bool {
	for _, k := range keys {
		if _, ok := g.values[k]; !ok {
			return false
		}
	}
	return true
}

func (g *group) si(k vocab.Key) float64 { return g.values[k].si }

func (g *group) pressure(k vocab.Key) units.Pressure { return units.Gauge(g.si(k)).Abs(g.air) }

func (g *group) temp(k vocab.Key) units.Temperature { return units.Temperature(g.si(k)) }

// firstOf is the first of the keys that was read.
func (g *group) firstOf(keys ...vocab.Key) (vocab.Key, bool) {
	for _, k := range keys {
		if g.has(k) {
			return k, true
		}
	}
	return "", false
}

// inMetric tells the world of a number from the readings that it rests on.
func (g *group) inMetric(from []vocab.Key) bool {
	if g.metric != nil {
		return *g.metric
	}
	metric, us := 0, 0
	for _, k := range from {
		switch v := g.values[k]; {
		case v.metric:
			metric++
		case !v.shared:
			us++
		}
	}
	return metric > us
}

// put records a number; us and metric are its value and unit in both worlds.
func (g *group) put(name Name, load Load, us, metric measured, note string, from ...vocab.Key) {
	m := us
	if g.inMetric(from) {
		m = metric
	}
	if !units.Finite(m.value) {
		return
	}
	settling := false
	for _, k := range from {
		settling = settling || g.values[k].settling
	}
	g.out.Numbers = append(g.out.Numbers, Number{
		Name: name, Value: m.value, Unit: m.unit, Load: load, Visit: g.visit, State: g.state,
		Settling: settling, PlusMinus: m.plusMinus, From: from, Note: note,
	})
}

// measured is a value in one unit with its instrument's half width.
type measured struct {
	value     float64
	unit      units.Code
	plusMinus float64
}

func difference(d units.TempDelta, within units.TempDelta) (us, metric measured) {
	return measured{d.DegreesF(), units.CodeDegreesF, within.DegreesF()}, measured{d.DegreesC(), units.CodeDegreesC, within.DegreesC()}
}

func temperature(t units.Temperature, within units.TempDelta) (us, metric measured) {
	return measured{t.F(), units.CodeF, within.DegreesF()}, measured{t.C(), units.CodeC, within.DegreesC()}
}

func same(v float64, unit units.Code, within float64) (us, metric measured) {
	m := measured{v, unit, within}
	return m, m
}
