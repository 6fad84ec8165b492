package intake

import (
	"strings"

	"coldcase/bot/intake/lex"
)

// isTime: 7:30, "at 9 am" (its unit is idle), "10 o'clock"; 3/14/26, 555-0134.
func (p *parse) isTime(q *quantity) bool {
	if p.is(q.numTo, ":") && p.t[q.numTo].Glued && q.numTo+1 < len(p.t) && p.t[q.numTo+1].Kind == lex.Number && p.t[q.numTo+1].Glued {
		return true
	}
	if p.is(q.core-1, ":") && q.core >= 2 && p.t[q.core-2].Kind == lex.Number && p.t[q.core-1].Glued && p.t[q.core].Glued {
		return true
	}
	return p.isChain(q) || p.isDate(q)
}

// isChain sees 555-0134, 815-555-0134: digits with dashes, one part of three or more.
func (p *parse) isChain(q *quantity) bool {
	digits := func(i int) int {
		if i < 0 || i >= len(p.t) || p.t[i].Kind != lex.Number || strings.ContainsAny(p.t[i].Text, ",./") {
			return 0 // 120,000 is no telephone number
		}
		return len(p.t[i].Text)
	}
	next := p.is(q.core+1, "-") && p.t[q.core+1].Glued && digits(q.core+2) == 4
	last := p.is(q.core-1, "-") && p.t[q.core-1].Glued && digits(q.core) == 4 && digits(q.core-2) >= 3
	if next && digits(q.core) >= 3 || last {
		return true
	}
	return digits(q.core) >= 7 && q.unit == nil
}

// isDate sees 3/14 behind a day's name or "on", and 3/14/26.
func (p *parse) isDate(q *quantity) bool {
	months := "jan feb mar apr may jun jul aug sep sept oct nov dec january february march april june july august september october november december"
	if q.core > 0 && hasWord(months, p.t[q.core-1].Plain) && p.t[q.core-1].Plain != "may" && q.value <= 31 {
		return true
	}
	return q.value >= 1990 && q.value <= 2040 && q.unit == nil && p.isOne("before_year", q.core-1) && !p.t[q.core].Decimal
}

func hasWord(list, w string) bool {
	for len(list) > 0 {
		i := 0
		for i < len(list) && list[i] != ' ' {
			i++
		}
		if list[:i] == w {
			return true
		}
		list = list[min(i+1, len(list)):]
	}
	return false
}

// isClocked: the time of day stands in the number's sentence.
func (p *parse) isClocked(q *quantity) bool {
	for i := range p.nums {
		if t := &p.nums[i]; t.idle && p.sentence[t.core] == p.sentence[q.core] && (p.isOne("clock", t.to-1) || p.isTime(t)) {
			return true
		}
	}
	return false
}
