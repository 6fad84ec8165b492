package intake

import (
	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// lowAndHigh reads "low 38 high 241", "high 241, low 38" and "128 low 560 high":
// neither word says anything of pressure alone, both together do.
func (p *parse) lowAndHigh() {
	low, high := p.behind("low", "lo"), p.behind("high", "hi")
	if low == nil || high == nil || low == high {
		low, high = p.before("low", "lo"), p.before("high", "hi")
	}
	if low == nil || high == nil || low == high || low.value >= high.value && !low.doubtful && !high.doubtful {
		return
	}
	p.put(low, vocab.SuctionPressure)
	p.put(high, vocab.DischargePressure)
}

// before is the number that stands directly before one of the words, which ends
// its part or has another number behind it.
func (p *parse) before(words ...string) *quantity {
	for i := range p.nums {
		q := &p.nums[i]
		k := q.to
		if p.is(k, "on") {
			k++
		}
		if p.is(k, "the") {
			k++
		}
		ends := k+1 >= len(p.t) || p.t[k+1].Kind != lex.Word || p.is(k+1, "and", "on", "side")
		if p.is(k, words...) && ends && p.canBeGauge(q) {
			return q
		}
	}
	return nil
}

func (p *parse) canBeGauge(q *quantity) bool {
	return !q.used && !q.idle && !q.frac && (q.bare || q.fits(lexicon.Pressure))
}

// behind is the number that follows one of the words directly or after small
// words; nil when none does or its unit is no pressure's.
func (p *parse) behind(words ...string) *quantity {
	for i := range p.nums {
		q := &p.nums[i]
		at := q.from - 1
		for at > q.from-4 && p.isOne("side_links", at) {
			at--
		}
		if p.is(at, words...) && p.canBeGauge(q) {
			return q
		}
	}
	return nil
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
	for k > 0 && p.isOne("even_links", k-1) {
		k--
	}
	from, ok := p.listedBefore("both_sides", k)
	if !ok {
		from, ok = p.listedBefore("even", k)
		ok = ok && k < q.from
	}
	return ok && !p.deniedHere(from)
}

// otherGauge: "hd 241 lo 33": beside one gauge that is named, low or high is the other.
func (p *parse) otherGauge() {
	if q := p.behind("low", "lo"); q != nil && p.seen(vocab.DischargePressure) && !p.seen(vocab.SuctionPressure) {
		p.put(q, vocab.SuctionPressure)
	}
	if q := p.before("low", "lo"); q != nil && p.is(q.to, "on") && !p.seen(vocab.SuctionPressure) {
		p.put(q, vocab.SuctionPressure) // "28 on the low"
	}
	if q := p.before("high", "hi"); q != nil && p.is(q.to, "on") && !p.seen(vocab.DischargePressure) {
		p.put(q, vocab.DischargePressure)
	}
	if q := p.behind("high", "hi"); q != nil && p.seen(vocab.SuctionPressure) && !p.seen(vocab.DischargePressure) {
		p.put(q, vocab.DischargePressure)
	}
}

// isOtherSide: "3 psi at the comp, head 242": beside the head, and far below it, a
// pressure with no name is the suction.
func (p *parse) isOtherSide(q *quantity) bool {
	head, ok := p.value(vocab.DischargePressure)
	if !ok || p.seen(vocab.SuctionPressure) || p.saysOne("other_pressures") {
		return false
	}
	v, err := vocab.SI(p.readingOf(q, vocab.SuctionPressure), seaLevel)
	return err == nil && v < p.r.words.Sizes.SuctionOfHead*head
}
