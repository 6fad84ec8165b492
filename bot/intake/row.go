package intake

import (
	"coldcase/refdata/lexicon"
	"coldcase/refdata/limits"
	"coldcase/refdata/vocab"
)

// rowMark is what stands between the numbers of a row.
type rowMark uint8

const (
	bySpace rowMark = iota
	byComma
	byAnd
	bySlash
)

// findRows finds numbers that stand in a row: "230/229/235", "398 401 396",
// "14.2, 13.9 and 14.5", "28 over 240". A row of three is the three legs, of two
// with a slash the gauges.
func (p *parse) findRows() {
	for i := 0; i < len(p.nums); {
		n, by := 1, bySpace
		for i+n < len(p.nums) {
			m, ok := p.rowStep(&p.nums[i+n-1], &p.nums[i+n], n)
			if !ok || n > 1 && m != by && m != byAnd {
				break
			}
			by = max(by, m)
			n++
		}
		p.nums[i].row, p.nums[i].rowBy = 1, by
		if n == 3 || n == 2 && by >= byAnd {
			p.nums[i].row = n
			for k := i; k < i+n; k++ {
				if p.nums[k].bare && p.nums[i+n-1].unit != nil {
					p.nums[k].unit, p.nums[k].bare = p.nums[i+n-1].unit, false
				}
			}
			i += n
			continue
		}
		if n > 3 && p.splitTriples(i, n) {
			i += n
			continue
		}
		if n == 2 {
			n = 1 // the second may begin a row of its own: "sc 6 118/341"
		}
		for k := i; k < i+n; k++ {
			p.nums[k].row = 1
		}
		i += n
	}
}

// breakRow lets the numbers of the row that number i stands in be alone again.
func (p *parse) breakRow(i int) {
	head := i
	for head > 0 && p.nums[head].row == 0 {
		head--
	}
	for k, n := head, max(p.nums[head].row, 1); k < head+n; k++ {
		p.nums[k].row, p.nums[k].rowBy = 1, bySpace
	}
}

// splitTriples reads six numbers in a row as two rows of three when each is even
// in itself.
func (p *parse) splitTriples(i, n int) bool {
	if n%3 != 0 {
		return false
	}
	for k := i; k < i+n; k += 3 {
		if !p.alike(p.nums[k : k+3]) {
			return false
		}
		p.nums[k].row = 3
	}
	return true
}

// alike holds that three numbers are of one size, as legs are.
func (p *parse) alike(row []quantity) bool {
	lo, hi := row[0].value, row[0].value
	for _, q := range row {
		lo, hi = min(lo, q.value), max(hi, q.value)
	}
	return lo >= 0 && hi <= 3*lo+1
}

// rowStep reports whether b follows a in a row, and by what mark.
func (p *parse) rowStep(a, b *quantity, have int) (rowMark, bool) {
	if a.frac || b.frac || a.idle || b.idle || a.signed || b.signed || a.approx || b.approx {
		return 0, false
	}
	if a.unit != nil && (b.unit == nil || b.unit != a.unit) {
		return 0, false
	}
	if b.unit != nil && b.fits(lexicon.Time) && p.is(a.to, "over") {
		return 0, false // "398 over twelve hours"
	}
	switch gap := b.core - a.to; {
	case gap == 0 && !p.t[b.core].Glued:
		return bySpace, a.unit == nil || b.unit == a.unit
	case gap == 1 && p.is(a.to, "/"), gap == 1 && p.is(a.to, "over"):
		return bySlash, true
	case gap == 1 && p.is(a.to, ",", "-"):
		return byComma, true
	case gap == 1 && p.is(a.to, "and", "y", "&"):
		return byAnd, true
	case gap == 2 && p.is(a.to, ",") && p.is(a.to+1, "and", "y"):
		return byComma, true
	}
	return 0, false
}

// pairIsGauges reads 68/250 as suction and head: no word names it otherwise,
// and low stands before high unless the words turn it round.
func (p *parse) pairIsGauges(i int) (low, high vocab.Key, ok bool) {
	a, b := &p.nums[i], &p.nums[i+1]
	if a.row != 2 || !a.fits(lexicon.Pressure) || !b.fits(lexicon.Pressure) || a.idle {
		return "", "", false
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
		suction, head = suction || p.is(k, "suction", "low", "lp", "sp"), head || p.is(k, "head", "discharge", "high", "hp", "dp")
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

// numberIn reports a number between two tokens.
func (p *parse) numberIn(from, to int) bool {
	for k := from; k < to; k++ {
		if p.numOf[k] >= 0 && !p.nums[p.numOf[k]].idle {
			return true
		}
	}
	return false
}

// numberAt reports a number that begins at token i, at most one small word on.
func (p *parse) numberAt(i int) bool {
	begins := func(k int) bool { return k < len(p.t) && p.numOf[k] >= 0 && p.nums[p.numOf[k]].from == k }
	return begins(i) || p.is(i, "is", "at", "of", "to", ":", "=", "was") && begins(i+1)
}
