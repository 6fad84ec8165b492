package intake

import (
	"math"
	"strings"

	"coldcase/bot/intake/lex"
)

// isTubeDecimal: 1.375, .875: the outside diameter of a tube as a decimal of three places.
func (p *parse) isTubeDecimal(t *lex.Token) bool {
	dot := strings.IndexByte(t.Text, '.')
	return dot >= 0 && len(t.Text)-dot == 4 && t.Value < 6 && t.Value*8 == math.Trunc(t.Value*8)
}

// isInchAnd sees "inch and an eighth", "inch and three eighths".
func (p *parse) isInchAnd(i int) bool {
	if !p.is(i, "inches") || !p.is(i+1, "and") {
		return false
	}
	_, _, ok := p.spokenFraction(p.inchFraction(i))
	return ok || p.inchFraction(i) == i+3 && p.isOne("one_of_ruler", i+3)
}

// inchFraction is the token at which the fraction of "inch and an eighth" begins.
func (p *parse) inchFraction(i int) int {
	if p.is(i+2, "a", "an") {
		return i + 3
	}
	return i + 2
}

// isMinus sees "minus five", "negative ten".
func (p *parse) isMinus(i int) bool {
	_, ok := p.listed("minus", i)
	return (ok || p.is(i, "negative")) && p.isNumeral(i+1)
}

// hourPart is how many minutes "half an hour", "a quarter of an hour" are; 0 is none.
func (p *parse) hourPart(i int) float64 {
	if p.is(i, "an", "a") && p.is(i+1, "hours") && p.t[i+1].Plain == "hour" {
		if _, ok := p.listedBefore("a_while", i); ok {
			return 60
		}
	}
	if !p.is(i, "half", "quarter") {
		return 0
	}
	k := i + 1
	for p.is(k, "of", "an", "a") {
		k++
	}
	if !p.is(k, "hours") {
		return 0
	}
	return 60 * p.r.words.Fractions[p.t[i].Word]
}

// isMinusDigits: "minus 5"; "box negative 10", but not "acid test negative 12 starts".
func (p *parse) isMinusDigits(i int) bool {
	if i+1 >= len(p.t) || p.t[i+1].Kind != lex.Number || p.t[i+1].Signed || p.use[i+1] != unused {
		return false
	}
	if _, ok := p.listed("minus", i); ok {
		return true
	}
	if !p.is(i, "negative", "neg") {
		return false
	}
	for k := i; k >= max(i-3, 1); k-- {
		if p.namedBefore(k) {
			return true
		}
		if !p.isOne("before_negative", k-1) {
			return false
		}
	}
	return i == 0
}

// digitsWithWords reads "12 hundred", "40 thousand", "36k".
func (p *parse) digitsWithWords(q quantity, end *int) quantity {
	if i := *end; p.is(i, "thousand", "mil", "hundred") {
		v, _ := p.numeral(i)
		q.value *= v
		*end = i + 1
	}
	if i := *end; p.is(i, "and") && p.is(i+1, "a") && p.is(i+2, "half") {
		q.value += 0.5
		*end = i + 3
	}
	return q
}

// loneWord keeps "one of them", "a half", "no one" from being numbers.
func (p *parse) loneWord(q quantity, i, end int) bool {
	if end > i+1 {
		return false
	}
	if q.frac {
		return !p.is(end, "inches", "in", "load", "capacity") && !(p.is(i-1, "a", "to") && p.saysOne("unload_words")) // "half an hour"
	}
	switch p.t[i].Plain {
	case "one", "uno":
		f := p.r.units.At(p.t, end)
		return f.To == end
	case "once", "oh", "zero", "cero", "hundred", "thousand", "mil", "second":
		f := p.r.units.At(p.t, end)
		return f.To == end && p.t[i].Plain != "zero" && p.t[i].Plain != "cero"
	}
	return false
}

// belowZero reads "22 below", "10 below zero".
func (p *parse) belowZero(q *quantity) {
	if p.is(q.to, "below", "under") && !q.signed && (p.isOne("after_below", q.to+1) || q.to+1 >= len(p.t) || p.t[q.to+1].Kind != lex.Word) {
		q.value, q.signed, q.to = -q.value, true, q.to+1
		if p.is(q.to, "zero") {
			q.to++
		}
	}
	if p.is(q.to, "bajo") && p.is(q.to+1, "cero") {
		q.value, q.signed, q.to = -q.value, true, q.to+2
	}
}
