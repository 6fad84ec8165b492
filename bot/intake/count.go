package intake

import "coldcase/bot/intake/lex"

// isNumberOf: "po 44817", "gate 4", "#2", "call me at …"; and "7/8 swage tool".
func (p *parse) isNumberOf(q *quantity) bool {
	if p.is(q.core-1, "#") && p.numOf[q.core-1] < 0 {
		return true
	}
	if _, ok := p.listedBefore("idle_before", q.from); ok && q.unit == nil {
		return true
	}
	if _, ok := p.listed("idle_after", q.to); ok {
		return true
	}
	return q.to+1 < len(p.t) && q.frac && p.anyListed("idle_after", q.to, q.to+3)
}

// isCount: "2 of 3 phases", "2 suction reeds", "3 phase": a small count of things.
func (p *parse) isCount(q *quantity) bool {
	if q.unit == nil && !q.frac && p.is(q.to, "of", "out") && q.to+1 < len(p.t) && !p.isSetting(q) && p.t[q.to+1].Kind == lex.Number && !p.t[q.to+1].Frac {
		return true
	}
	if q.unit == nil && !q.frac && p.is(q.core-1, "of") && q.core >= 2 && p.t[q.core-2].Kind == lex.Number {
		return true
	}
	if q.unit != nil || q.frac || q.value > 12 || q.value < 1 || q.value != float64(int(q.value)) || p.nameEndsAt(q.from) {
		return false
	}
	if p.isOfPart(q) {
		return true // "piston 1 scored", "open between 1 and 3"
	}
	if p.is(q.core-1, "all") && q.value <= 4 {
		return true // "0.3 to ground on all three"
	}
	if f := p.r.parts.At(p.t, q.to); f.To > q.to && !p.namedPlain(q.to) {
		return true
	}
	return false
}

// isOfPart: a part that is no reading's name stands right before the small number, or
// it tells between which cylinders or terminals something is.
func (p *parse) isOfPart(q *quantity) bool {
	if q.value > p.r.words.Sizes.MostCylinders || q.core == 0 {
		return false
	}
	if p.is(q.core-1, "between") || p.is(q.core-1, "and") && q.core >= 3 && p.is(q.core-3, "between") {
		between := q.core - 1
		if !p.is(between, "between") {
			between = q.core - 3
		}
		return !p.nameEndsAt(between)
	}
	if p.nameOf[q.core-1] >= 0 {
		return false
	}
	for k := max(q.core-3, 0); k < q.core; k++ {
		if f := p.r.parts.At(p.t, k); f.To == q.core && f.To > k {
			return true
		}
	}
	return false
}

// nameEndsAt reports a reading's name right before token i.
func (p *parse) nameEndsAt(i int) bool {
	return i > 0 && p.nameOf[i-1] >= 0 && p.names[p.nameOf[i-1]].to == i
}

// namedPlain reports whether the words at i name a reading as well: "38 suction".
func (p *parse) namedPlain(i int) bool {
	return i < len(p.t) && p.nameOf[i] >= 0 && p.names[p.nameOf[i]].from == i
}
