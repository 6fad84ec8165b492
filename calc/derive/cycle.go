package derive

import (
	"coldcase/calc/cycle"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// What the instruments of the trade leave open (trade-basis, uncertainty rule):
// an analogue gauge 1 psi, a clamp probe 2 F, a glide blend's properties 1.5 F.
const (
	gaugePSI     = 1.0
	probeDegF    = 2.0
	glideDegF    = 1.5
	noticedGlide = 2.0 // F: above, the reply says which line was used
)

func gaugeError() units.PressureDelta { return units.PSI(gaugePSI) }

// saturationError is what a gauge's error is worth in degrees at p.
func (g *group) saturationError(p units.Pressure) units.TempDelta {
	low, err1 := g.fluid.DewTemp(p.Add(-gaugeError()))
	high, err2 := g.fluid.DewTemp(p.Add(gaugeError()))
	if err1 != nil || err2 != nil {
		return units.DegreesF(probeDegF)
	}
	wide := high.Sub(low) / 2
	if g.fluid.IsBlend() && g.glide(p) > units.DegreesF(noticedGlide) {
		wide += units.DegreesF(glideDegF)
	}
	return wide
}

func (g *group) glide(p units.Pressure) units.TempDelta {
	dew, err1 := g.fluid.DewTemp(p)
	bubble, err2 := g.fluid.BubbleTemp(p)
	if err1 != nil || err2 != nil {
		return 0
	}
	return dew.Sub(bubble)
}

// cycleNumbers are the temperatures and ratios of the refrigeration cycle.
func (g *group) cycleNumbers() {
	g.ratio()
	if g.fluid == nil {
		return
	}
	g.saturations()
	g.superheat(EvapSuperheat, vocab.EvapOutletTemp, vocab.SuctionPressure)
	g.superheat(TotalSuperheat, vocab.SuctionLineTemp, vocab.SuctionPressure)
	if g.state == vocab.Running {
		g.superheat(DischargeSuperheat, vocab.DischargeLineTemp, vocab.DischargePressure)
		g.subcooling()
		g.split()
		g.expectedDischarge()
	}
	g.coilTD()
}

func (g *group) ratio() {
	if g.state != vocab.Running || !g.has(vocab.SuctionPressure, vocab.DischargePressure) {
		return
	}
	suction, discharge := g.pressure(vocab.SuctionPressure), g.pressure(vocab.DischargePressure)
	r, err := cycle.CompressionRatio(discharge, suction)
	if err != nil {
		return
	}
	within := r * float64(gaugeError()) * (1/float64(suction) + 1/float64(discharge))
	us, si := same(r, units.CodeRatio, within)
	g.put(CompressionRatio, "", us, si, "", vocab.DischargePressure, vocab.SuctionPressure)
}

func (g *group) saturations() {
	if g.has(vocab.SuctionPressure) {
		g.saturation(SatSuctionTemp, g.fluid.DewTemp, vocab.SuctionPressure)
	}
	if g.has(vocab.DischargePressure) {
		g.saturation(SatDischargeTemp, g.fluid.DewTemp, vocab.DischargePressure)
	}
	if k, ok := g.firstOf(vocab.LiquidPressure, vocab.DischargePressure); ok {
		g.saturation(SatLiquidTemp, g.fluid.BubbleTemp, k)
	}
}

func (g *group) saturation(name Name, line func(units.Pressure) (units.Temperature, error), k vocab.Key) {
	p := g.pressure(k)
	t, err := line(p)
	if err != nil {
		return
	}
	us, si := temperature(t, g.saturationError(p))
	g.put(name, "", us, si, g.fluid.Doubt(), k)
}

func (g *group) superheat(name Name, pipe, at vocab.Key) {
	if !g.has(pipe, at) {
		return
	}
	p := g.pressure(at)
	sh, err := cycle.Superheat(g.fluid, g.temp(pipe), p)
	if err != nil {
		return
	}
	note := ""
	if name == EvapSuperheat {
		note = "taken at the compressor's suction pressure: 1-2 F too high with a long line"
	}
	us, si := difference(sh, g.saturationError(p)+units.DegreesF(probeDegF))
	g.put(name, "", us, si, note, pipe, at)
}

func (g *group) subcooling() {
	k, ok := g.firstOf(vocab.LiquidPressure, vocab.DischargePressure)
	if !ok || !g.has(vocab.LiquidLineTemp) {
		return
	}
	p := g.pressure(k)
	sc, err := cycle.Subcooling(g.fluid, g.temp(vocab.LiquidLineTemp), p)
	if err != nil {
		return
	}
	note := ""
	if k == vocab.DischargePressure {
		note = "from the head pressure: the condenser's drop, about 3 psi (1-2 F), is not taken off"
	}
	us, si := difference(sc, g.saturationError(p)+units.DegreesF(probeDegF))
	g.put(Subcooling, "", us, si, note, vocab.LiquidLineTemp, k)
}

func (g *group) split() {
	if g.heating {
		return
	}
	if !g.has(vocab.AmbientTemp, vocab.DischargePressure) {
		return
	}
	p := g.pressure(vocab.DischargePressure)
	split, err := cycle.CondensingSplit(g.fluid, g.temp(vocab.AmbientTemp), p)
	if err != nil {
		return
	}
	us, si := difference(split, g.saturationError(p)+units.DegreesF(probeDegF))
	g.put(CondensingSplit, "", us, si, "", vocab.AmbientTemp, vocab.DischargePressure)
}

func (g *group) coilTD() {
	if !g.has(vocab.BoxTemp, vocab.SuctionPressure) || g.state != vocab.Running {
		return
	}
	p := g.pressure(vocab.SuctionPressure)
	dew, err := g.fluid.DewTemp(p)
	if err != nil {
		return
	}
	us, si := difference(g.temp(vocab.BoxTemp).Sub(dew), g.saturationError(p)+units.DegreesF(probeDegF))
	g.put(EvapTD, "", us, si, "on dew", vocab.BoxTemp, vocab.SuctionPressure)
}

// Efficiency, suction to discharge (trade-basis 1.6, common practice).
func typicalEfficiency() units.Fraction { return units.Percent(65) }

func (g *group) expectedDischarge() {
	if !g.has(vocab.SuctionPressure, vocab.SuctionLineTemp, vocab.DischargePressure) {
		return
	}
	s, d, line := g.pressure(vocab.SuctionPressure), g.pressure(vocab.DischargePressure), g.temp(vocab.SuctionLineTemp)
	var t units.Temperature
	var err error
	if g.has(vocab.DischargeLineTemp) && g.state == vocab.Running {
		t, err = g.compression(s, line, d)
	} else {
		t, err = cycle.DischargeTemp(g.fluid, s, line, d, typicalEfficiency())
	}
	if err != nil {
		return
	}
	us, si := temperature(t, units.DegreesF(probeDegF))
	g.put(ExpectedDischargeTemp, "", us, si, "at 65 % efficiency, suction to discharge", vocab.SuctionPressure, vocab.SuctionLineTemp, vocab.DischargePressure)
}

// compression holds the measured discharge against the band, and gives its middle.
func (g *group) compression(s units.Pressure, line units.Temperature, d units.Pressure) (units.Temperature, error) {
	band, err := cycle.DischargeBand(g.fluid, s, line, d)
	if err == nil && !g.values[vocab.DischargeLineTemp].settling {
		measured := g.temp(vocab.DischargeLineTemp)
		g.out.Compression = &Compression{UnderDry: band.Best.Sub(measured), OverPoor: measured.Sub(band.Poor)}
	}
	return band.Typical, err
}
