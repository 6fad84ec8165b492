package intake

import (
	"slices"

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
	p.vacuumGoesOn()
	for k := range p.t {
		if f := p.r.questions.At(p.t, k); f.To > k && !p.ruledOut(f.IDs[0]) {
			p.mark(k, f.To, named)
			p.pose(&p.r.words.Questions[f.IDs[0]])
			return
		}
	}
	if i := p.hearQuestion(); i >= 0 {
		p.pose(&p.r.words.Questions[i])
	}
}

// pose gives a question the numbers that it wants.
func (p *parse) pose(q *lexicon.Question) {
	p.m.Question = &Question{About: q.About, Asks: q.Own || q.Asks || p.isAsking(), Own: q.Own, Read: slices.Clone(p.m.Readings), Asked: slices.Clone(p.m.Asks)}
	p.saidBeside(named)
	if p.m.Question.Asks {
		for _, d := range q.Doubts {
			if found, ok := p.m.Findings[d]; ok && !found {
				delete(p.m.Findings, d) // "is the heater ok" does not say that it is
			}
		}
	}
	p.special(q.About, true)
	if q.Cycle && !q.Own {
		p.cycleTemps()
	}
	p.takeAll(q.Take)
	p.special(q.About, false)
	if q.About == "vacuum" {
		p.m.Question.Given = append(p.m.Question.Given, p.looks...)
	}
	if q.Own {
		p.givenOnly()
		p.m.Question.Given = append(p.m.Readings, p.m.Question.Given...)
		asks := p.stillImpossible() // a plan without them would be another plan
		p.m.Readings, p.readAt, p.m.Asks = nil, nil, asks
	}
	if q := p.m.Question; !q.Asks && len(q.Given) == 0 && len(p.m.Readings) == 0 {
		p.m.Question = nil // "amps ok" in passing
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

// givenOnly reads what only a plan gives: evaporating and condensing temperature,
// the charge of an accumulator, the least load as a second number.
func (p *parse) givenOnly() {
	for i := range p.nums {
		q := &p.nums[i]
		switch {
		case q.given:
		case p.besideWord(q, evaporatingWords...):
			p.given(q, EvapTemp)
		case p.besideWord(q, condensingWords...):
			p.given(q, CondTemp)
		case (q.isShare() || q.unit != nil && q.fits(lexicon.Share)) && p.is(q.to, "load", "capacity") && !p.is(q.from-1, "full"):
			p.leastShare(q)
		case (q.unit != nil && q.fits(lexicon.Share) || q.unit == nil && !p.readHere(q)) && p.unloadsTo(q):
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

// cycleTemps gives a question that is not a plan the saturation temperatures that it is
// asked with: "-25 sst 120 cond".
func (p *parse) cycleTemps() {
	for i := range p.nums {
		q := &p.nums[i]
		as := EvapTemp
		switch {
		case q.given:
			continue
		case p.besideWord(q, evaporatingWords...):
		case p.besideWord(q, condensingWords...):
			as = CondTemp
		default:
			continue
		}
		if !slices.ContainsFunc(p.m.Question.Given, func(r Reading) bool { return r.Key == as }) {
			p.take(q, lexicon.Take{Kind: lexicon.Temp, As: as, Unit: "F"})
		}
	}
}

var (
	evaporatingWords = []string{"evap", "sst", "evaporating", "saturated", "saturation", "sat", "suction"}
	condensingWords  = []string{"cond", "condensing", "sct", "sdt"}
)

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

// besideWord: "-20 evap", "evap 20", "sst of -20"; of "18 evap 105 cond" the 18, of
// "evap 18 cond 105" the 18 too.
func (p *parse) besideWord(q *quantity, words ...string) bool {
	if !q.fits(lexicon.Temp) || q.frac {
		return false
	}
	if p.is(q.to, words...) && !p.cycleWordBefore(q) && !(p.is(q.to, "suction") || p.is(q.to, "cond") && p.is(q.to+1, "dirty", "fan")) {
		return true
	}
	at := p.wordBefore(q)
	return p.is(at, words...) && !p.is(at, "suction") && !p.endsUnworded(at)
}

// wordBefore is the token before a number, a "temp" between aside.
func (p *parse) wordBefore(q *quantity) int {
	k := q.from - 1
	for n := 0; n < 2 && p.is(k, "temp", "is", "at", "of", "a", "to"); n++ {
		k--
	}
	return k
}

// cycleWordBefore: the words stand before their numbers, as in "evap 18 cond 105".
func (p *parse) cycleWordBefore(q *quantity) bool {
	at := p.wordBefore(q)
	return (p.is(at, evaporatingWords...) || p.is(at, condensingWords...)) && !p.is(at, "suction") && !p.endsUnworded(at)
}

// endsUnworded: a number ends at token k that has no word of the cycle before it, so
// that the word at k is that number's.
func (p *parse) endsUnworded(k int) bool {
	for i := range p.nums {
		if q := &p.nums[i]; q.to == k {
			return q.fits(lexicon.Temp) && !p.cycleWordBefore(q)
		}
	}
	return false
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

// unloadsTo: "min 33%", "unloads to 25 percent".
func (p *parse) unloadsTo(q *quantity) bool {
	at := q.from - 1
	if p.is(at, "to", "at") {
		at--
	}
	return p.is(at, "min", "minutes", "minimum", "unloaded", "unloads", "unload", "unloading", "turndown", "least", "lowest")
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
	"size_discharge": vocab.SuctionRun, "hot_gas_riser": vocab.RiserHeight, "line_loss": vocab.SuctionRun, "charge_estimate": vocab.LiquidRun, "lift_subcooling": vocab.LiquidLift,
}

func (p *parse) readHere(q *quantity) bool { return slices.Contains(p.readAt, q.core) }
