package intake

import (
	"strconv"
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
)

// quantity is a number of the message with its unit, before it has a key.
type quantity struct {
	value    float64
	unit     *lexicon.Unit // nil when no unit was typed
	approx   bool
	fraction bool // 7/8, 1-3/8: a tube size when it stands alone
	spelled  bool // typed in words
	feetMark bool
	from, to int // tokens, with sign and unit
	core     int // token of the number itself
	list     int // number of the list that it is part of, 0 for none
	place    int // place in its list
	size     int // length of its list
	used     bool
	ignored  bool
	doubtful bool // said to be one of two, or not remembered
}

// kind of the quantity by its unit.
func (q *quantity) kind() lexicon.Kind {
	switch {
	case q.unit != nil:
		return q.unit.Kind
	case q.fraction:
		return lexicon.Size
	}
	return ""
}

// numberAt reads the number that begins at token i: its value and how many
// tokens it takes; 0 when none begins there.
func numberAt(t []lex.Token, i int) (v float64, n int, fraction bool) {
	if t[i].Kind == lex.Number {
		return digitsAt(t, i)
	}
	if t[i].Kind == lex.Word {
		if v, n := spelledAt(t, i); n > 0 {
			if f, m := spelledFraction(t, i+n); m > 0 && v < 10 {
				return v + f, n + m, true
			}
			return v, n, false
		}
		if f, m := fractionWord(t, i); m > 0 {
			return f, m, true
		}
	}
	return 0, 0, false
}

// digitsAt reads 28, 1,600, 3,4, 7/8, 1-3/8, 1 3/8.
func digitsAt(t []lex.Token, i int) (v float64, n int, fraction bool) {
	v, ok := plainNumber(t[i].Text)
	if !ok {
		return 0, 0, false
	}
	if f, ok := slashed(t, i); ok {
		return f, 3, true
	}
	whole := v == float64(int(v)) && v > 0 && v < 10
	if whole && i+4 < len(t) && t[i+1].Text == "-" && t[i+1].Glued && t[i+2].Glued {
		if f, ok := slashed(t, i+2); ok {
			return v + f, 5, true
		}
	}
	if whole && i+3 < len(t) && t[i+1].Kind == lex.Number && !t[i+1].Glued {
		if f, ok := slashed(t, i+1); ok {
			return v + f, 4, true
		}
	}
	return v, 1, false
}

// slashed reads a fraction of an inch: an odd number over 2, 4, 8, 16 or 32.
func slashed(t []lex.Token, i int) (float64, bool) {
	if i+2 >= len(t) || t[i+1].Text != "/" || !t[i+1].Glued || !t[i+2].Glued || t[i+2].Kind != lex.Number {
		return 0, false
	}
	a, errA := strconv.Atoi(t[i].Text)
	b, errB := strconv.Atoi(t[i+2].Text)
	if errA != nil || errB != nil || a <= 0 || a >= b || a%2 == 0 {
		return 0, false
	}
	switch b {
	case 2, 4, 8, 16, 32:
		return float64(a) / float64(b), i+3 >= len(t) || t[i+3].Text != "/" || !t[i+3].Glued
	}
	return 0, false
}

// plainNumber reads digits with a decimal point, a decimal comma, or commas
// between thousands.
func plainNumber(s string) (float64, bool) {
	if head, tail, found := strings.Cut(s, ","); found {
		if len(tail) >= 3 && len(head) <= 3 && thousands(tail) {
			s = strings.ReplaceAll(s, ",", "")
		} else if !strings.Contains(tail, ",") && !strings.Contains(s, ".") && len(tail) <= 2 {
			s = head + "." + tail
		} else {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && len(s) <= 12
}

func thousands(tail string) bool {
	for group := range strings.SplitSeq(tail, ",") {
		digits, _, _ := strings.Cut(group, ".")
		if len(digits) != 3 {
			return false
		}
	}
	return true
}

var ones = map[string]int{"zero": 0, "oh": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "dos": 2, "tres": 3, "cuatro": 4, "cinco": 5, "seis": 6, "siete": 7, "ocho": 8, "nueve": 9}

var teens = map[string]int{"ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19, "diez": 10, "once": 11, "doce": 12, "trece": 13, "catorce": 14, "quince": 15}

var tens = map[string]int{"twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90, "veinte": 20, "treinta": 30, "cuarenta": 40, "cincuenta": 50, "sesenta": 60, "setenta": 70, "ochenta": 80, "noventa": 90}

var hundreds = map[string]int{"cien": 100, "ciento": 100, "doscientos": 200, "trescientos": 300, "cuatrocientos": 400, "quinientos": 500}

// spelledAt reads a number in words, the way they are spoken: two thirty one,
// four oh four, sixty two hundred, fourteen point two, three hundred fifty.
func spelledAt(t []lex.Token, i int) (v float64, n int) {
	whole, n := spelledWhole(t, i)
	if n == 0 && word(t, i) != "point" {
		return 0, 0
	}
	v = float64(whole)
	if word(t, i+n) == "point" {
		scale, j := 0.1, i+n+1
		for ; j < len(t); j++ {
			d, ok := ones[word(t, j)]
			if !ok || j > i+n+1 && word(t, j+1) == "point" {
				break
			}
			v += float64(d) * scale
			scale /= 10
		}
		if scale == 0.1 {
			return v, n
		}
		v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'f', 6, 64), 64)
		return v, j - i
	}
	return v, n
}

func word(t []lex.Token, i int) string {
	if i < 0 || i >= len(t) || t[i].Kind != lex.Word {
		return ""
	}
	return t[i].Text
}

// spelledWhole reads the whole part.
func spelledWhole(t []lex.Token, i int) (v, n int) {
	v, n = belowHundred(t, i)
	if n == 0 {
		if h, ok := hundreds[word(t, i)]; ok {
			low, m := belowHundred(t, i+1)
			return h + low, 1 + m
		}
		return 0, 0
	}
	switch word(t, i+n) {
	case "hundred":
		v, n = v*100, n+1
		m := 0
		if word(t, i+n) == "and" {
			m = 1
		}
		if low, k := belowHundred(t, i+n+m); k > 0 && low > 0 {
			v, n = v+low, n+m+k
		}
	case "thousand", "mil":
		v, n = v*1000, n+1
		if low, k := spelledWhole(t, i+n); k > 0 && low < 1000 {
			v, n = v+low, n+k
		}
		return v, n
	default:
		// two thirty one: a digit before a number of two digits counts hundreds
		if v >= 1 && v <= 9 && n == 1 {
			if low, k := twoDigits(t, i+1); k > 0 {
				return v*100 + low, 1 + k
			}
		}
	}
	if word(t, i+n) == "thousand" {
		v, n = v*1000, n+1
	}
	return v, n
}

func belowHundred(t []lex.Token, i int) (v, n int) {
	w := word(t, i)
	if v, ok := tens[w]; ok {
		j := i + 1
		if word(t, j) == "y" {
			j++
		}
		if j < len(t) && t[j].Text == "-" && t[j].Glued {
			j++
		}
		if o, ok := ones[word(t, j)]; ok && o > 0 {
			return v + o, j - i + 1
		}
		return v, 1
	}
	if v, ok := teens[w]; ok {
		return v, 1
	}
	if v, ok := ones[w]; ok && w != "oh" {
		return v, 1
	}
	return 0, 0
}

// twoDigits is what may follow a spoken hundreds digit: thirty one, ten, oh four.
func twoDigits(t []lex.Token, i int) (v, n int) {
	switch w := word(t, i); w {
	case "oh", "zero":
		if o, ok := ones[word(t, i+1)]; ok && o > 0 && word(t, i+2) != "point" {
			return o, 2
		}
		return 0, 0
	default:
		v, n = belowHundred(t, i)
		if v < 10 {
			return 0, 0
		}
		return v, n
	}
}

var parts = map[string]float64{"half": 1.0 / 2, "quarter": 1.0 / 4, "quarters": 1.0 / 4, "fourth": 1.0 / 4, "fourths": 1.0 / 4, "eighth": 1.0 / 8, "eighths": 1.0 / 8, "sixteenth": 1.0 / 16, "sixteenths": 1.0 / 16}

// spelledFraction reads "and three eighths" after a whole number.
func spelledFraction(t []lex.Token, i int) (float64, int) {
	j := i
	if word(t, j) == "and" {
		j++
	}
	f, n := fractionWord(t, j)
	if n == 0 {
		return 0, 0
	}
	return f, j - i + n
}

// fractionWord reads "three eighths", "an eighth", "seven eighths". A bare
// "half" or "quarter" is left to other words.
func fractionWord(t []lex.Token, i int) (float64, int) {
	count, ok := ones[word(t, i)]
	if word(t, i) == "a" || word(t, i) == "an" {
		count, ok = 1, true
	}
	if !ok {
		return 0, 0
	}
	if f, ok := parts[word(t, i+1)]; ok && f < 0.5 {
		return float64(count) * f, 2
	}
	return 0, 0
}
