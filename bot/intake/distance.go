package intake

import (
	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
)

// legSaid: in "leg b is pulling 31" the leg tells more than the word of amps behind it.
func (p *parse) legSaid(n int) bool {
	if n == 0 || len(p.names[n].Row) != 3 || len(p.names[n-1].leg) != 1 {
		return false
	}
	return p.wordsBetween(p.names[n-1].to, p.names[n].from) == 0
}

// ofTheOthers: "ol from t1 to t2, the others 1.4".
func (p *parse) ofTheOthers(from, to int) bool {
	for k := from; k < to; k++ {
		if p.isOne("the_others", k) {
			return true
		}
	}
	return false
}

// distance is how far a name is from a number in words that tell them apart.
func (p *parse) distance(n *name, i int) (cost float64, after, ok bool) {
	q := &p.nums[i]
	from, to, last := n.to, q.from, p.lastOfRow(i)
	switch {
	case n.to <= q.from:
	case n.from >= last:
		from, to, after = last, n.from, true
	case n.from >= q.numTo && n.from < q.to:
		return 0, true, !p.legBefore(q.from) // the unit is the name: 14 amps
	default:
		return 0, false, false
	}
	cost = (p.gap[to] - p.gap[from]).Cost()
	if cost > p.r.words.Weights.Alone+p.r.words.Weights.PastNumber.Cost() {
		return 0, false, false // dearer than to leave it alone
	}
	if to-from > p.r.words.Reaches.Name && p.wordsIn(from, to) > p.r.words.Reaches.Name || n.Behind && !p.isBehind(n, q, after) {
		return 0, false, false
	}
	if p.sentence[n.from] != p.sentence[q.core] && !p.carriesOn(n, q) {
		return 0, false, false
	}
	if after {
		if q.unit != nil || q.frac {
			cost += p.r.words.Weights.BehindUnit
		} else {
			cost += p.r.words.Weights.Behind
		}
		if n.Only == lexicon.Length && q.unit != nil && from == to {
			cost -= p.r.words.Weights.LengthNoun
		}
	}
	if n.Loose {
		cost += p.r.words.Weights.Loose
	}
	if !after && p.anyOf("corrections", from, to) {
		cost -= p.r.words.Weights.PastNumber.Cost() // the number that is taken back is no hindrance
	}
	return cost, after, true
}

// wordsIn counts the words between two tokens that are no part of a number.
func (p *parse) wordsIn(from, to int) (n int) {
	for k := from; k < to; k++ {
		if p.t[k].Kind == lex.Word && p.numOf[k] < 0 {
			n++
		}
	}
	return n
}

// legBefore: "1-3: 233 volts": the leg is named, the volts are only the unit.
func (p *parse) legBefore(i int) bool {
	for i > 0 && p.isOne("links", i-1) {
		i--
	}
	return i > 0 && p.nameOf[i-1] >= 0 && p.names[p.nameOf[i-1]].leg != ""
}

// isBehind: "its 95 out", "104 on the roof": the name ends the clause that its
// number begins.
func (p *parse) isBehind(n *name, q *quantity, after bool) bool {
	if !after {
		return false
	}
	for k := q.to; k < n.from; k++ {
		if _, small := p.listed("small", k); !small {
			return false
		}
	}
	begins := q.from == 0 || p.chunk[q.from-1] != p.chunk[q.from] || p.isOne("begins_number", q.from-1)
	_, today := p.listed("today", n.to)
	return begins && (today || n.to >= len(p.t) || p.t[n.to].Kind == lex.Mark || p.isOne("after_remark", n.to))
}

// lastOfRow is one past the last token of the row that number i begins.
func (p *parse) lastOfRow(i int) int {
	return p.nums[i+max(p.nums[i].row, 1)-1].to
}

// carriesOn lets "Head 260 yesterday. Today 228." and "Suct 28. No wait, 38."
// reach back over the full stop.
func (p *parse) carriesOn(n *name, q *quantity) bool {
	s := p.sentence[q.core]
	if n.from > q.core || p.sentence[n.from] != s-1 && p.sentence[n.from] != s-2 {
		return false
	}
	for k := n.to; k < min(q.core+farOff, len(p.t)); k++ {
		if p.sentence[k] == s && p.nameOf[k] >= 0 {
			return false
		}
	}
	if p.is(n.to, "?") && p.sentence[n.from] == s-1 {
		return true // "megohms? like 3 or 30"
	}
	for k := n.to; k <= q.core; k++ {
		if p.sentence[k] != s {
			continue
		}
		_, today := p.listed("today", k)
		_, corrected := p.listed("corrections", k)
		if today || corrected {
			return true
		}
	}
	return false
}

// weighGaps adds up, token by token, what stands between names and numbers.
func (p *parse) weighGaps() {
	for k := range p.t {
		p.gap[k+1] = p.gap[k] + p.between(k)
	}
}

// between is what one token costs that stands between a name and its number.
func (p *parse) between(k int) lexicon.Tenths {
	t := &p.t[k]
	switch {
	case t.Kind == lex.Mark:
		switch t.Plain {
		case ",", ".", ";", "!", "(", ")", "?":
			if k > 0 && lex.EndsClause(&p.t[k-1]) {
				return 0 // the second dot of three
			}
			return p.r.words.Weights.Comma
		}
		return p.r.words.Weights.OtherMark
	case p.countedAt(k):
		return p.r.words.Weights.PastNumber
	case t.Kind == lex.Number || p.inNumber(k):
		return p.r.words.Weights.SmallWord
	case t.Is("and", "y", "but", "with", "w"):
		if p.is(k+1, "it", "its") {
			return p.r.words.Weights.SmallWord // "the riser is 12 feet and it is seven eighths"
		}
		return p.r.words.Weights.And
	}
	if i := p.nameOf[k]; i >= 0 {
		switch n := &p.names[i]; {
		case n.from < k:
			return 0
		case n.Loose || n.Ignore:
			return p.r.words.Weights.PastLoose
		}
		return p.r.words.Weights.PastName
	}
	if len(p.lists[k]) == 0 {
		return p.r.words.Weights.OtherWord
	}
	for _, list := range []string{"small", "approx_before", "corrections", "today", "earlier", "rise_words"} {
		if _, ok := p.listed(list, k); ok {
			return p.r.words.Weights.SmallWord
		}
	}
	return p.r.words.Weights.OtherWord
}

// inNumber: the token is part of a number or its unit.
func (p *parse) inNumber(k int) bool {
	return p.numOf[k] >= 0
}

func (p *parse) countedAt(k int) bool {
	i := p.numOf[k]
	return i >= 0 && p.nums[i].core == k && !p.nums[i].idle
}
