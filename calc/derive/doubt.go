package derive

import (
	"fmt"

	"coldcase/calc/cycle"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// The faults that a doubt can look like.
const (
	GaugesSwapped    = "gauges_swapped"
	WrongRefrigerant = "wrong_refrigerant"
)

// Limits of the cross checks (trade-basis section 9, common practice).
const (
	headBelowSuctionPSI   = 3
	liquidOverSuctionDegF = 150
	liquidUnderSuction    = 10
	coilOverBoxDegF       = 5
	impossibleSuperheat   = -1
	mostSubcoolingDegF    = 60
	condenserUnderAir     = 3
	mostSplitDegF         = 60
)

// findDoubts holds the readings of the group against each other. What can't be
// is put down as a doubt and taken out of the group, so that nothing rests on it.
func (g *group) findDoubts(rec Record) {
	g.stated()
	g.plates()
	if g.state != vocab.Running {
		return
	}
	if g.swappedGauges() {
		return
	}
	if g.fluid != nil && g.wrongFluid() {
		return
	}
	g.temperatures()
	g.sizes()
}

// doubt notes that a reading can't stand and takes it out.
func (g *group) doubt(k vocab.Key, fault, why string, args ...any) {
	g.out.Doubts = append(g.out.Doubts, Doubt{Key: k, Fault: fault, Why: fmt.Sprintf(why, args...)})
	delete(g.values, k)
}

func (g *group) swappedGauges() bool {
	if !g.has(vocab.SuctionPressure, vocab.DischargePressure) {
		return false
	}
	s, d := units.Gauge(g.si(vocab.SuctionPressure)), units.Gauge(g.si(vocab.DischargePressure))
	if d.Sub(s) >= units.PSI(-headBelowSuctionPSI) {
		return false
	}
	g.doubt(vocab.DischargePressure, GaugesSwapped, "Head %.0f psig under suction %.0f psig can't be while it runs. Are the gauges swapped?", d.PSIG(), s.PSIG())
	delete(g.values, vocab.SuctionPressure)
	return true
}

// wrongFluid counts how many of the pairs of pressure and temperature can't be
// with the refrigerant as stated. Two or more point at the refrigerant, one at
// the reading.
func (g *group) wrongFluid() bool {
	var off []mismatch
	for _, check := range []func() (mismatch, bool){g.coldGas, g.deepSubcooling, g.coldCondenser, g.warmCoil, g.coldDischarge} {
		if m, bad := check(); bad {
			off = append(off, m)
		}
	}
	switch {
	case len(off) == 0, len(off) == 1 && off[0].soft:
		return false
	case len(off) >= 2:
		g.out.Doubts = append(g.out.Doubts, Doubt{
			Fact: vocab.Refrigerant, Fault: WrongRefrigerant,
			Why: fmt.Sprintf("%s can't be at these pressures and temperatures: %s. Is it really %s?", g.fluid.Name(), off[0].why, g.fluid.Name()),
		})
		g.fluid = nil
		return true
	}
	g.doubt(off[0].key, "", "%s. Is %s right, and the refrigerant %s?", upperFirst(off[0].why), off[0].what, g.fluid.Name())
	return true
}

// mismatch is one pair that can't be: the reading to ask about, in words too.
type mismatch struct {
	key  vocab.Key
	what string
	why  string
	soft bool // only counts beside another: a dead fan can do it too
}

func (g *group) coldGas() (m mismatch, bad bool) {
	for _, k := range []vocab.Key{vocab.SuctionLineTemp, vocab.EvapOutletTemp} {
		if !g.has(k, vocab.SuctionPressure) {
			continue
		}
		p := g.pressure(vocab.SuctionPressure)
		sh, err := cycle.Superheat(g.fluid, g.temp(k), p)
		within := g.saturationError(p) + units.DegreesF(probeDegF)
		if err == nil && sh < units.DegreesF(impossibleSuperheat)-within {
			return mismatch{key: k, what: "the " + pipeWords(k), why: fmt.Sprintf("the %s is %.0f F under what the suction pressure allows", pipeWords(k), -sh.DegreesF())}, true
		}
	}
	return m, false
}

func (g *group) deepSubcooling() (m mismatch, bad bool) {
	k, ok := g.firstOf(vocab.LiquidPressure, vocab.DischargePressure)
	if !ok || !g.has(vocab.LiquidLineTemp) {
		return m, false
	}
	sc, err := cycle.Subcooling(g.fluid, g.temp(vocab.LiquidLineTemp), g.pressure(k))
	if err != nil {
		return m, false
	}
	switch {
	case sc > units.DegreesF(mostSubcoolingDegF):
		return mismatch{key: vocab.LiquidLineTemp, what: "the liquid line temp", why: fmt.Sprintf("%.0f F of subcooling is more than a condenser gives", sc.DegreesF())}, true
	case sc < units.DegreesF(-15):
		return mismatch{key: vocab.LiquidLineTemp, what: "the liquid line temp", why: fmt.Sprintf("the liquid line is %.0f F over its boiling point", -sc.DegreesF())}, true
	}
	return m, false
}

func (g *group) coldCondenser() (m mismatch, bad bool) {
	if !g.has(vocab.AmbientTemp, vocab.DischargePressure) || g.fluid.Name() == "R744" || g.heating {
		return m, false // the low stage of a CO2 booster condenses nowhere near the air
	}
	split, err := cycle.CondensingSplit(g.fluid, g.temp(vocab.AmbientTemp), g.pressure(vocab.DischargePressure))
	if err != nil {
		return m, false
	}
	switch {
	case split < units.DegreesF(-condenserUnderAir):
		return mismatch{key: vocab.DischargePressure, what: "the head pressure", why: fmt.Sprintf("it would condense %.0f F below the air", -split.DegreesF())}, true
	case split > units.DegreesF(mostSplitDegF):
		return mismatch{soft: true, key: vocab.DischargePressure, what: "the head pressure", why: fmt.Sprintf("it would condense %.0f F above the air", split.DegreesF())}, true
	}
	return m, false
}

func (g *group) warmCoil() (m mismatch, bad bool) {
	if !g.has(vocab.BoxTemp, vocab.SuctionPressure) {
		return m, false
	}
	dew, err := g.fluid.DewTemp(g.pressure(vocab.SuctionPressure))
	if err != nil || dew <= g.temp(vocab.BoxTemp).Add(units.DegreesF(2)) {
		return m, false
	}
	return mismatch{key: vocab.SuctionPressure, what: "the suction pressure", why: fmt.Sprintf("the coil at %.0f F would be warmer than the box", dew.F())}, true
}

func (g *group) coldDischarge() (m mismatch, bad bool) {
	if !g.has(vocab.DischargeLineTemp, vocab.DischargePressure) {
		return m, false
	}
	dew, err := g.fluid.DewTemp(g.pressure(vocab.DischargePressure))
	if err != nil || g.temp(vocab.DischargeLineTemp) >= dew.Add(units.DegreesF(-5)) {
		return m, false
	}
	return mismatch{key: vocab.DischargeLineTemp, what: "the discharge line temp", why: "the discharge line is colder than the condenser"}, true
}

func pipeWords(k vocab.Key) string {
	if k == vocab.EvapOutletTemp {
		return "coil outlet"
	}
	return "suction line"
}

// temperatures of one machine that can't be in this order.
func (g *group) temperatures() {
	over := func(a, b vocab.Key, by float64) bool {
		return g.has(a, b) && g.temp(a).Sub(g.temp(b)) > units.DegreesF(by)
	}
	switch {
	case over(vocab.LiquidLineTemp, vocab.DischargeLineTemp, 0):
		g.doubt(vocab.LiquidLineTemp, "", "A liquid line hotter than the discharge line can't be. Which pipe was it?")
	case over(vocab.LiquidLineTemp, vocab.SuctionLineTemp, liquidOverSuctionDegF):
		g.doubt(vocab.LiquidLineTemp, "", "The liquid line is 150 F over the suction line. Is that right?")
	case over(vocab.SuctionLineTemp, vocab.LiquidLineTemp, liquidUnderSuction):
		g.doubt(vocab.LiquidLineTemp, "", "The liquid line is colder than the suction line. Which pipe was it?")
	}
	if over(vocab.EvapOutletTemp, vocab.BoxTemp, coilOverBoxDegF) {
		g.doubt(vocab.EvapOutletTemp, "", "A coil outlet warmer than the box can't be. Is the probe on the right pipe?")
	}
}

func (g *group) sizes() {
	for _, suction := range []vocab.Key{vocab.SuctionLineSize, vocab.RiserSize} {
		if g.has(vocab.LiquidLineSize, suction) && g.si(vocab.LiquidLineSize) > g.si(suction) {
			g.doubt(vocab.LiquidLineSize, "", "A liquid line bigger than the suction line? Which one is it?")
			return
		}
	}
	if g.has(vocab.Capacity, vocab.MinCapacity) && g.minShare() > 1 {
		g.doubt(vocab.MinCapacity, "", "The lowest step is bigger than full load. Which is which?")
	}
}

// plates are nameplate figures that don't go together.
func (g *group) plates() {
	if g.has(vocab.LockedRotorAmps, vocab.RatedAmps) && g.si(vocab.LockedRotorAmps) < 2.5*g.si(vocab.RatedAmps) {
		g.doubt(vocab.LockedRotorAmps, "", "LRA under 2.5 times RLA can't be right. Read the plate once more?")
	}
	if g.has(vocab.VoltsAb, vocab.VoltsBc, vocab.VoltsCa, vocab.RatedVolts) {
		mean := (g.si(vocab.VoltsAb) + g.si(vocab.VoltsBc) + g.si(vocab.VoltsCa)) / 3
		if off := mean/g.si(vocab.RatedVolts) - 1; mean > 0 && (off > 0.2 || off < -0.2) {
			g.doubt(vocab.RatedVolts, "", "Measured volts are %.0f %% off the plate. Right plate, right tap?", 100*off)
		}
	}
}

// stated keeps a superheat or subcooling that the tech worked out as the number
// itself; a computed one, later in the list, wins over it.
func (g *group) stated() {
	for _, s := range []struct {
		key  vocab.Key
		name Name
		note string
	}{{vocab.Superheat, EvapSuperheat, "as stated, taken as at the coil"}, {vocab.Subcooling, Subcooling, "as stated"}} {
		if g.has(s.key) && g.si(s.key) >= 0 {
			us, si := difference(units.TempDelta(g.si(s.key)), units.DegreesF(probeDegF))
			g.put(s.name, "", us, si, s.note, s.key)
		}
	}
}

func upperFirst(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
