package intake

import (
	"strconv"
	"strings"
	"sync"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/refrigerant"
	"coldcase/refdata/vocab"
)

// properNames maps digits and small letters to the name as readings.md spells it.
var properNames = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	for _, n := range refrigerant.Names() {
		m[strings.ToLower(strings.TrimPrefix(n, "R"))] = n
	}
	m["1234ze"] = "R1234ze(E)"
	return m
})

// findRefrigerant reads R448A, r-22, 404a, four oh four A, CO2, propane. A bare
// 407 or 454 could be several and is asked about.
func (p *parse) findRefrigerant() {
	for i := 0; i < len(p.t); i++ {
		if p.use[i] != unused {
			continue
		}
		name, end := p.refrigerantAt(i)
		if end == i {
			continue
		}
		if other, ok := p.eitherRefrigerant(end); ok {
			p.mark(i, other, named)
			p.ask(string(vocab.Refrigerant), "Which of the two refrigerants is it?")
			return
		}
		p.mark(i, end, named)
		if p.says("mix", "mixing", "mixed") && p.is(end, "and", "with", "or") {
			if _, other := p.refrigerantAt(end + 1); other > end+1 {
				p.mark(end+1, other, named) // "can i mix 404 and 507" is about no system's own
				return
			}
		}
		switch {
		case p.formerRefrigerant(i, end):
		case p.atHand(i, end):
			p.atHandGas = name
		case name == "":
			p.ask(string(vocab.Refrigerant), p.textOf(i, end)+" could be several. Which letter?")
		case p.doubted(i, end):
			p.ask(string(vocab.Refrigerant), "Is it really "+name+"?")
		default:
			p.m.Facts[vocab.Refrigerant] = name
		}
		i = end - 1
	}
}

// atHand: "only have 438A on the truck", "got a jug of 404A": what the tech has along is
// not what the system holds.
func (p *parse) atHand(i, end int) bool {
	const around = 7 // words
	along := false
	for k := min(end+around, len(p.t)) - 1; k >= max(i-around, 0); k-- {
		switch {
		case p.chunk[k] != p.chunk[i]:
		case p.isOne("along_with_us", k), p.is(k, "me") && p.is(k-1, "with", "on"):
			along = true
		case k < i && p.isOne("gas_bottles", k):
			along = true
		case along && k < i && p.isOne("having", k):
			return true
		}
	}
	return false
}

// otherGas: what is at hand is not known to be what the system holds.
func (p *parse) otherGas() bool {
	known := p.m.Facts[vocab.Refrigerant]
	if known == "" {
		known = p.ctx.Refrigerant
	}
	return p.atHandGas != "" && p.atHandGas != known
}

// doubted: "might be 404", "not sure if 448 or".
func (p *parse) doubted(i, end int) bool {
	for k := max(i-4, 0); k < min(end+3, len(p.t)); k++ {
		if p.chunk[k] != p.chunk[i] {
			continue
		}
		if p.isOne("guess_words", k) && k < i || p.is(k, "not") && p.is(k+1, "sure") || p.is(k, "think") {
			return true
		}
	}
	return false
}

// formerRefrigerant: what the system was on before it was converted.
func (p *parse) formerRefrigerant(i, end int) bool {
	for k := i - 1; k >= max(i-3, 0); k-- {
		if _, today := p.listed("today", k); today || p.is(k, "to", "a") && k == i-1 {
			return false // "from R22 to R438A", "was 502, now 404"
		}
		if p.chunk[k] == p.chunk[i] && (p.isOne("former_words", k) || p.is(k, "old") && k == i-1 || p.is(k, "was", "used") && p.saysConverted()) {
			return true
		}
	}
	return p.is(end, "originally", "before") || p.is(end, "conversion", "retrofit") && false
}

func (p *parse) saysConverted() bool {
	return p.saysOne("converted_words")
}

// eitherRefrigerant sees "404 or 507".
func (p *parse) eitherRefrigerant(end int) (other int, ok bool) {
	if !p.is(end, "or", "o") || end+1 >= len(p.t) {
		return end, false
	}
	_, other = p.refrigerantAt(end + 1)
	return other, other > end+1
}

// refrigerantAt reads a refrigerant at token i; end is i when there is none, the
// name "" when letters are missing that decide it.
func (p *parse) refrigerantAt(i int) (name string, end int) {
	t := &p.t[i]
	if name, ok := p.r.words.RefrigerantWords[t.Plain]; ok {
		return name, i + 1
	}
	if t.Kind == lex.Word && len(t.Plain) > 2 && t.Plain[0] == 'r' && t.Plain[1] >= '0' && t.Plain[1] <= '9' {
		digits, letters := splitDigits(t.Plain[1:])
		return p.completed(digits, letters, i+1, true)
	}
	if p.isOne("refrigerant_leads", i) {
		j := i + 1
		if p.is(j, "-") {
			j++
		}
		if digits, e := p.code(j); e > j {
			if name, e := p.completed(digits, "", e, true); e > i {
				return name, e
			}
		}
		return "", i
	}
	digits, e := p.code(i)
	if e == i || p.r.words.BareRefrigerants == nil {
		return "", i
	}
	return p.bareRefrigerant(digits, i, e)
}

// code reads the digits of a refrigerant, in figures or in words.
func (p *parse) code(i int) (digits string, end int) {
	if i >= len(p.t) {
		return "", i
	}
	t := &p.t[i]
	if t.Kind == lex.Number && !t.Decimal && !t.Frac && !t.Signed && len(t.Text) <= 4 && !strings.Contains(t.Text, ",") {
		return t.Text, i + 1
	}
	if v, e, frac := p.spoken(i); e > i+1 && !frac && v == float64(int(v)) && v >= 22 && v < 1300 {
		return strconv.Itoa(int(v)), e
	}
	return "", i
}

func splitDigits(s string) (digits, rest string) {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return s[:n], s[n:]
}

// completed adds the letters that belong to the digits and finds the name; end is
// e when no letters were added.
func (p *parse) completed(digits, letters string, e int, sure bool) (string, int) {
	if letters != "" {
		if name, ok := properNames()[digits+letters]; ok {
			return name, p.isomer(e)
		}
		if len(letters) > 2 {
			return "", e - 1
		}
		return "R" + digits + strings.ToUpper(letters), p.isomer(e)
	}
	if e < len(p.t) && p.t[e].Kind == lex.Word && len(p.t[e].Plain) <= 2 && p.letterBelongs(e) {
		if name, ok := properNames()[digits+p.t[e].Plain]; ok {
			return name, p.isomer(e + 1)
		}
	}
	v, err := strconv.Atoi(digits)
	if err != nil {
		return "", e
	}
	if name, ok := p.r.words.BareRefrigerants[v]; ok {
		return name, e
	}
	if name, ok := properNames()[digits]; ok && sure {
		return name, e
	}
	if sure && len(digits) >= 2 {
		return "R" + digits, e
	}
	return "", e
}

// isomer passes over the (E) of R1234ze(E).
func (p *parse) isomer(i int) int {
	if p.is(i, "(") && p.is(i+2, ")") && p.t[i].Glued {
		return i + 3
	}
	return i
}
