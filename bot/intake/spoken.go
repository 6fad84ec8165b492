package intake

import "coldcase/bot/intake/lex"

// spoken reads a number said in words at token i: "two forty", "sixty two hundred",
// "thirteen point nine", "one and three eighths". end is i when there is none.
func (p *parse) spoken(i int) (value float64, end int, frac bool) {
	if !p.isNumeral(i) && !p.isPoint(i) {
		return p.spokenFraction(i)
	}
	if v, e, ok := p.spokenFraction(i); ok {
		return v, e, true
	}
	whole, end := p.spokenWhole(i)
	if v, e, ok := p.spokenPoint(end); ok {
		return whole + v, e, false
	}
	if v, ok := p.numeral(end); ok && v > 0 && v < 10 && p.isTenthSaid(i, end) {
		return whole + v/10, end + 1, false
	}
	j := end
	if p.is(j, "and", "y") {
		j++
	}
	if p.is(j, "a", "an") && j > end {
		j++
	}
	if v, e, ok := p.spokenFraction(j); ok && whole >= 13 && v == 0.5 && j > end {
		return whole + v, e, false // "fourteen and a half"
	}
	if v, e, ok := p.spokenFraction(j); ok && whole < 13 && v < 1 {
		return whole + v, e, true
	}
	return whole, end, false
}

// isTenthSaid: "thirty one point five thirty two and thirty one nine": the point of
// the last is left out. Only behind a decimal in the same sentence, and where the
// digit begins no number of its own.
func (p *parse) isTenthSaid(i, end int) bool {
	if last, _ := p.numeral(end - 1); end-i < 2 || last < 1 || last > 9 || p.isNumeral(end+1) || p.nameBegins(end+1) && !p.numberBehindName(end+1) || p.r.units.At(p.t, end+1).To > end+1 {
		return false
	}
	for k := max(i-farOff, 0); k < i; k++ {
		if p.sentence[k] == p.sentence[i] && p.isPoint(k) {
			return true
		}
	}
	return false
}

// numberBehindName: the name at token i has a number of its own behind it.
func (p *parse) numberBehindName(i int) bool {
	to := p.r.names.At(p.t, i).To
	for k := to; k < min(to+3, len(p.t)); k++ {
		if p.t[k].Kind == lex.Number || p.isNumeral(k) {
			return true
		}
	}
	return false
}

func (p *parse) numeral(i int) (float64, bool) {
	if i < 0 || i >= len(p.t) || p.t[i].Kind != lex.Word {
		return 0, false
	}
	v, ok := p.r.words.Numbers[p.t[i].Word]
	return v, ok
}

func (p *parse) isNumeral(i int) bool { _, ok := p.numeral(i); return ok }

func (p *parse) isPoint(i int) bool {
	_, ok := p.listed("points", i)
	return ok && p.isNumeral(i+1)
}

// spokenFraction reads "seven eighths", "half", "a quarter".
func (p *parse) spokenFraction(i int) (float64, int, bool) {
	n, j := 1.0, i
	if v, ok := p.numeral(i); ok && v >= 1 && v < 16 {
		n, j = v, i+1
	}
	if j >= len(p.t) || p.t[j].Kind != lex.Word {
		return 0, i, false
	}
	f, ok := p.r.words.Fractions[p.t[j].Word]
	if !ok || j == i && !p.is(i, "half", "quarter") && !p.is(i-1, "a", "an") {
		return 0, i, false
	}
	return n * f, j + 1, true
}

// spokenPoint reads "point nine", "point one five".
func (p *parse) spokenPoint(i int) (v float64, end int, ok bool) {
	if !p.isPoint(i) {
		return 0, i, false
	}
	scale := 0.1
	for j := i + 1; ; j++ {
		d, isDigit := p.numeral(j)
		if !isDigit || d > 9 || j > i+1 && p.isPoint(j+1) {
			return v, j, j > i+1
		}
		v += d * scale
		scale /= 10
	}
}

// spokenWhole reads a whole number. Two-part hundreds ("two forty", "one thirty
// five", "four oh four") are read as techs say them.
func (p *parse) spokenWhole(i int) (float64, int) {
	var total, part float64
	last := -1.0 // the numeral before, to know what may follow it
	j := i
	for ; ; j++ {
		k := j
		if p.is(k, "and", "y") && last >= 0 {
			k++
		}
		v, ok := p.numeral(k)
		if !ok {
			break
		}
		if k != j && !joinsAfterAnd(last, v, p.is(j, "y")) {
			break
		}
		switch {
		case v == 1000 && last > 0:
			total, part = total+part*1000, 0
		case v == 100 && last > 0 && part < 100:
			part *= 100
		case last < 0, last == 1000:
			part += v
		case last == 100 || last > 100:
			if v >= 100 {
				return total + part, j
			}
			part += v
		case last >= 20 && v > 0 && v < 10 && part >= 100 && p.startsHundred(k):
			return total + part, j
		case last >= 20 && v > 0 && v < 10:
			part += v
		case isShortHundred(part, last, v, p, k):
			part = part*100 + v
		case v == 0 && last > 0 && last < 10 && p.isDigitWord(k+1):
			part *= 100 // four oh four
		case last == 0 && v < 10 && part >= 100:
			part += v
		default:
			return total + part, j
		}
		last = v
		j = k
	}
	return total + part, j
}

// startsHundred: the digit begins the next number, "four sixty | four fifty five".
func (p *parse) startsHundred(k int) bool {
	v, ok := p.numeral(k + 1)
	return ok && v >= 10 && v <= 100
}

// joinsAfterAnd: "two hundred and ten", "treinta y cinco".
func joinsAfterAnd(last, v float64, spanish bool) bool {
	if spanish {
		return last >= 20 && last < 100 && v < 10
	}
	return last == 100 && v < 100
}

// isShortHundred: a digit (or teen) and then tens or teens, "two forty", "ten fifty".
func isShortHundred(part, last, v float64, p *parse, k int) bool {
	if last != part || last < 1 || last > 19 || v < 10 || v > 90 {
		return false
	}
	return last < 10
}

func (p *parse) isDigitWord(i int) bool {
	v, ok := p.numeral(i)
	return ok && v > 0 && v < 10
}
