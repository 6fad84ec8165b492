package intake

import (
	"strconv"
	"strings"
	"sync"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
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

// doubted: "might be 404", "not sure if 448 or".
func (p *parse) doubted(i, end int) bool {
	for k := max(i-4, 0); k < min(end+3, len(p.t)); k++ {
		if p.chunk[k] != p.chunk[i] {
			continue
		}
		if p.is(k, "might", "maybe", "guess", "probably") && k < i || p.is(k, "not") && p.is(k+1, "sure") || p.is(k, "think") {
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
		if p.chunk[k] == p.chunk[i] && (p.is(k, "originally", "formerly", "from", "not", "era") || p.is(k, "old") && k == i-1 || p.is(k, "was", "used") && p.saysConverted()) {
			return true
		}
	}
	return p.is(end, "originally", "before") || p.is(end, "conversion", "retrofit") && false
}

func (p *parse) saysConverted() bool {
	return p.says("converted", "conversion", "now", "retrofit", "retrofitted", "changed", "ahora", "is", "its")
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
	t := p.t[i]
	if name, ok := p.r.words.RefrigerantWords[t.Plain]; ok {
		return name, i + 1
	}
	if t.Kind == lex.Word && len(t.Plain) > 2 && t.Plain[0] == 'r' && t.Plain[1] >= '0' && t.Plain[1] <= '9' {
		digits, letters := splitDigits(t.Plain[1:])
		return p.completed(digits, letters, i+1, true)
	}
	if p.is(i, "r", "refrigerant", "refrigerante", "hfc") {
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

// bareRefrigerant reads "448a", "on 22", "404" where nothing wants the number.
func (p *parse) bareRefrigerant(digits string, i, e int) (string, int) {
	name, end := p.completed(digits, "", e, false)
	if end > e {
		if !p.t[e].Glued && p.t[i].Kind == lex.Number && p.nameWaits(i) {
			return "", i // RLA 438 A
		}
		return name, end
	}
	v, err := strconv.Atoi(digits)
	if err != nil {
		return "", i
	}
	if _, known := p.r.words.BareRefrigerants[v]; !known || !p.standsAsRefrigerant(i, e, v) {
		return "", i
	}
	return name, e
}

// code reads the digits of a refrigerant, in figures or in words.
func (p *parse) code(i int) (digits string, end int) {
	if i >= len(p.t) {
		return "", i
	}
	t := p.t[i]
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

// letterBelongs: 404A, 404 A, "four oh four a"; not "448 a bit".
func (p *parse) letterBelongs(e int) bool {
	t := p.t[e]
	if t.Glued || t.Text != t.Plain {
		return true
	}
	return p.t[e-1].Kind == lex.Word || e+1 >= len(p.t) || p.t[e+1].Kind == lex.Mark
}

// isomer passes over the (E) of R1234ze(E).
func (p *parse) isomer(i int) int {
	if p.is(i, "(") && p.is(i+2, ")") && p.t[i].Glued {
		return i + 3
	}
	return i
}

// standsAsRefrigerant tells a bare 448 that is the refrigerant from a reading:
// no unit behind it, no name in front that waits for a number.
func (p *parse) standsAsRefrigerant(i, e, v int) bool {
	if f := p.r.units.At(p.t, e); f.To > e && (p.t[e].Glued || len(p.t[e].Plain) > 1 || properNames()[strconv.Itoa(v)+p.t[e].Plain] == "") {
		return false // "402 V"; "404 A" is the refrigerant
	}
	for _, k := range []int{i - 1, e} {
		if k >= 0 && k < len(p.t) && p.t[k].Kind == lex.Mark && p.is(k, "/", "-", "#", `"`, "'", ":", "~", "$", "%") && (k != e || p.t[k].Glued) && !(k == i-1 && p.is(k, "#", `"`, "'", "%") && p.t[k].Glued) && !(k == e && p.is(k, ":") && e+1 < len(p.t) && !p.t[e+1].Glued) {
			return false
		}
	}
	if p.inRow(i, e) {
		return false
	}
	if p.isOf22(i, e, v) {
		return true
	}
	if (p.nameBegins(e) || p.nameWaits(i)) && p.otherRefrigerant(i) {
		return false // "450 suction on a 410a"
	}
	_, said := p.listedBefore("refrigerant_before", i)
	if !said && p.testBefore(i) || p.isNumeral(i) && (!said && !p.saysOh(i, e) || p.isNumeral(e)) {
		return false
	}
	if v < 100 && !p.is(i-1, "r", "on", "refrigerant", "gas", "running") {
		return false
	}
	if v < 100 && p.is(i-1, "gas") && (p.ctx.Refrigerant != "" || p.otherRefrigerant(i)) {
		return false // "22 suct, gas 22" on a job whose gas is known
	}
	return !p.nameWaits(i) && !p.legWaits(i) && !p.nameBehindWaits(e)
}

// namesBehind: "410 suction 1180 discharge": the number at token k has its name
// behind it too, and no third number follows.
func (p *parse) namesBehind(k int) bool {
	f := p.r.names.At(p.t, k+1)
	if p.t[k].Kind != lex.Number || f.To == k+1 {
		return false
	}
	n := p.r.words.Readings[f.IDs[0]]
	pressure := len(n.Is) > 0 && lexicon.KindOf(n.Is[0]) == lexicon.Pressure
	return pressure && (f.To >= len(p.t) || lex.EndsClause(p.t[f.To]))
}

// nameBehindWaits: in "290 head, disch 271" the number is the head's: no other
// follows the name.
func (p *parse) nameBehindWaits(e int) bool {
	f := p.r.names.At(p.t, e)
	if f.To == e {
		return false
	}
	n := p.r.words.Readings[f.IDs[0]]
	if n.Loose || n.Ignore || n.Only != "" || len(n.Is) != 1 || lexicon.KindOf(n.Is[0]) != lexicon.Pressure {
		return false
	}
	for k := f.To; k < len(p.t) && k < f.To+4; k++ {
		if p.t[k].Kind == lex.Number || p.isNumeral(k) {
			return p.namesBehind(k)
		}
		if lex.EndsClause(p.t[k]) {
			return true
		}
	}
	return f.To >= len(p.t)
}

// otherRefrigerant: one with its letters stands elsewhere in the message.
func (p *parse) otherRefrigerant(i int) bool {
	for k := range p.t {
		w := p.t[k].Plain
		if k != i && p.t[k].Kind == lex.Word && (p.r.words.RefrigerantWords[w] != "" || len(w) > 2 && w[0] == 'r' && properNames()[w[1:]] != "") {
			return true
		}
		if k != i && p.t[k].Kind == lex.Number && k+1 < len(p.t) && p.t[k+1].Glued && properNames()[p.t[k].Text+p.t[k+1].Plain] != "" {
			return true
		}
	}
	return false
}

// isOf22: "22 unit", "8 pounds of 22": what two digits mean only there.
func (p *parse) isOf22(i, e, v int) bool {
	if v != 22 {
		return false
	}
	_, told := p.listed("refrigerant_behind", e)
	if _, mass := p.listedBefore("refrigerant_mass", i-1); mass && p.is(i-1, "of") {
		return true
	}
	return told && !p.nameWaits(i)
}

// saysOh: "high side two twenty one five oh seven and": a name of its own kind.
func (p *parse) saysOh(i, e int) bool {
	return e == i+3 && p.is(i+1, "oh") && p.isNumeral(i-1) && p.r.units.At(p.t, e).To == e
}

// testBefore: in "vac 250 hold 30 min 290" the last number is no refrigerant.
func (p *parse) testBefore(i int) bool {
	for k := i - 1; k >= 0 && p.sentence[k] == p.sentence[i]; k-- {
		if p.is(k, "microns") {
			return true
		}
		for s := range stories {
			if _, ok := p.listed(stories[s].list, k); ok {
				return true
			}
		}
	}
	return false
}

// inRow spots one of three numbers side by side.
func (p *parse) inRow(i, e int) bool {
	number := func(k int) bool { return k >= 0 && k < len(p.t) && p.t[k].Kind == lex.Number }
	return number(i-1) && number(e) || number(i-1) && number(i-2) || number(e) && number(e+1)
}

// legWaits: "L2-L3 458".
func (p *parse) legWaits(i int) bool {
	if i == 0 {
		return false
	}
	letter, kind := legLetter(p.t[i-1])
	return letter != 0 && kind != 0
}

// ownNumber: a reading's name stands right before the number at token i, so that
// it is its own: the 6 of "suct 6 head 134".
func (p *parse) ownNumber(i int) bool {
	for k := max(i-4, 0); k < i; k++ {
		if f := p.r.names.At(p.t, k); f.To == i && f.To > k && p.sentence[k] == p.sentence[i] {
			// in "33 suct 188 head" each name has its number before it
			return k == 0 || p.t[k-1].Kind != lex.Number || p.ownNumber(k-1)
		}
	}
	return false
}

// nameWaits: the words right before token i name a reading that has no number yet.
func (p *parse) nameWaits(i int) bool {
	for k := max(i-5, 0); k < i; k++ {
		f := p.r.names.At(p.t, k)
		if f.To == k || f.To > i || i-f.To > 2 || p.sentence[k] != p.sentence[i] || p.chunk[f.To-1] != p.chunk[i] {
			continue
		}
		between := false
		for j := f.To; j < i; j++ {
			between = between || p.t[j].Kind == lex.Number || p.is(j, "on", "with", "con") || p.isNumeral(j)
		}
		if between {
			continue // that name has its number
		}
		n := name{Name: &p.r.words.Readings[f.IDs[0]]}
		before := k > 0 && (p.t[k-1].Kind == lex.Number || p.isNumeral(k-1)) && f.To == i && !p.ownNumber(k-1)
		return !n.Ignore && !before && (!n.Loose || n.Only != "") && n.takesBare()
	}
	return false
}
