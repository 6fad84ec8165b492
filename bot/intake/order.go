package intake

import (
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// putOrdered gives values to the first and the last key, by the words beside
// them or by their order. A lone one without such a word is asked about when it
// matters which.
func (p *parse) putOrdered(qs []*quantity, first, last vocab.Key, askLone bool) {
	if len(qs) == 1 {
		switch p.orderWord(qs[0]) {
		case lastOne:
			if askLone && !p.onlyNow(qs[0]) || p.ctxHas(first) || lexicon.KindOf(first) == lexicon.Temp {
				p.put(qs[0], last)
				return
			}
		case firstOne:
			p.put(qs[0], first)
			return
		}
		if askLone && p.isClocked(qs[0]) {
			p.put(qs[0], first) // "nitrogen 200 psi 70F at 9 am": when it was put on
			return
		}
		if askLone {
			p.wonder(qs[0], first, last)
			return
		}
		p.put(qs[0], first)
		return
	}
	for i, q := range qs {
		key := first
		if i > 0 {
			key = last
		}
		if len(qs) == 2 && p.toldBackwards(qs[0], qs[1]) {
			key = [2]vocab.Key{last, first}[i]
		}
		p.put(q, key)
	}
}

// onlyNow: of the words for the end, "now" and "today" alone stand by the number: it
// may be the start as well.
func (p *parse) onlyNow(q *quantity) bool {
	for k := max(q.from-2, 0); k < len(p.t) && k < q.to+4; k++ {
		_, last := p.listed("last_words", k)
		_, today := p.listed("today", k)
		if last && !today && p.sentence[k] == p.sentence[q.core] {
			return false
		}
	}
	return true
}

// toldBackwards: "900 after half an hour, it started at 400", "287 now from 300".
func (p *parse) toldBackwards(one, second *quantity) bool {
	if p.is(second.from-1, "from") {
		return true
	}
	for k := second.from - 1; k > one.to && k >= second.from-3; k-- {
		if _, ok := p.listed("last_words", k); ok {
			return false // "85 yesterday this morning 241"
		}
		if _, ok := p.listed("first_words", k); ok && p.chunk[k] == p.chunk[second.core] && !p.is(k, "before") {
			return true
		}
	}
	return false
}

type order uint8

const (
	unordered order = iota
	firstOne
	lastOne
)

// orderWord looks for "start" or "end" beside a number.
func (p *parse) orderWord(q *quantity) order {
	for k := max(q.from-2, 0); k < len(p.t) && k < q.to+4; k++ {
		if p.sentence[k] != p.sentence[q.core] {
			continue
		}
		if _, ok := p.listed("first_words", k); ok {
			return firstOne
		}
		if _, ok := p.listed("last_words", k); ok {
			return lastOne
		}
	}
	return unordered
}
