package intake

import (
	"slices"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// setAside marks the numbers that are no readings: times of day, dates, money,
// telephone and order numbers, last month's value, what it should be.
func (p *parse) setAside() {
	for i := range p.nums {
		q := &p.nums[i]
		if q.idle || p.isForeign(q) || p.isTime(q) || p.isNumberOf(q) || p.isMoney(q) || p.isCount(q) || p.isDeniedNumber(q) || p.isAway(q) {
			q.idle = true
			p.mark(q.from, q.to, counted)
		} else if p.isSinceChange(q) {
			p.put(q, vocab.CompressorAge)
		} else if p.isEarlier(i) {
			q.idle, q.earlier = true, true
			p.mark(q.from, q.to, counted)
		}
	}
	for i := range p.nums {
		p.wentFrom(i)
		p.eitherOr(i)
	}
}

// insulationIn: the number before is one of insulation.
func (p *parse) insulationIn(q *quantity) bool {
	for k := q.from - 1; k >= max(q.from-5, 0); k-- {
		if i := p.numOf[k]; i >= 0 {
			return p.nums[i].unit != nil && p.nums[i].fits(lexicon.Insulation) || k > 0 && p.nameEndsAt(p.nums[i].from) && p.names[p.nameOf[p.nums[i].from-1]].Only == lexicon.Insulation
		}
	}
	return false
}

// isForeign: amps, volts or ohms of a heater, a fan or a control, and not of the
// compressor.
func (p *parse) isForeign(q *quantity) bool {
	if q.unit != nil && q.fits(lexicon.Volts) && p.says("insulation") && slices.Contains(p.r.words.Sizes.MeggerVolts, q.value) {
		return true // "megged it at 500 V"
	}
	if q.unit != nil && q.fits(lexicon.Temp) && !q.fits(lexicon.Heat) && p.is(q.from-1, "at", "@", "a") && p.insulationIn(q) {
		return true // "18 Mohm at 22 C"
	}
	if p.isFetched(q) {
		return true
	}
	if q.row == 3 || q.unit == nil || !q.fits(lexicon.Amps) && !q.fits(lexicon.Volts) && !q.fits(lexicon.Ohms) {
		return false
	}
	back := p.chunk[q.core]
	if p.isOne("through_words", q.to) && p.is(q.to+1, "it") {
		back-- // "cch is cold, got 0 amps on it"
	}
	for k := q.core - 1; k >= 0 && p.chunk[k] >= back && p.sentence[k] == p.sentence[q.core]; k-- {
		if _, ok := p.listed("foreign", k); ok {
			return true
		}
	}
	return false
}

// isFetched: "need 2 contactors 30 amp and a roll of 3/8 copper": what is not there yet.
func (p *parse) isFetched(q *quantity) bool {
	if q.row == 3 || !q.frac && (q.unit == nil || !q.fits(lexicon.Amps) && !q.fits(lexicon.Volts)) {
		return false
	}
	for k := q.from - 1; k >= max(q.from-farOff, 0) && p.sentence[k] == p.sentence[q.core]; k-- {
		if p.nameOf[k] >= 0 && p.numOf[k] < 0 {
			return false
		}
		if _, ok := p.listed("fetching", k); ok {
			return true
		}
	}
	return false
}

// isAway: "six inches out", "6 in from the compressor": where the probe sits.
func (p *parse) isAway(q *quantity) bool {
	if q.unit == nil || q.frac || q.code(lexicon.Size) != units.CodeInch {
		return false
	}
	_, away := p.listed("beyond", q.to)
	return away
}

func (p *parse) isMoney(q *quantity) bool {
	return p.is(q.core-1, "$", "€", "usd") || p.is(q.to, "$", "€")
}

// isDeniedNumber: "28 not 82".
func (p *parse) isDeniedNumber(q *quantity) bool {
	return p.is(q.from-1, "not") && p.t[q.from-1].Kind == lex.Word && p.t[q.from-1].Plain != "dont"
}
