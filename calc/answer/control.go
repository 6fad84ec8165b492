package answer

import (
	"errors"

	"coldcase/calc/cycle"
	"coldcase/calc/protect"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

func (a *asked) lpControl() {
	if !a.needFluid() {
		return
	}
	c := protect.Control{Pumpdown: a.q.Facts[vocab.HasPumpdownSolenoid] != "no"}
	if a.has(vocab.BoxTemp) {
		c.Box = a.temp(vocab.BoxTemp)
	}
	a.takenBox(&c)
	if a.has(vocab.AmbientTemp) {
		c.Winter = a.temp(vocab.AmbientTemp)
		a.assume("coldest outdoor air " + a.sayTemp(c.Winter))
	}
	if a.has(EvaporatingTemp) {
		c.LowestSuction = a.temp(EvaporatingTemp)
	}
	if !a.has(vocab.CutInPressure, vocab.CutOutPressure) {
		a.suggestControl(c)
		return
	}
	c.CutIn, c.CutOut = units.Gauge(a.si(vocab.CutInPressure)), units.Gauge(a.si(vocab.CutOutPressure))
	got, err := protect.LowPressureControl(a.fluid, c, a.air)
	if a.fail(err) {
		return
	}
	a.controlNumbers(c, got)
	a.judge(limits.OK)
	for _, fault := range got.Faults {
		a.judge(limits.Bad)
		a.line("%s", fault)
	}
	if len(got.Faults) == 0 {
		a.line("settings hold: cut-in is %s, cut-out %s on dew, differential %s", a.sayTemp(got.CutInDew), a.sayTemp(got.CutOutDew), a.sayDrop(got.Differential))
	}
}

// takenBox is the usual box of a freezer or a cooler where a setting is asked for and
// none is said. Outdoors the coldest air is asked for: the answer holds without it only
// where it never gets that cold.
func (a *asked) takenBox(c *protect.Control) {
	if a.has(vocab.CutInPressure, vocab.CutOutPressure) {
		return
	}
	if !a.has(vocab.AmbientTemp) && (a.q.Said[Outdoors] || a.q.Told[vocab.ColdWeather]) {
		a.r.Missing = append(a.r.Missing, Missing{Key: vocab.AmbientTemp, Why: "the coldest it gets out there: the cut-in has to lie under the pressure at that, or it won't restart"})
	}
	if a.has(vocab.BoxTemp) {
		return
	}
	switch a.application() {
	case "low":
		c.Box = a.assumedTemp("box", "assume_freezer_F")
	case "medium":
		c.Box = a.assumedTemp("box", "assume_box_F")
	}
}

func (a *asked) controlNumbers(c protect.Control, got protect.ControlCheck) {
	a.putGauge("cut_in", c.CutIn)
	a.putGauge("cut_out", c.CutOut)
	a.putTemp("cut_in_dew", got.CutInDew)
	a.putTemp("cut_out_dew", got.CutOutDew)
	a.putDrop("differential", got.Differential)
	if c.Winter > 0 {
		a.putGauge("winter_pressure", got.WinterPressure)
	}
}

func (a *asked) suggestControl(c protect.Control) {
	if c.Box == 0 {
		a.miss(vocab.BoxTemp)
		return
	}
	c, err := protect.SuggestControl(a.fluid, c, a.air)
	var out *cycle.RangeError
	if errors.As(err, &out) && out.High < out.Low {
		a.judge(limits.Bad)
		if c.Winter == 0 {
			a.line("no setting does for that box: the pressure of %s is too low there for a cut-in %s over a cut-out of 0 psig", a.fluid.Name(), a.sayDrop(units.PSI(limits.Value("pumpdown_differential_psi"))))
			return
		}
		a.line("no setting does for both that winter and that box: the pressure at %s is too low to restart on. Heat or shelter it, or run it on a thermostat with pump-down", a.sayTemp(c.Winter))
		return
	}
	if a.fail(err) {
		return
	}
	got, err := protect.LowPressureControl(a.fluid, c, a.air)
	if a.fail(err) {
		return
	}
	a.controlNumbers(c, got)
	a.assume("pump-down; the maker's settings win")
	a.line("cut-in %s (%s dew), cut-out %s (%s)", a.sayGauge(c.CutIn), a.sayTemp(got.CutInDew), a.sayGauge(c.CutOut), a.sayTemp(got.CutOutDew))
}
