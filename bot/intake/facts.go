package intake

import (
	"strconv"
	"strings"
	"unicode"

	"coldcase/bot/casenumber"
	"coldcase/bot/intake/lex"
	"coldcase/refdata/vocab"
)

// findCase reads "case 1042-9". A number whose check digit does not fit is asked
// about: readings must not land on another store's case.
func (p *parse) findCase() {
	for i := 0; i < len(p.t); i++ {
		if p.t[i].Text != "case" && p.t[i].Text != "caso" {
			continue
		}
		j := i + 1
		for j < len(p.t) && (p.t[j].Text == "#" || p.t[j].Text == "no" || p.t[j].Text == "number" || p.t[j].Text == "num") {
			j++
		}
		digits, end := p.caseDigits(j)
		if len(digits) < 2 {
			continue
		}
		p.take(i, end)
		p.setCase(digits)
		p.correctedCase(end)
	}
}

// caseDigits gathers 1042-9, 10429 or 1042 9.
func (p *parse) caseDigits(j int) (digits string, end int) {
	if j >= len(p.t) || p.t[j].Kind != lex.Number || strings.ContainsAny(p.t[j].Text, ".,") {
		return "", j
	}
	digits, end = p.t[j].Text, j+1
	if end < len(p.t) && p.t[end].Text == "-" && end+1 < len(p.t) && p.t[end+1].Kind == lex.Number && len(p.t[end+1].Text) == 1 {
		return digits + p.t[end+1].Text, end + 2
	}
	if end < len(p.t) && p.t[end].Kind == lex.Number && len(p.t[end].Text) == 1 && !p.t[end].Glued && (end+1 >= len(p.t) || p.t[end+1].Kind != lex.Number) {
		return digits + p.t[end].Text, end + 1
	}
	return digits, end
}

func (p *parse) setCase(digits string) {
	n, err := casenumber.Parse(digits)
	if err != nil {
		p.ask(string(vocab.Case), "Case "+digits+" doesn't check out. Which number is it?")
		return
	}
	p.m.Facts[vocab.Case] = n.String()
	for i, a := range p.m.Asks {
		if a.Key == string(vocab.Case) {
			p.m.Asks = append(p.m.Asks[:i], p.m.Asks[i+1:]...)
			break
		}
	}
}

// correctedCase reads a second number after "sorry", "no", "i mean".
func (p *parse) correctedCase(j int) {
	for k := j; k < len(p.t) && k < j+4; k++ {
		if digits, end := p.caseDigits(k); len(digits) >= 3 && k > j && strings.Contains(p.text[p.t[k].Start:p.t[end-1].End], "-") {
			p.take(k, end)
			p.setCase(digits)
			return
		}
	}
}

// findRefrigerant reads R448A, r-22, 404a, four oh four A, CO2, propane. A bare
// 407 or 454 could be several and is asked about.
func (p *parse) findRefrigerant() {
	for i := range p.t {
		if p.taken[i] {
			continue
		}
		name, n, sure := p.refrigerantAt(i)
		if n == 0 {
			continue
		}
		if p.eitherRefrigerant(i, n) {
			return
		}
		if name == "" {
			if sure {
				p.ask(string(vocab.Refrigerant), p.textOf(i, i+n)+" could be several. Which letter?")
				p.take(i, i+n)
			}
			continue
		}
		if p.saidToBeGone(i) {
			p.take(i, i+n)
			continue
		}
		p.m.Facts[vocab.Refrigerant] = name
		p.take(i, i+n)
	}
}

// saidToBeGone spots what the system was on before a conversion.
func (p *parse) saidToBeGone(i int) bool {
	for k := max(i-3, 0); k < i; k++ {
		switch p.t[k].Text {
		case "was", "originally", "formerly", "from", "not", "era", "used":
			return true
		case "old":
			if k == i-1 {
				return true
			}
		}
	}
	return false
}

// eitherRefrigerant asks when two are named with "or" between.
func (p *parse) eitherRefrigerant(i, n int) bool {
	if word(p.t, i+n) != "or" && word(p.t, i+n) != "o" || i+n+1 >= len(p.t) {
		return false
	}
	if _, m, _ := p.refrigerantAt(i + n + 1); m == 0 {
		return false
	} else {
		p.take(i, i+n+1+m)
	}
	p.ask(string(vocab.Refrigerant), "Which of the two refrigerants is it?")
	return true
}

func (p *parse) textOf(from, to int) string { return p.text[p.t[from].Start:p.t[to-1].End] }

// refrigerantAt reads a refrigerant's name at token i; sure is false for a bare
// number that may be something else.
func (p *parse) refrigerantAt(i int) (name string, n int, sure bool) {
	t := p.t[i]
	if t.Kind == lex.Word {
		if name, ok := p.r.words.Facts.RefrigerantWords[t.Text]; ok {
			return name, 1, true
		}
		if digits, letters, ok := splitR(t.Text); ok {
			name, n := p.completed(digits, letters, i, 1)
			return name, n, n > 0
		}
		if t.Text == "r" || t.Text == "freon" || t.Text == "refrigerant" || t.Text == "refrigerante" || t.Text == "gas" {
			j := i + 1
			if j < len(p.t) && p.t[j].Text == "-" {
				j++
			}
			if j < len(p.t) {
				if digits, k := p.code(j); k > 0 {
					if name, n := p.completed(digits, "", j, k); n > 0 && (t.Text == "r" || name != "" || p.isBareCode(digits)) {
						return name, j - i + n, true
					}
				}
			}
		}
	}
	digits, k := p.code(i)
	if k == 0 || !p.isBareCode(digits) {
		return "", 0, false
	}
	name, n = p.completed(digits, "", i, k)
	if n > k {
		return name, n, true
	}
	if p.standsAsRefrigerant(i, k, digits) {
		return name, k, true
	}
	return "", 0, false
}

func (p *parse) isBareCode(digits string) bool {
	v, err := strconv.Atoi(digits)
	_, ok := p.r.words.Facts.BareRefrigerants[v]
	return err == nil && ok
}

// code reads the digits of a refrigerant, in figures or in words.
func (p *parse) code(i int) (digits string, n int) {
	if p.t[i].Kind == lex.Number && !strings.ContainsAny(p.t[i].Text, ".,") {
		return p.t[i].Text, 1
	}
	if v, n := spelledAt(p.t, i); n > 1 && v == float64(int(v)) && v >= 100 && v < 1300 {
		return strconv.Itoa(int(v)), n
	}
	return "", 0
}

// splitR cuts r448a into 448 and a.
func splitR(w string) (digits, letters string, ok bool) {
	rest, found := strings.CutPrefix(w, "r")
	if !found || rest == "" || !unicode.IsDigit(rune(rest[0])) {
		return "", "", false
	}
	end := strings.IndexFunc(rest, func(r rune) bool { return !unicode.IsDigit(r) })
	if end < 0 {
		end = len(rest)
	}
	return rest[:end], rest[end:], end >= 2
}

// completed adds the letters that belong to the number and finds the name among
// the known ones; n is 0 when there is no such refrigerant.
func (p *parse) completed(digits, letters string, i, n int) (string, int) {
	if letters == "" && i+n < len(p.t) && p.t[i+n].Kind == lex.Word {
		next := p.t[i+n]
		if next.Glued || len(next.Text) == 1 && next.Raw == strings.ToUpper(next.Raw) || p.t[i].Kind == lex.Word && len(next.Text) == 1 {
			if name := properName(digits, next.Text); name != "" {
				return name, n + 1 + p.isomer(i+n+1)
			}
		}
	}
	if letters != "" {
		if name := properName(digits, letters); name != "" {
			return name, n + p.isomer(i+n)
		}
		return "R" + digits + strings.ToUpper(letters), n
	}
	if name := properName(digits, ""); name != "" {
		return name, n
	}
	v, err := strconv.Atoi(digits)
	if err != nil {
		return "", 0
	}
	if name, ok := p.r.words.Facts.BareRefrigerants[v]; ok {
		return name, n
	}
	return "", 0
}

// isomer passes over the (E) of R1234ze(E).
func (p *parse) isomer(i int) int {
	if i+2 < len(p.t) && p.t[i].Text == "(" && p.t[i+2].Text == ")" {
		return 3
	}
	return 0
}

// standsAsRefrigerant tells a bare 448 that is the refrigerant from a reading of
// 448: by a word like "on" before it, or because no slot wants the number.
func (p *parse) standsAsRefrigerant(i, k int, digits string) bool {
	if i+k < len(p.t) {
		if _, n := p.r.units.At(p.t, i+k); n > 0 && p.t[i+k].Kind == lex.Word && len(p.t[i+k].Text) > 1 {
			return false
		}
		if p.t[i+k].Text == "/" && p.t[i+k].Glued || p.t[i+k].Text == "-" && p.t[i+k].Glued || p.t[i+k].Text == "#" || p.t[i+k].Text == `"` || p.t[i+k].Text == "'" {
			return false
		}
	}
	if p.inRow(i, k) {
		return false
	}
	if i > 0 && p.t[i].Glued && p.t[i-1].Kind == lex.Mark && p.t[i-1].Text != "," {
		return false
	}
	switch word(p.t, i-1) {
	case "on", "its", "it's", "es", "de", "con", "freon", "gas", "running", "like", "is":
		if len(digits) == 3 || word(p.t, i-1) == "on" {
			return p.slotWanting(i) < 0
		}
	}
	return len(digits) == 3 && p.slotWanting(i) < 0
}

// inRow spots one of three numbers side by side.
func (p *parse) inRow(i, k int) bool {
	isNumber := func(j int) bool { return j >= 0 && j < len(p.t) && p.t[j].Kind == lex.Number }
	return isNumber(i-1) && isNumber(i+k) || isNumber(i-1) && isNumber(i-2) || isNumber(i+k) && isNumber(i+k+1)
}

// slotWanting is the slot just before token i that has no number yet, -1 when
// none waits.
func (p *parse) slotWanting(i int) int {
	for s := len(p.slots) - 1; s >= 0; s-- {
		if at := p.slots[s]; at.to <= i && i-at.to <= 2 && p.sentence[at.from] == p.sentence[i] && p.chunk[at.from] == p.chunk[i] {
			if at.Name == "nothing" {
				return s
			}
			for k := at.to; k < i; k++ {
				if p.t[k].Kind == lex.Number || p.t[k].Text == "on" {
					return -1
				}
			}
			return s
		}
	}
	return -1
}

// findFacts reads types, metering, application and which parts are fitted.
func (p *parse) findFacts() {
	for _, f := range p.r.facts.All(p.t) {
		if p.taken[f.From] {
			continue
		}
		entry := p.r.words.Facts.Facts[f.Entry]
		if p.negatedBefore(f.From) && !p.correcting(f.From) {
			continue
		}
		if p.isNumberNear(f) {
			continue
		}
		p.m.Facts[entry.Fact] = entry.Value
	}
	p.findParts()
}

// isNumberNear keeps "low temp 38" from stating an application.
func (p *parse) isNumberNear(f lex.Found) bool {
	if p.r.words.Facts.Facts[f.Entry].Fact != vocab.Application {
		return false
	}
	for _, q := range p.nums {
		if q.used && q.core == f.To {
			return false
		}
	}
	return false
}

func (p *parse) correcting(i int) bool { return false }

// findParts reads has_ facts from stated presence or absence.
func (p *parse) findParts() {
	for _, f := range p.r.partNames.All(p.t) {
		fact := p.r.words.Facts.Parts[f.Entry].Fact
		switch {
		case word(p.t, f.To) == "yes" || word(p.t, f.To) == "si":
			p.m.Facts[fact] = vocab.Yes
		case p.absentAt(f):
			p.m.Facts[fact] = vocab.No
		case p.presentAt(f):
			p.m.Facts[fact] = vocab.Yes
		}
	}
}

const (
	partReach    = 3 // words between "no" and the part
	presentReach = 8 // words between "has" and the part
)

func (p *parse) absentAt(f lex.Found) bool {
	for i := f.From - 1; i >= 0 && i >= f.From-partReach && p.sentence[i] == p.sentence[f.From]; i-- {
		if p.t[i].Text == "," || p.t[i].Kind == lex.Number {
			break
		}
		if _, n := p.r.absent.At(p.t, i); n > 0 && i+n <= f.From {
			return p.t[i].Text != "not"
		}
		if _, n := p.r.present.At(p.t, i); n > 0 && i+n <= f.From {
			break
		}
	}
	return f.To < len(p.t) && (word(p.t, f.To) == "none" || word(p.t, f.To) == "missing" || word(p.t, f.To) == "no" && (f.To+1 >= len(p.t) || p.chunk[f.To+1] != p.chunk[f.To] || p.t[f.To+1].Text == ","))
}

func (p *parse) presentAt(f lex.Found) bool {
	for i := f.From - 1; i >= 0 && i >= f.From-presentReach && p.sentence[i] == p.sentence[f.From]; i-- {
		if p.t[i].Text == "," || p.t[i].Text == "but" {
			break
		}
		if w := word(p.t, i); (w == "yes" || w == "si") && i > 0 && p.sentence[i-1] == p.sentence[i] {
			break
		}
		if _, n := p.r.present.At(p.t, i); n > 0 && i+n <= f.From {
			return true
		}
	}
	for i := f.To; i < len(p.t) && i < f.To+partReach && p.chunk[i] == p.chunk[f.From]; i++ {
		switch p.t[i].Text {
		case "failed", "dead", "leaking", "plugged", "drop", "bad":
			return false
		}
		if _, n := p.r.present.At(p.t, i); n > 0 && p.t[i].Text != "with" && p.t[i].Text != "con" && p.t[i].Text != "has" && p.t[i].Text != "have" {
			return true
		}
	}
	return false
}

// negatedBefore reports a negation just before token i.
func (p *parse) negatedBefore(i int) bool {
	for k := i - 1; k >= 0 && k >= i-2 && p.sentence[k] == p.sentence[i]; k-- {
		if _, n := p.r.negators.At(p.t, k); n > 0 {
			return true
		}
	}
	return false
}
