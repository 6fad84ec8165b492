package intake

import "coldcase/refdata/lexicon"

// updates reads "filter drop was 6, swapped it, now its 1": a number behind "now",
// "down to", with no name of its own, is the value of today of what was read last.
func (p *parse) updates() {
	if p.acrossDrier() {
		return
	}
	for i := 1; i < len(p.nums); i++ {
		q := &p.nums[i]
		if q.used || q.idle || q.row != 1 || q.frac {
			continue
		}
		k := p.lastRead(q)
		if k < 0 || !p.isOfToday(q) && !(p.isTimed(q.to) && p.isTimed(p.nums[p.numOf[p.readAt[k]]].to)) {
			continue
		}
		if p.toldAsPast(k) && q.fits(lexicon.KindOf(p.m.Readings[k].Key)) {
			key := p.m.Readings[k].Key
			p.past = append(p.past, p.chunk[p.readAt[k]])
			if q.unit == nil {
				q.unit, q.bare = p.unitAt(p.readAt[k]), p.unitAt(p.readAt[k]) == nil
			}
			p.put(q, key)
		}
	}
}

// isTimed: "at noon", "at 9 am" stand at token i.
func (p *parse) isTimed(i int) bool {
	if !p.isOne("before_clock", i) || i+1 >= len(p.t) {
		return false
	}
	if k := p.numOf[i+1]; k >= 0 {
		return p.nums[k].idle
	}
	return p.isOne("day_parts", i+1)
}

// isOfToday: "now its 1", "down to 22 now": a word of today stands by the number.
func (p *parse) isOfToday(q *quantity) bool {
	if _, ok := p.listed("today", q.to); ok || p.is(q.to, "after") || p.is(q.from-1, "after") || p.is(q.from-1, ":") && p.is(q.from-2, "after", "now") {
		return true
	}
	for k := q.from - 1; k >= max(q.from-4, 0) && p.sentence[k] == p.sentence[q.core]; k-- {
		if _, ok := p.listed("today", k); ok && !p.is(k, "its") {
			return true
		}
		if p.nameOf[k] >= 0 || p.numOf[k] >= 0 {
			return false
		}
	}
	return false
}

// lastRead is the reading whose number stands last before q, at most a sentence back.
func (p *parse) lastRead(q *quantity) int {
	best := -1
	for k, at := range p.readAt {
		if at < q.core && p.sentence[at] >= p.sentence[q.core]-1 && (best < 0 || at > p.readAt[best]) {
			best = k
		}
	}
	return best
}

// toldAsPast: "was 6", "had 6", "started at 6".
func (p *parse) toldAsPast(k int) bool {
	at := p.readAt[k]
	for i := max(at-3, 0); i < at; i++ {
		if p.isOne("before_past", i) && p.chunk[i] == p.chunk[at] {
			return true
		}
	}
	lo, hi := p.window(at)
	for i := lo; i < hi; i++ {
		if p.is(i, "before", "antes") {
			return true
		}
	}
	return false
}
