package intake

import (
	"math"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
)

// joinFeetInches makes 12'6" one length.
func (p *parse) joinFeetInches() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		if a.code(lexicon.Length) != units.CodeFeet || a.frac || b.value >= 12 || b.core-a.to > 0 || a.idle || b.idle {
			continue
		}
		if b.unit == nil && !p.t[b.core].Glued || b.unit != nil && b.code(lexicon.Size) != units.CodeInch || b.frac && !p.t[b.core].Glued {
			continue
		}
		a.value += b.value / 12
		a.to = b.to
		p.nums = append(p.nums[:i+1], p.nums[i+2:]...)
	}
}

// joinPoundsOunces makes "12 lb 6 oz" one mass.
func (p *parse) joinPoundsOunces() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		gap := b.core - a.to
		if a.code(lexicon.Mass) != units.CodePound || b.code(lexicon.Mass) != units.CodeOunce || b.value >= 16 || a.idle || b.idle {
			continue
		}
		if gap == 0 || gap == 1 && p.is(a.to, "and", ",", "y", "-") {
			a.value += b.value / 16
			a.to = b.to
			p.nums = append(p.nums[:i+1], p.nums[i+2:]...)
		}
	}
}

// joinSplitHundreds makes "hi 2 50" one doubtful 250: dictation writes hundreds so.
func (p *parse) joinSplitHundreds() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		if !p.isPlainDigits(a, 1) || !p.isPlainDigits(b, 2) || b.core != a.to || p.t[b.core].Glued || !p.nameOrHighBefore(a.from) || p.nameBegins(b.to) {
			continue
		}
		if i+2 < len(p.nums) && p.nums[i+2].core == b.to {
			continue
		}
		a.value, a.to, a.numTo, a.doubtful = 100*a.value+b.value, b.to, b.numTo, true
		p.nums = append(p.nums[:i+1], p.nums[i+2:]...)
	}
}

// isPlainDigits: a bare whole number of so many digits.
func (p *parse) isPlainDigits(q *quantity, n int) bool {
	return q.unit == nil && !q.idle && !q.frac && !q.signed && !q.spoken && len(p.t[q.core].Text) == n && q.to == q.core+1 && p.t[q.core].Text[0] != '0'
}

func (p *parse) nameOrHighBefore(i int) bool {
	return p.isOne("high_low", i-1) || p.namedBefore(i)
}

// nameBegins: the words of a reading's name begin at token i.
func (p *parse) nameBegins(i int) bool {
	return i < len(p.t) && p.r.names.At(p.t, i).To > i
}

// joinRanges makes "28-30" and "230 to 240" one rough number in the middle.
func (p *parse) joinRanges() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		if !p.isRange(a, b) {
			continue
		}
		a.value, a.approx = (a.value+b.value)/2, true
		a.unit, a.bare, a.to, a.numTo = b.unit, b.bare, b.to, b.numTo
		p.nums = append(p.nums[:i+1], p.nums[i+2:]...)
	}
}

func (p *parse) isRange(a, b *quantity) bool {
	if p.r.supply[[2]float64{a.value, b.value}] && p.is(a.to, "-") && p.saysSupplyText(a, b) {
		return false
	}
	if a.frac || b.frac || a.idle || b.idle || a.signed != b.signed || a.unit != nil && b.unit != nil && a.unit != b.unit {
		return false
	}
	if a.unit != nil && b.unit == nil {
		return false
	}
	gap := b.core - a.to
	if gap != 1 || p.isOne("before_time", b.to) && p.timeAt(b.to+1) {
		return false // "5 to 5.5 in 10 min" is a change
	}
	between := p.is(a.from-1, "between", "entre", "from")
	switch {
	case p.is(a.to, "-") && p.t[a.to].Glued == p.t[a.to+1].Glued:
	case p.is(a.to, "to", "a"):
		if p.isOne("before_change", a.from-1) || p.is(a.from-1, "de") {
			return false
		}
	case between && p.is(a.to, "and", "y"):
	default:
		return false
	}
	lo, hi := math.Abs(a.value), math.Abs(b.value)
	if a.signed {
		lo, hi = min(lo, hi), max(lo, hi)
	}
	return hi > lo && (hi-lo <= p.r.words.Sizes.WidestRange*hi || hi-lo <= p.r.words.Sizes.RangeSlack) && hi > 3
}

// timeAt: a number with a unit of time begins at token i.
func (p *parse) timeAt(i int) bool {
	for k := range p.nums {
		if q := &p.nums[k]; q.from == i {
			return q.unit != nil && q.fits(lexicon.Time)
		}
	}
	return false
}

// roughly notes "about", "-ish", and the doubt of "either 28 or 82".
func (p *parse) roughly(q *quantity) {
	before := q.from
	if p.is(before-1, "a") && q.spoken {
		before-- // "about a hundred and ten"
	}
	if from, ok := p.listedBefore("approx_before", before); ok && !(p.is(from, "say") && p.isOne("sayers", from-1)) {
		q.approx, q.from = true, from
	}
	if end, ok := p.listed("approx_after", q.to); ok && !(end < len(p.t) && (p.t[end].Kind == lex.Number || p.isNumeral(end))) {
		q.approx, q.to = true, end
	}
}

// joinAltitude reads "elevation is fifty two eighty" as 5280.
func (p *parse) joinAltitude() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		pair := a.spoken && b.spoken && a.to == b.core && a.value >= 10 && a.value < 100 && b.value >= 10 && b.value < 100
		for k := max(a.core-5, 0); pair && k < a.core; k++ {
			if p.is(k, "altitude") {
				a.value, a.unit, a.bare, a.to, a.numTo = a.value*100+b.value, b.unit, b.bare, b.to, b.numTo
				p.nums = append(p.nums[:i+1], p.nums[i+2:]...)
				break
			}
		}
	}
}
