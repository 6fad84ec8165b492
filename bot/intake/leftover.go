package intake

import (
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// leftOver deals with numbers that no slot took: by their unit alone, as the
// answer to what was asked, or by asking.
func (p *parse) leftOver() {
	if p.answer() {
		return
	}
	for i := range p.nums {
		q := &p.nums[i]
		if q.used || q.ignored {
			continue
		}
		p.byUnit(q)
	}
	p.nitrogenRows()
}

// answer takes a lone number for what the helper asked last, or asks which
// reading it is.
func (p *parse) answer() bool {
	if len(p.nums) != 1 || p.nums[0].used || p.nums[0].from != 0 || p.nums[0].to != len(p.t) {
		return false
	}
	q := &p.nums[0]
	if def, ok := vocab.Define(p.ctx.Asked); ok && p.fits(def, q) {
		p.put(q, p.ctx.Asked)
		return true
	}
	if q.unit == nil && !q.fraction {
		q.used = true
		p.take(q.from, q.to)
		p.ask(WhichReading, "Which reading is that?")
		return true
	}
	return false
}

// fits reports whether the number's unit goes with a key.
func (p *parse) fits(def vocab.Definition, q *quantity) bool {
	if q.unit == nil || q.unit.Code == "" {
		return true
	}
	_, err := vocab.SI(vocab.Reading{Key: def.Key, Value: 1, Unit: p.unitFor(def, q)}, 0)
	kinds := map[vocab.Quantity]lexicon.Kind{vocab.Temperature: lexicon.Temp, vocab.GaugePressure: lexicon.Pressure, vocab.Voltage: lexicon.Volt, vocab.Current: lexicon.Amp, vocab.Resistance: lexicon.Ohm, vocab.Insulation: lexicon.Meg, vocab.Length: lexicon.Length, vocab.Mass: lexicon.Mass}
	want, ok := kinds[def.Quantity]
	return err == nil && (!ok || want == q.kind() || q.kind() == lexicon.Pounds)
}

// byUnit reads or asks about a number by its unit alone.
func (p *parse) byUnit(q *quantity) {
	put := func(k vocab.Key) { p.put(q, k) }
	ask := func(keys ...vocab.Key) {
		q.used = true
		p.take(q.from, q.to)
		for _, k := range keys {
			p.ask(string(k), "Not sure what "+p.textOf(q.from, q.to)+" is.")
		}
	}
	switch q.kind() {
	case lexicon.Heat:
		switch {
		case q.unit.Code == units.CodeBtuPerHour && p.seen(vocab.Capacity), q.unit.Code != "" && p.seen(vocab.Capacity):
		default:
			put(vocab.Capacity)
		}
	case lexicon.Mic:
		if p.seen(vocab.VacuumLevel) {
			put(vocab.VacuumRiseLevel)
		} else {
			put(vocab.VacuumLevel)
		}
	case lexicon.Meg:
		put(vocab.InsulationMegohms)
	case lexicon.Freq:
		put(vocab.StartsPerHour)
	case lexicon.Volt:
		if p.plateSentence(q) {
			put(vocab.RatedVolts)
		} else if q.size <= 1 {
			ask(vocab.VoltsAb)
		}
	case lexicon.Amp:
		if p.plateSentence(q) {
			put(vocab.RatedAmps)
		} else {
			ask(vocab.AmpsA)
		}
	case lexicon.Ohm:
		ask(vocab.OhmsAb)
	case lexicon.Pressure:
		switch {
		case q.unit.Code == units.CodeInHgVacuum:
			put(vocab.SuctionPressure)
		case p.testAt(q.from) == pumpdownTest && p.seen(vocab.PumpdownPressure):
			put(vocab.PumpdownRisePressure)
		case !p.testTold(q):
			ask(vocab.SuctionPressure)
		}
	case lexicon.Volume:
		if p.wordIs("accumulator", "accum", "acumulador", "acc") {
			put(vocab.AccumulatorVolume)
		}
	case lexicon.Length:
		const mountain = 2000 // ft: no pipe is that long
		if q.unit.Code == units.CodeFeet && q.value >= mountain {
			put(vocab.Altitude)
		}
	case lexicon.Time:
		switch p.testAt(q.from) {
		case vacuumTest:
			put(vocab.VacuumHoldTime)
		case pumpdownTest:
			put(vocab.PumpdownWaitTime)
		}
	}
}

func (p *parse) plateSentence(q *quantity) bool {
	for _, s := range p.slots {
		if s.Plate && p.sentence[s.from] == p.sentence[q.from] {
			return true
		}
	}
	return false
}

func (p *parse) testTold(q *quantity) bool { return p.testAt(q.from) == holdingTest }

// nitrogenRows reads the pressures and temperatures of a nitrogen hold in the
// order they were told: first the start's, then the end's.
func (p *parse) nitrogenRows() {
	pressures := []vocab.Key{vocab.TestPressureStart, vocab.TestPressureEnd}
	temps := []vocab.Key{vocab.TestTempStart, vocab.TestTempEnd}
	next := func(keys []vocab.Key) vocab.Key {
		for _, k := range keys {
			if !p.seen(k) {
				return k
			}
		}
		return ""
	}
	for i := range p.nums {
		q := &p.nums[i]
		if q.used || q.ignored || p.testAt(q.from) != holdingTest {
			continue
		}
		switch q.kind() {
		case lexicon.Pressure, lexicon.Pounds:
			if k := next(pressures); k != "" {
				p.put(q, k)
			}
		case lexicon.Temp:
			if k := next(temps); k != "" {
				p.put(q, k)
			}
		case "":
			if q.value >= 100 {
				if k := next(pressures); k != "" {
					p.put(q, k)
				}
			} else if k := next(temps); k != "" && p.seen(vocab.TestPressureStart) {
				p.put(q, k)
			}
		}
	}
}
