package intake

import (
	"math"
	"slices"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// Keys of what only a question gives: no readings of a case, so none of readings.md.
const (
	EvapTemp vocab.Key = "sat_suction_temp"
	CondTemp vocab.Key = "sat_discharge_temp"
)

// findQuestion reads a request for a calculation. The numbers of a plan ("size riser
// … 9000 btu") belong to it and not to the case; measured ones stay the case's.
func (p *parse) findQuestion() {
	p.saidBeside(unused)
	for k := range p.t {
		f := p.r.questions.At(p.t, k)
		if f.To == k || p.saysAny(p.r.unless[f.IDs[0]]) {
			continue
		}
		q := &p.r.words.Questions[f.IDs[0]]
		p.m.Question = &Question{About: q.About, Asks: q.Own || q.Asks || p.isAsking(), Own: q.Own, Read: slices.Clone(p.m.Readings), Asked: slices.Clone(p.m.Asks)}
		p.mark(k, f.To, named)
		p.saidBeside(named)
		if p.m.Question.Asks {
			for _, d := range q.Doubts {
				if found, ok := p.m.Findings[d]; ok && !found {
					delete(p.m.Findings, d) // "is the heater ok" does not say that it is
				}
			}
		}
		if q.About == "suction_filter" {
			p.dropAndSuction()
		}
		p.takeAll(q.Take)
		p.special(q.About)
		if q.Own {
			p.givenOnly()
			p.m.Question.Given = append(p.m.Readings, p.m.Question.Given...)
			p.m.Readings, p.readAt, p.m.Asks = nil, nil, nil
		}
		if q := p.m.Question; !q.Asks && len(q.Given) == 0 && len(p.m.Readings) == 0 {
			p.m.Question = nil // "amps ok" in passing
		}
		return
	}
}

// isAsking: a question mark, or a word that asks.
func (p *parse) isAsking() bool {
	for k := range p.t {
		if _, ok := p.listed("asking", k); ok || p.t[k].Text == "?" {
			return true
		}
		if _, ok := p.listed("asking_first", k); ok && p.beginsPart(k) {
			return true
		}
	}
	return false
}

// beginsPart: token k is the first of its part between commas, a "so" or "ok" aside.
func (p *parse) beginsPart(k int) bool {
	for k > 0 && p.chunk[k-1] == p.chunk[k] && p.is(k-1, "so", "ok", "hey", "and", "but", "also") {
		k--
	}
	return k == 0 || p.chunk[k-1] != p.chunk[k]
}

func (p *parse) saysAny(phrases *lex.Phrases) bool {
	for k := range p.t {
		if phrases.At(p.t, k).To > k {
			return true
		}
	}
	return false
}

// saidBeside hears the words that a question or a test turns on: "then stopped",
// "burnout".
func (p *parse) saidBeside(as use) {
	for k := range p.t {
		f := p.r.beside.At(p.t, k)
		for _, id := range f.IDs {
			if p.m.Said == nil {
				p.m.Said = map[string]bool{}
			}
			p.m.Said[p.r.besideNames[id]] = true
			if as != unused {
				p.mark(k, f.To, as)
			}
		}
	}
}

// takeAll gives a question the numbers that only it wants, each to the first take
// that it fits.
func (p *parse) takeAll(takes []lexicon.Take) {
	for _, t := range takes {
		if p.seen(t.As) {
			continue
		}
		for i := range p.nums {
			if q := &p.nums[i]; !q.given && p.takes(q, t) {
				p.take(q, t)
				break
			}
		}
	}
}

// special reads what no list of takes can: which mass is the whole charge, and which
// time is from start to start.
func (p *parse) special(about string) {
	switch about {
	case "leak_rate":
		p.leakMasses()
	case "short_cycling":
		if given := p.m.Question.Given; len(given) == 1 && given[0].Key == "run_time" && p.says("every") {
			given[0].Key = "cycle_time"
		}
	case "heater_check":
		delete(p.m.Circumstances, vocab.SinglePhaseSupply) // volts of the heater, not of the machine
	}
}

// dropAndSuction: of "4 psi drop at 40 psig" the gauge pressure is no drop.
func (p *parse) dropAndSuction() {
	var gauge, drop *quantity
	for i := range p.nums {
		switch q := &p.nums[i]; {
		case q.unit == nil:
		case p.is(q.to-1, "psig"):
			gauge = q
		case p.is(q.to-1, "psi"):
			drop = q
		}
	}
	if gauge == nil || drop == nil {
		return
	}
	p.forget(gauge)
	p.put(gauge, vocab.SuctionPressure)
	p.forget(drop)
	p.put(drop, vocab.SuctionFilterDrop)
}

// leakMasses: the largest mass that is no addition is the charge of the system; the
// others were added.
func (p *parse) leakMasses() {
	var charge *quantity
	var added float64
	for i := range p.nums {
		q := &p.nums[i]
		bare := q.unit == nil && !q.frac && p.is(q.from-1, "of")
		if q.given || !bare && (q.unit == nil || !q.fits(lexicon.Mass)) {
			continue
		}
		if charge == nil || q.value > charge.value {
			charge, q = q, charge
		}
		if q != nil {
			added += q.value
		}
	}
	if charge == nil {
		return
	}
	give := func(key vocab.Key, q *quantity, v float64) {
		p.take(q, lexicon.Take{Kind: lexicon.Mass, As: key, Unit: "lb"})
		given := p.m.Question.Given
		given[len(given)-1].Value *= v / q.value
	}
	for i := range p.nums {
		if q := &p.nums[i]; added > 0 && !q.given && q != charge && q.unit != nil && q.fits(lexicon.Mass) {
			give(vocab.ChargeAdded, q, added)
			break
		}
	}
	give(vocab.SystemCharge, charge, charge.value)
	p.drop(vocab.ChargeAdded)
	p.drop(vocab.SystemCharge)
	for i := range p.nums {
		if q := &p.nums[i]; q.unit != nil && q.fits(lexicon.Mass) {
			q.given = true
		}
	}
}

func (p *parse) takes(q *quantity, t lexicon.Take) bool {
	switch {
	case !t.Over && (q.earlier || p.readHere(q) || q.refused):
		return false
	case len(t.By) > 0 && !p.is(q.from-1, t.By...) && !p.is(q.to, t.By...):
		return false
	case q.unit == nil:
		return t.Bare && q.frac == (t.Kind == lexicon.Size)
	}
	return q.fits(t.Kind)
}

// take keeps a number for the question and forgets what else it was read as, or
// asked about.
func (p *parse) take(q *quantity, t lexicon.Take) {
	r := vocab.Reading{Key: t.As, Value: q.value, Unit: t.Unit, Assumed: q.unit == nil, Approx: q.approx, Span: &[2]int{p.t[q.from].From, p.t[q.to-1].To}}
	if q.unit != nil {
		code, times, _ := q.unit.Code(t.Kind)
		r.Value, r.Unit = q.value*times, code
		if v, err := inUnitOf(r, t.Unit); t.Unit != "" && t.Unit != code && err == nil {
			r.Value, r.Unit = v, t.Unit
		}
		if times != 1 {
			r.Value = math.Round(100*r.Value) / 100
		}
	}
	p.forget(q)
	q.given = true
	p.m.Question.Given = append(p.m.Question.Given, Reading{Reading: r, State: p.stateOf(q.core)})
	p.mark(q.from, q.to, counted)
}

// forget takes back what a number was read as, or the question that it raised.
func (p *parse) forget(q *quantity) {
	for i := len(p.readAt) - 1; i >= 0; i-- {
		if p.readAt[i] == q.core {
			p.drop(p.m.Readings[i].Key)
			return
		}
	}
	p.m.Asks = slices.DeleteFunc(p.m.Asks, func(a Ask) bool {
		return a.Why == p.notSure(q) || q.used && q.fits(lexicon.KindOf(vocab.Key(a.Key)))
	})
}

// givenOnly reads what only a plan gives: evaporating and condensing temperature,
// the charge of an accumulator, the least load as a second number.
func (p *parse) givenOnly() {
	for i := range p.nums {
		q := &p.nums[i]
		switch {
		case q.given:
		case p.besideWord(q, "evap", "sst", "evaporating", "suction"):
			p.given(q, EvapTemp)
		case p.besideWord(q, "cond", "condensing", "sct", "sdt"):
			p.given(q, CondTemp)
		case (q.unit != nil && q.fits(lexicon.Share) || q.unit == nil && !p.readHere(q)) && p.is(q.from-1, "min", "minutes", "minimum", "unloaded", "unloads"):
			p.leastShare(q)
		case q.unit != nil && q.fits(lexicon.Mass) && !p.seen(vocab.SystemCharge) && !p.readHere(q):
			p.put(q, vocab.SystemCharge)
		case q.unit != nil && q.fits(lexicon.Length) && !p.readHere(q):
			if k := p.lengthOf(); k != "" && !p.seen(k) {
				p.put(q, k)
			}
		case q.unit == nil && q.signed && q.value < 0 && !p.readHere(q) && !p.seen(EvapTemp):
			p.given(q, EvapTemp) // "404a -25": nothing else of a pipe is below zero
		}
		p.mark(q.from, q.to, counted)
	}
}

// given keeps a temperature of the cycle.
func (p *parse) given(q *quantity, key vocab.Key) {
	if p.seen(key) {
		return
	}
	p.forget(q)
	r := p.readingOf(q, vocab.EvapOutletTemp)
	r.Key = key
	p.replace(Reading{Reading: r}, q.core)
}

// besideWord: "-20 evap", "evap 20", "sst of -20"; of "18 evap 105 cond" the 18.
func (p *parse) besideWord(q *quantity, words ...string) bool {
	if !q.fits(lexicon.Temp) || q.frac {
		return false
	}
	if p.is(q.to, words...) && !(p.is(q.to, "suction") || p.is(q.to, "cond") && p.is(q.to+1, "dirty", "fan")) {
		return true
	}
	at := q.from - 1
	if p.is(at, "temp") {
		at--
	}
	return p.is(at, words...) && !p.is(at, "suction") && !p.numberEndsAt(at)
}

func (p *parse) numberEndsAt(k int) bool {
	return slices.ContainsFunc(p.nums, func(q quantity) bool { return q.to == k })
}

// leastShare: "31500 btu min 33%" is the full load and its least share, whatever
// the load was taken for.
func (p *parse) leastShare(q *quantity) {
	for i := range p.m.Readings {
		if r := &p.m.Readings[i]; r.Key == vocab.MinCapacity && !p.seen(vocab.Capacity) {
			r.Key = vocab.Capacity
		}
	}
	p.forget(q)
	p.put(q, vocab.MinCapacity)
}

// lengthOf is what a bare length is in a question.
func (p *parse) lengthOf() vocab.Key {
	about := p.m.Question.About
	if about == "size_discharge" && p.says("riser") {
		return vocab.RiserHeight
	}
	return lengthAsked[about]
}

var lengthAsked = map[string]vocab.Key{
	"size_riser": vocab.RiserHeight, "double_riser": vocab.RiserHeight, "oil_return": vocab.RiserHeight,
	"size_suction": vocab.SuctionRun, "size_liquid": vocab.LiquidRun, "flash_check": vocab.LiquidLift,
	"size_discharge": vocab.SuctionRun, "charge_estimate": vocab.LiquidRun, "lift_subcooling": vocab.LiquidLift,
}

func (p *parse) readHere(q *quantity) bool { return slices.Contains(p.readAt, q.core) }
