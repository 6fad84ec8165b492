package lex

import (
	"strconv"
	"strings"
)

// number takes digits with their point, comma or fraction.
//
//	28  .82  3.4  3,4  1,200  7/8  1-3/8  1 3/8
func (s *splitter) number() {
	from := s.at
	text, end, decimal := s.scanDecimal(from)
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		value = 0
	}
	t := Token{Kind: Number, From: from, To: end, Value: value, Decimal: decimal}
	if !decimal {
		s.fraction(&t)
	}
	s.at = t.To
	s.sign(&t)
	s.add(t)
}

// scanDecimal reads one plain number. A comma is a decimal comma unless three
// digits follow that can be a group of thousands.
func (s *splitter) scanDecimal(from int) (text string, end int, decimal bool) {
	in, i := s.text, from
	for isDigit(in, i) {
		i++
	}
	whole := in[from:i]
	if i < len(in) && in[i] == ',' && s.wholeAt(i+1) {
		return whole, i, false // "box 36,404A" is a list
	}
	for i < len(in) && in[i] == ',' && len(whole) >= 1 && digitsAt(in, i+1) == 3 && whole != "0" && (len(in[from:i]) <= 3 || strings.Contains(in[from:i], ",")) {
		whole += in[i+1 : i+4]
		i += 4
	}
	if i < len(in) && (in[i] == '.' || in[i] == ',' && whole == in[from:i]) && isDigit(in, i+1) {
		n := digitsAt(in, i+1)
		comma := in[i] == ','
		// "1,2,3" and "398,401" are lists, "12.5.2024" is a date
		if !comma || n <= 2 && (i+1+n >= len(in) || in[i+1+n] != ',' || !isDigit(in, i+2+n)) {
			return whole + "." + in[i+1:i+1+n], i + 1 + n, true
		}
	}
	return whole, i, false
}

// wholeAt: a word of letters and digits that is one whole begins at byte i.
func (s *splitter) wholeAt(i int) bool {
	end := i
	for end < len(s.text) && (isDigit(s.text, end) || isLetterByte(s.text[end])) {
		end++
	}
	return end > i && s.whole[strings.ToLower(s.text[i:end])]
}

func digitsAt(s string, i int) int {
	n := 0
	for isDigit(s, i+n) {
		n++
	}
	return n
}

// fraction turns 7/8 into 0.875, and a whole number before it (1-3/8, 1 3/8)
// into a mixed one. 68/250 stays two numbers.
func (s *splitter) fraction(t *Token) {
	v, end, ok := properFraction(s.text, t.From, t.To)
	if ok {
		t.Value, t.To, t.Frac = v, end, true
		s.mix(t)
	}
}

// properFraction: a reduced fraction with a denominator off the ruler.
func properFraction(s string, from, slash int) (v float64, end int, ok bool) {
	if slash >= len(s) || s[slash] != '/' || !isDigit(s, slash+1) || slash-from > 2 {
		return 0, 0, false
	}
	end = slash + 1 + digitsAt(s, slash+1)
	if end < len(s) && s[end] == '/' && isDigit(s, end+1) {
		return 0, 0, false
	}
	if end < len(s) && s[end] == '.' && isDigit(s, end+1) {
		return 0, 0, false
	}
	num, err1 := strconv.Atoi(s[from:slash])
	den, err2 := strconv.Atoi(s[slash+1 : end])
	if err1 != nil || err2 != nil || num >= den || num == 0 {
		return 0, 0, false
	}
	switch {
	case den == 2, den == 4, den == 8, den == 16, den == 32:
		return float64(num) / float64(den), end, num%2 == 1
	case den == 3:
		return float64(num) / 3, end, true
	}
	return 0, 0, false
}

// mix joins the whole number just before: "1-3/8", "1 3/8", "1 - 3/8".
func (s *splitter) mix(t *Token) {
	n := len(s.out)
	dash := n > 1 && s.out[n-1].Kind == Mark && s.out[n-1].Plain == "-" && s.out[n-1].Glued && s.out[n-1].To == t.From
	i := n - 1
	if dash {
		i--
	}
	if i < 0 || s.out[i].Kind != Number || s.out[i].Decimal || s.out[i].Frac || s.out[i].Value > 12 || s.out[i].Value < 1 {
		return
	}
	const spaces = 3
	if !dash && strings.TrimSpace(s.text[s.out[i].To:t.From]) != "" || t.From-s.out[i].To > spaces {
		return
	}
	if i > 0 && s.out[i].Glued && (s.out[i-1].Plain == "/" || s.out[i-1].Plain == ":") {
		return
	}
	t.Value += s.out[i].Value
	t.From = s.out[i].From
	s.out = s.out[:i]
}

// sign takes a minus or plus in front: after a space or an opening, before no space.
func (s *splitter) sign(t *Token) {
	n := len(s.out)
	if n == 0 || t.Frac {
		return
	}
	m := s.out[n-1]
	if m.Kind != Mark || m.To != t.From || m.Plain != "-" && m.Plain != "+" {
		return
	}
	if n > 1 && m.Glued {
		b := s.out[n-2]
		if b.Kind == Number || b.Kind == Word || b.Plain == `"` || b.Plain == "'" {
			return
		}
	}
	if m.Plain == "-" {
		t.Value = -t.Value
	}
	t.From, t.Signed = m.From, true
	s.out = s.out[:n-1]
}
