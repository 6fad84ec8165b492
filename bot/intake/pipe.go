package intake

import (
	"slices"

	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// mountains reads heights that no pipe has.
func (p *parse) mountains() {
	for i := range p.nums {
		if q := &p.nums[i]; !q.used && !q.idle && p.isMountain(q) {
			p.put(q, vocab.Altitude)
		}
	}
}

// isMountain: "9000 ft up" is where the site lies.
func (p *parse) isMountain(q *quantity) bool {
	if q.code(lexicon.Length) == "" || p.isOfPipe(q) {
		return false
	}
	v, err := inUnitOf(p.readingOf(q, vocab.Altitude), units.CodeFeet)
	return err == nil && v >= p.r.words.Sizes.MountainFeet
}

// isOfPipe: "riser 4000 ft" is a riser's height, if one that can't be.
func (p *parse) isOfPipe(q *quantity) bool {
	if q.from == 0 || p.nameOf[q.from-1] < 0 {
		return false
	}
	return slices.ContainsFunc(p.names[p.nameOf[q.from-1]].Is, func(k vocab.Key) bool {
		def, _ := vocab.Define(k)
		return def.Quantity == vocab.Length && k != vocab.Altitude
	})
}

// loneFraction asks whose size "a 7/8 line" is.
func (p *parse) loneFraction(q *quantity) {
	if !q.frac || q.value >= 5 || p.anyOf("fetching", max(q.from-8, 0), q.from) {
		return
	}
	if k, ok := p.onlyPipe(q); ok {
		p.put(q, k)
		return
	}
	if p.sizeTold(q) || p.is(q.from-1, "its", "is", "it") {
		p.wonder(q, vocab.SuctionLineSize, vocab.LiquidLineSize, vocab.RiserSize)
	}
}

// onlyPipe is the size of the one pipe that the sentence names: "liquid line lifts 30 ft to
// the roof, 5/8".
func (p *parse) onlyPipe(q *quantity) (size vocab.Key, ok bool) {
	for i := range p.names {
		n := &p.names[i]
		if p.sentence[n.from] != p.sentence[q.core] {
			continue
		}
		if n.Loose {
			return "", false
		}
		for _, k := range n.Or {
			if lexicon.KindOf(k) != lexicon.Size {
				continue
			}
			if size != "" && size != k || n.from > q.core {
				return "", false
			}
			size = k
		}
	}
	return size, size != "" && !p.seen(size)
}

// saysSize: a tube's fraction stands in the message, read or asked about.
func (p *parse) saysSize() bool {
	for i := range p.nums {
		if q := &p.nums[i]; q.frac && q.used && !q.idle {
			return true
		}
	}
	return false
}

func (p *parse) sizeTold(q *quantity) bool {
	for k := max(q.from-3, 0); k < len(p.t) && k < q.to+4; k++ {
		if p.is(k, "line", "copper", "pipe") && p.sentence[k] == p.sentence[q.core] {
			return true
		}
	}
	return false
}
