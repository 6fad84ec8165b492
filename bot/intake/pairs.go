package intake

import (
	"fmt"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/limits"
	"coldcase/refdata/vocab"
)

// gaugePairs reads 68/250 before all else.
func (p *parse) gaugePairs() {
	for i := 0; i+1 < len(p.nums); i++ {
		if p.nums[i].row != 2 || p.nums[i].used {
			continue
		}
		if p.isSupplyPair(i) {
			p.setSupply(i)
		} else if a, b, ok := p.pairIsGauges(i); ok {
			p.put(&p.nums[i], a)
			p.put(&p.nums[i+1], b)
		} else {
			p.nums[i].row, p.nums[i+1].row = 1, 1
			p.wonderPair(i)
		}
	}
}

// wonderPair asks which is which of "212 over 24", "320/180": no word tells.
func (p *parse) wonderPair(i int) {
	a, b := &p.nums[i], &p.nums[i+1]
	if a.rowBy != bySlash || a.idle || b.idle || a.unit != nil && !a.fits(lexicon.Pressure) || a.value < 1 || b.value < 1 || a.value > 1900 || max(a.value, b.value) < 60 || p.nearName(a.from, b.to) {
		return
	}
	if p.isDate(a) || p.isDate(b) || p.is(b.to, "/") || p.is(a.from-1, "/") {
		return
	}
	p.wonder(a, vocab.SuctionPressure, vocab.DischargePressure)
	p.wonder(b, vocab.SuctionPressure, vocab.DischargePressure)
}

// nearName: a reading's name stands within two tokens of from..to.
func (p *parse) nearName(from, to int) bool {
	for k := max(from-2, 0); k < min(to+2, len(p.t)); k++ {
		if p.nameOf[k] >= 0 {
			return true
		}
	}
	return false
}

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
	return p.usual(a, vocab.SuctionPressure) && p.usual(b, vocab.DischargePressure) && b.value >= p.r.words.Sizes.LeastHead && b.value >= p.r.words.Sizes.HeadOfSuction*a.value
}

// waits: a name, at most a small word off, wants the number at token i.
func (p *parse) waits(i int) bool {
	for k := i; k > max(i-3, 0); k-- {
		if p.nameEndsAt(k) {
			return true
		}
		if !p.isOne("links", k-1) {
			return k-1 >= 0 && p.t[k-1].Kind == lex.Mark && !lex.EndsClause(&p.t[k-1])
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

// pairAlone asks about two bare numbers with nothing but small words: "28 240".
func (p *parse) pairAlone() bool {
	a, b := &p.nums[0], &p.nums[1]
	if a.used || b.used || a.idle || b.idle || a.unit != nil || b.unit != nil || a.frac || b.frac || b.from != a.to {
		return false
	}
	for k := range p.t {
		_, small := p.listed("small", k)
		if p.t[k].Kind == lex.Word && p.numOf[k] < 0 && p.use[k] == unused && !small {
			return false
		}
	}
	for _, q := range []*quantity{a, b} {
		p.wonder(q, vocab.SuctionPressure, vocab.DischargePressure)
	}
	return true
}

// pairIsGauges reads 68/250 as suction and head: no word names it otherwise,
// and low stands before high unless the words turn it round.
func (p *parse) pairIsGauges(i int) (low, high vocab.Key, ok bool) {
	a, b := &p.nums[i], &p.nums[i+1]
	if a.row != 2 || !a.fits(lexicon.Pressure) || !b.fits(lexicon.Pressure) || a.idle {
		return "", "", false
	}
	if a.rowBy == byAnd && p.is(a.from-1, "the") {
		return "", "", false // "stuck at the 5 and 805"
	}
	if a.unit == nil && b.unit == nil && (b.value < 20 || a.value > 999 || b.value > 1900) {
		return "", "", false
	}
	if span, _ := limits.Plausible(vocab.SuctionPressure, p.refrigerant()); a.unit == nil && a.value > span.UnusuallyHigh && b.value > span.UnusuallyHigh && !p.nameEndsAt(a.from) && !p.gaugeNamed(b.to) {
		return "", "", false
	}
	if a.value == b.value && a.rowBy >= byAnd && p.saysGauges(a.from) {
		return vocab.SuctionPressure, vocab.DischargePressure, true // "pressures are 60 and 60"
	}
	if a.rowBy == byAnd && (b.value < 60 || a.value >= b.value) && a.bare {
		return "", "", false
	}
	first, others := p.pairNames(i)
	switch {
	case others:
		return "", "", false
	case first == vocab.DischargePressure:
		return vocab.DischargePressure, vocab.SuctionPressure, true
	case first == vocab.SuctionPressure:
		return vocab.SuctionPressure, vocab.DischargePressure, true
	}
	if p.highFirst(a.from) {
		return vocab.DischargePressure, vocab.SuctionPressure, true
	}
	return vocab.SuctionPressure, vocab.DischargePressure, a.value < b.value
}

// highFirst: "high/low 212/24".
func (p *parse) highFirst(i int) bool {
	if p.is(i-1, ":", "=", "is") {
		i--
	}
	return p.is(i-1, "low", "lo") && p.is(i-2, "/", "over") && p.is(i-3, "high", "hi")
}

// saysGauges: pressures or both gauges are named before token i in its sentence.
func (p *parse) saysGauges(i int) bool {
	suction, head := false, false
	for k := i - 1; k >= 0 && p.sentence[k] == p.sentence[i]; k-- {
		if p.is(k, "pressure", "gauges", "both") {
			return true
		}
		suction, head = suction || p.isOne("low_gauge", k), head || p.isOne("high_gauge", k)
	}
	return suction && head
}

// gaugeNamed: "320/180 head/suct", "on the gauges".
func (p *parse) gaugeNamed(i int) bool {
	for k := i; k < len(p.t) && k < i+3; k++ {
		if p.nameOf[k] >= 0 {
			return true
		}
	}
	return false
}

// pairNames looks at the names around a pair: which gauge is named first when
// both are ("175/26 head/suct"), and whether a name of something else stands by it.
func (p *parse) pairNames(i int) (first vocab.Key, others bool) {
	from, to := p.nums[i].from, p.nums[i+1].to
	var gauges []vocab.Key
	for k := p.firstNameFrom(from - farOff); k < len(p.names) && p.names[k].from < to+farOff; k++ {
		n := p.names[k]
		if n.to <= from && p.numberIn(n.to, from) {
			continue
		}
		near := n.to <= from && from-n.to <= 2 || n.from >= to && n.from-to <= 1
		if p.sentence[n.from] != p.sentence[from] || !near || p.chunk[n.from] != p.chunk[from] && n.from < from {
			if n.from < to || len(gauges) != 1 || n.from-to > 4 || p.sentence[n.from] != p.sentence[from] {
				continue
			}
		}
		if n.Ask != "" && len(n.Is) > 1 && n.first() == vocab.SuctionPressure {
			continue // "on the gauges" names both
		}
		switch k := n.first(); {
		case n.Ignore && p.nums[i].rowBy == bySlash, n.Only == lexicon.Length && p.nums[i].unit == nil:
		case k == vocab.SuctionPressure || k == vocab.DischargePressure:
			gauges = append(gauges, k)
		case n.from >= to && p.numberAt(n.to):
		default:
			return "", true
		}
	}
	if len(gauges) == 2 && gauges[0] != gauges[1] {
		return gauges[0], false
	}
	if len(gauges) == 1 {
		return "", p.nums[i].rowBy != bySlash
	}
	return "", false
}
