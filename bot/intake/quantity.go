package intake

import (
	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
)

// quantity is one number of the message with its unit.
type quantity struct {
	from, core, to int // tokens: with "about" in front, of the digits, past the unit
	numTo          int // one past the digits
	value          float64
	unit           *lexicon.Unit
	bare           bool // a unit was not typed
	lent           bool // the unit is that of the last of its row
	frac           bool
	spoken         bool
	signed         bool
	approx         bool
	doubtful       bool // either/or, "can't remember"
	used           bool
	given          bool // to a question
	refused        bool // in doubt, or of no value that it can have
	earlier        bool // idle because it is of another day or machine
	idle           bool // no reading: a time, a telephone number …
	said           string
	row            int // numbers in the row that it begins; 1 alone, 0 inside a row
	rowBy          rowMark
}

// findNumbers gathers the numbers that nothing else has taken.
func (p *parse) findNumbers() {
	for i := 0; i < len(p.t); {
		q, end := p.quantityAt(i)
		if end == i {
			i++
			continue
		}
		p.nums = append(p.nums, q)
		i = end
	}
	p.joinFeetInches()
	p.joinPoundsOunces()
	p.joinSplitHundreds()
	p.joinRanges()
	p.joinAltitude()
	p.giveBackUnits()
	p.shareUnits()
	p.findRows()
	for i := range p.nums {
		p.roughly(&p.nums[i])
	}
}

// quantityAt reads a number and its unit; end is i when there is none.
func (p *parse) quantityAt(i int) (q quantity, end int) {
	t := &p.t[i]
	if p.use[i] != unused {
		return q, i
	}
	q = quantity{from: i, core: i, bare: true}
	switch {
	case t.Kind == lex.Number:
		q.value, q.frac, q.signed, end = t.Value, t.Frac, t.Signed, i+1
		q = p.digitsWithWords(q, &end)
		q.frac = q.frac || p.isTubeDecimal(t)
	case p.hourPart(i) > 0:
		q.value, q.unit, q.bare, q.spoken = p.hourPart(i), p.r.minutes, false, true
		if q.value == 60 {
			q.value, q.unit = 1, p.r.hours
		}
		for end = i; !p.is(end, "hours"); end++ {
		}
		q.numTo, q.to = end+1, end+1
		return q, end + 1
	case p.isMinusDigits(i):
		q.value, q.frac, q.signed, end = -p.t[i+1].Value, p.t[i+1].Frac, true, i+2
		q.core = i + 1
	case p.isInchAnd(i):
		v, e, _ := p.spokenFraction(p.inchFraction(i))
		q.value, end, q.frac, q.spoken = 1+v, e, true, true
	case p.isMinus(i):
		if q.value, end, q.frac = p.spoken(i + 1); end == i+1 {
			return q, i
		}
		q.value, q.signed, q.spoken = -q.value, true, true
	default:
		if q.value, end, q.frac = p.spoken(i); end == i {
			return q, i
		}
		q.spoken = true
		if p.loneWord(q, i, end) {
			return q, i
		}
	}
	q.numTo, q.to = end, end
	p.unitAfter(&q)
	p.belowZero(&q)
	return q, q.to
}

// isShare: "a quarter", "half" with no unit.
func (q *quantity) isShare() bool { return q.unit == nil && q.frac && q.value < 1 }

// code is the unit's code for a kind, empty when it does not fit.
func (q *quantity) code(k lexicon.Kind) units.Code {
	if q.unit == nil {
		return ""
	}
	c, _, _ := q.unit.Code(k)
	return c
}

// fits reports whether the number can be of a kind by its unit.
func (q *quantity) fits(k lexicon.Kind) bool {
	if q.unit == nil {
		return !q.frac || k == lexicon.Size || k == lexicon.Mass || k == lexicon.Delta || k == lexicon.Heat
	}
	_, ok := q.unit.As[k]
	_, tube := q.unit.As[lexicon.Size]
	return ok && !(q.frac && tube && k == lexicon.Length)
}
