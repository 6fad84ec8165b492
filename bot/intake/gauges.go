package intake

import (
	"fmt"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// plainPairs reads "54 218 sl 39 ll 86": two bare numbers, low then high, with no words
// of their own, in one breath with the temperatures of the lines.
func (p *parse) plainPairs() {
	for i := 0; i+1 < len(p.nums); i++ {
		if p.isPlainPair(i) && p.besideLines(i) {
			p.put(&p.nums[i], vocab.SuctionPressure)
			p.put(&p.nums[i+1], vocab.DischargePressure)
			return
		}
	}
}

// wonderPlainPairs asks what both of such a pair are where no line temperature stands
// by: neither is dropped.
func (p *parse) wonderPlainPairs() {
	for i := 0; i+1 < len(p.nums); i++ {
		if p.isPlainPair(i) && p.saysSomething() {
			a, b := &p.nums[i], &p.nums[i+1]
			a.used, b.used = true, true
			p.mark(a.from, b.to, counted)
			for _, key := range []vocab.Key{vocab.SuctionPressure, vocab.DischargePressure} {
				p.ask(string(key), fmt.Sprintf("Is %g the suction and %g the head?", a.value, b.value))
			}
		}
	}
}

// isPlainPair: both can be the pressures of a running machine, and no name waits for
// either.
func (p *parse) isPlainPair(i int) bool {
	a, b := &p.nums[i], &p.nums[i+1]
	for _, q := range []*quantity{a, b} {
		if q.used || q.idle || q.unit != nil || q.frac || q.signed || q.doubtful || q.row != 1 || q.value != float64(int(q.value)) {
			return false
		}
	}
	if b.from != a.to || p.waits(a.from) || p.seen(vocab.SuctionPressure) || p.seen(vocab.DischargePressure) {
		return false
	}
	if n := p.namedAt(b.to); n != nil && !p.numberAt(n.to) {
		return false // "218 head"
	}
	return p.usual(a, vocab.SuctionPressure) && p.usual(b, vocab.DischargePressure) && b.value >= leastHead && b.value >= 2*a.value
}

// leastHead in psig of a pair that nothing names. common practice
const leastHead = 100

// waits: a name, at most a small word off, wants the number at token i.
func (p *parse) waits(i int) bool {
	for k := i; k > max(i-3, 0); k-- {
		if p.nameEndsAt(k) {
			return true
		}
		if !p.is(k-1, ":", "=", "is", "at", "was", "of", "to") {
			return k-1 >= 0 && p.t[k-1].Kind == lex.Mark && !lex.EndsClause(p.t[k-1])
		}
	}
	return false
}

// namedAt is the name of a reading that begins at token i.
func (p *parse) namedAt(i int) *name {
	if !p.namedPlain(i) {
		return nil
	}
	return &p.names[p.nameOf[i]]
}

// usual: the value lies where the key's does.
func (p *parse) usual(q *quantity, key vocab.Key) bool {
	span, ok := limits.Plausible(key, p.refrigerant())
	if !ok {
		return false
	}
	v, err := inUnitOf(p.readingOf(q, key), span.Unit)
	return err == nil && v >= span.UnusuallyLow && v <= span.UnusuallyHigh
}

// besideLines: the suction or the liquid line is named with its number in the sentence,
// and no gauge is.
func (p *parse) besideLines(i int) bool {
	lines := false
	for k := range p.names {
		n := &p.names[k]
		if p.sentence[n.from] != p.sentence[p.nums[i].core] {
			continue
		}
		switch n.first() {
		case vocab.SuctionPressure, vocab.DischargePressure:
			if !n.Loose {
				return false
			}
		case vocab.SuctionLineTemp, vocab.LiquidLineTemp:
			lines = lines || p.numberAt(n.to)
		}
	}
	return lines
}

// acrossPart reads "236 before the drier, 198 after": the difference of two pressures
// is the drop of the part, and neither is the head.
func (p *parse) acrossPart() {
	key, at := p.partCrossed()
	if key == "" {
		return
	}
	var before, after *quantity
	for i := range p.nums {
		q := &p.nums[i]
		if q.used || q.idle || q.frac || !(q.bare || q.fits(lexicon.Pressure)) || p.sentence[q.core] != p.sentence[at] {
			continue
		}
		switch {
		case before == nil && p.is(q.to, "before", "into", "entering"):
			before = q
		case after == nil && p.is(q.to, "after", "past", "leaving"):
			after = q
		}
	}
	if before == nil || after == nil || before.value <= after.value {
		return
	}
	drop := *before
	drop.value = before.value - after.value
	p.put(&drop, key)
	before.used, after.used = true, true
	for k := range p.m.Readings {
		if r := &p.m.Readings[k]; r.Key == key && r.Unit == units.CodePSIG {
			r.Unit = units.CodePSI
		}
	}
	p.mark(before.from, after.to, counted)
}

// partCrossed is the drop that is meant by "before drier", "after the suction core".
func (p *parse) partCrossed() (vocab.Key, int) {
	for k := range p.t {
		if !p.is(k, "drier", "core", "cores", "filter") {
			continue
		}
		for b := k - 1; b >= max(k-4, 0); b-- {
			if p.is(b, "before", "after", "into", "past", "entering", "leaving") {
				if p.is(k, "drier") && !p.anyWord(b, k, "suction") {
					return vocab.LiquidDrierDrop, k
				}
				return vocab.SuctionFilterDrop, k
			}
		}
	}
	return "", 0
}

// anyWord: one of the words stands between two tokens.
func (p *parse) anyWord(from, to int, words ...string) bool {
	for k := from; k < to; k++ {
		if p.is(k, words...) {
			return true
		}
	}
	return false
}

// evenSides reads "82 psig both sides", "equalized at 62", "pressures equal at 118 psig":
// one pressure for both gauges, of a machine at rest unless it is said to run.
func (p *parse) evenSides() {
	for i := range p.nums {
		q := &p.nums[i]
		if q.used || q.idle || q.frac || q.row != 1 || !(q.bare || q.fits(lexicon.Pressure)) || !p.isEven(q) {
			continue
		}
		p.put(q, vocab.SuctionPressure)
		p.put(q, vocab.DischargePressure)
		p.even = append(p.even, q.core)
		return
	}
}

// saysEqual: "pressures equalized at 62": the words are a finding beside their number.
func (p *parse) saysEqual() bool {
	return len(p.even) > 0 && p.heard("even") && p.says("pressure")
}

// isEven: words that name both sides stand by the number.
func (p *parse) isEven(q *quantity) bool {
	if _, ok := p.listed("both_sides", q.to); ok {
		return true
	}
	k := q.from
	for k > 0 && p.is(k-1, "at", "is", "are", "were", "=", ":", "reads", "read") {
		k--
	}
	from, ok := p.listedBefore("both_sides", k)
	if !ok {
		from, ok = p.listedBefore("even", k)
		ok = ok && k < q.from
	}
	return ok && !p.deniedHere(from)
}

// outAndIn reads "lp set 10 out 30 in": where the control opens and closes.
func (p *parse) outAndIn() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		first, second := p.sideOfControl(a), p.sideOfControl(b)
		if first == "" || second == "" || first == second || p.sentence[a.core] != p.sentence[b.core] || !p.anyOf("control_words", max(a.from-controlReach, 0), a.from) {
			continue
		}
		for _, q := range []*quantity{a, b} {
			if q.unit != nil && !q.fits(lexicon.Pressure) {
				q.unit, q.bare, q.to = nil, true, q.numTo // the "in" is no inch
			}
		}
		p.put(a, first)
		p.put(b, second)
		p.mark(a.from, min(b.to+1, len(p.t)), counted)
		return
	}
}

// isSetting: the control is named before the "10" of "lp set 10 out 30 in".
func (p *parse) isSetting(q *quantity) bool {
	return p.is(q.to, "out") && p.anyOf("control_words", max(q.from-controlReach, 0), q.from)
}

// controlReach is how many tokens before its settings the control may be named.
const controlReach = 5

// sideOfControl: "10 out", "30 in", "out 10": what a setting of the control is.
func (p *parse) sideOfControl(q *quantity) vocab.Key {
	if q.used || q.idle || q.frac {
		return ""
	}
	k := q.numTo
	if q.unit != nil && q.fits(lexicon.Pressure) {
		k = q.to
	}
	switch {
	case p.is(k, "out"):
		return vocab.CutOutPressure
	case k < len(p.t) && p.t[k].Plain == "in":
		return vocab.CutInPressure
	}
	return ""
}
