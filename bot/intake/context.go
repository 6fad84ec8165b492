package intake

import (
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

func (c Context) known(k vocab.Key) bool {
	_, ok := c.Last[k]
	return ok
}

// test the number belongs to: a vacuum, a pump-down or a nitrogen hold.
type test string

const (
	noTest       test = ""
	vacuumTest   test = "vacuum"
	pumpdownTest test = "pumpdown"
	holdingTest  test = "test"
)

// testAt finds the test that was told of last before token i, in the sentence or
// the one before it.
func (p *parse) testAt(i int) test {
	found := noTest
	for _, s := range p.slots {
		if s.from > i || p.sentence[i]-p.sentence[s.from] > 1 {
			continue
		}
		switch s.Name {
		case "vacuum", "pumpdown", "test":
			if s.Name == "vacuum" && found == pumpdownTest && p.sentence[s.from] == p.sentence[i] && !p.micronNear(i) {
				continue
			}
			found = test(s.Name)
		}
	}
	if found == noTest && p.micronNear(i) {
		return vacuumTest
	}
	return found
}

func (p *parse) micronNear(i int) bool {
	for _, q := range p.nums {
		if q.kind() == lexicon.Mic && p.sentence[q.from] == p.sentence[i] {
			return true
		}
	}
	return false
}

// inContext turns the words that tests share into the keys of the test told of.
func (p *parse) inContext(s *slotAt, key vocab.Key, q *quantity) (vocab.Key, bool) {
	at := p.testAt(q.from)
	switch s.Name {
	case "hold":
		if q.kind() != lexicon.Time {
			return "", false
		}
		switch at {
		case vacuumTest:
			return vocab.VacuumHoldTime, true
		case pumpdownTest:
			return vocab.PumpdownWaitTime, true
		}
		return "", false
	case "rise":
		return p.risen(at, q)
	case "test":
		return p.heldPressure(q)
	case "pumpdown":
		if p.seen(vocab.PumpdownPressure) {
			return "", false
		}
		return vocab.PumpdownPressure, q.kind() == "" || q.kind() == lexicon.Pressure || q.kind() == lexicon.Pounds
	case "age":
		return key, p.ageStands(s, q)
	case "riser_rise":
		return key, p.riserNear(s)
	case "volts", "amps", "ohms":
		if p.plateNear(q) && s.Name != "ohms" {
			return map[string]vocab.Key{"volts": vocab.RatedVolts, "amps": vocab.RatedAmps}[s.Name], true
		}
		if q.size >= 2 {
			return s.Triple[min(q.place, 2)], true
		}
		return p.askKeys(s.Ask), true
	case "vacuum":
		if key == vocab.VacuumLevel && p.seen(vocab.VacuumLevel) {
			return vocab.VacuumRiseLevel, true
		}
	}
	return key, key != ""
}

func (p *parse) seen(k vocab.Key) bool {
	for _, r := range p.m.Readings {
		if r.Key == k {
			return true
		}
	}
	return false
}

// risen is the value after the wait.
func (p *parse) risen(at test, q *quantity) (vocab.Key, bool) {
	kind := q.kind()
	switch at {
	case vacuumTest:
		return vocab.VacuumRiseLevel, (kind == "" && q.value >= 30 || kind == lexicon.Mic) && p.seen(vocab.VacuumLevel)
	case pumpdownTest:
		return vocab.PumpdownRisePressure, (kind == "" || kind == lexicon.Pressure || kind == lexicon.Pounds) && p.seen(vocab.PumpdownPressure)
	}
	return "", false
}

// heldPressure is the start of a nitrogen hold, then its end.
func (p *parse) heldPressure(q *quantity) (vocab.Key, bool) {
	switch q.kind() {
	case "", lexicon.Pressure, lexicon.Pounds:
	default:
		return "", false
	}
	if p.seen(vocab.TestPressureStart) {
		return vocab.TestPressureEnd, true
	}
	if p.moreToCome(q) || p.ctx.known(vocab.TestPressureStart) {
		return vocab.TestPressureStart, true
	}
	return "ask:test_pressure_start test_pressure_end", true
}

// moreToCome reports whether another pressure follows, or the word start, so
// that the first one is the start.
func (p *parse) moreToCome(q *quantity) bool {
	for i := range p.nums {
		o := &p.nums[i]
		if o.from > q.from && !o.ignored && (o.kind() == "" || o.kind() == lexicon.Pressure || o.kind() == lexicon.Pounds || o.kind() == lexicon.Temp) {
			return true
		}
	}
	return p.wordIs("start", "started", "initial", "beginning")
}

// ageStands takes a time for the compressor's age only where its words say so.
func (p *parse) ageStands(s *slotAt, q *quantity) bool {
	switch w := p.t[s.from].Text; w {
	case "ran", "lasted", "been", "installed", "only", "is":
		return s.to <= q.from
	case "old", "service", "de", "year", "month", "weeks", "years", "months", "yrs", "yr", "in":
		return s.from >= q.core
	}
	return true
}

// riserNear lets "14 ft up" be the riser's height only when a riser is told of.
func (p *parse) riserNear(s *slotAt) bool {
	for _, o := range p.slots {
		if o.Name == "riser" && p.sentence[o.from] == p.sentence[s.from] {
			return true
		}
	}
	return false
}
