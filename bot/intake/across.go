package intake

import (
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

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
		if !p.isOne("crossed_parts", k) {
			continue
		}
		for b := k - 1; b >= max(k-4, 0); b-- {
			if p.isOne("sides_of_part", b) {
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

// acrossDrier: "236 before drier 198 after" are two places, no two times.
func (p *parse) acrossDrier() bool {
	if !p.says("drier") {
		return false
	}
	for k := range p.t {
		if p.is(k, "drier") && p.isOne("sides_of_part", k-1) {
			return true
		}
	}
	return false
}
