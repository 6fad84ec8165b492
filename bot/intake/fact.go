package intake

import (
	"strings"

	"coldcase/bot/casenumber"
	"coldcase/bot/intake/lex"
	"coldcase/refdata/vocab"
)

// findCase reads "case 1042-9". A number whose check digit does not fit is asked
// about: readings must not land on another store's case.
func (p *parse) findCase() {
	for i := range p.t {
		p.caseUnsaid(i)
		if !p.is(i, "case", "caso") || p.isOne("case_kinds", i-1) {
			continue
		}
		j := i + 1
		for j < len(p.t) && p.isOne("before_case_number", j) {
			j++
		}
		digits, end := p.caseDigits(j)
		if len(digits) < 3 {
			continue
		}
		p.mark(i, end, counted)
		p.setCase(digits)
		p.correctedCase(end)
	}
}

// caseUnsaid reads "same job, 808-3" and "back on 1042-9": digits, a dash and their
// check digit, behind words that lead to a case.
func (p *parse) caseUnsaid(i int) {
	if _, ok := p.m.Facts[vocab.Case]; ok || p.t[i].Kind != lex.Number || len(p.t[i].Text) < 3 || !p.is(i+1, "-") || !p.t[i+1].Glued {
		return
	}
	digits, end := p.caseDigits(i)
	leads := i == 0
	for k := max(i-2, 0); k < i; k++ {
		if _, ok := p.listed("case_before", k); ok {
			leads = true
		}
	}
	if _, err := casenumber.Parse(digits); err == nil && leads && end == i+3 && (end >= len(p.t) || !p.t[end].Glued || p.t[end].Kind == lex.Mark && !p.is(end, "-", "/")) {
		p.mark(i, end, counted)
		p.setCase(digits)
	}
}

// caseDigits gathers 1042-9, 10429 or 1042 9.
func (p *parse) caseDigits(j int) (digits string, end int) {
	whole := func(k int) bool {
		return k < len(p.t) && p.t[k].Kind == lex.Number && strings.Trim(p.t[k].Text, "0123456789") == ""
	}
	if !whole(j) {
		return "", j
	}
	digits, end = p.t[j].Text, j+1
	if p.is(end, "-") && whole(end+1) && len(p.t[end+1].Text) == 1 {
		return digits + p.t[end+1].Text, end + 2
	}
	if whole(end) && len(p.t[end].Text) == 1 && !p.t[end].Glued && !whole(end+1) && r1(p, end+1) {
		return digits + p.t[end].Text, end + 1
	}
	return digits, end
}

// r1 keeps "case 1042 3 psi drop" apart: the digit has no unit.
func r1(p *parse, i int) bool {
	return i >= len(p.t) || p.r.units.At(p.t, i).To == i
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
			return
		}
	}
}

// correctedCase reads a second number after "sorry", "no", "i mean".
func (p *parse) correctedCase(j int) {
	for k := j + 1; k < len(p.t) && k < j+5; k++ {
		if digits, end := p.caseDigits(k); len(digits) >= 3 && strings.Contains(p.textOf(k, end), "-") {
			p.mark(k, end, counted)
			p.setCase(digits)
			return
		}
	}
}

// findFacts reads types, metering, application and which parts are fitted.
func (p *parse) findFacts() {
	for _, f := range p.r.values.Find(p.t) {
		v := p.r.words.Values[f.ID]
		if p.is(f.From-1, "not", "no", "isnt") || p.is(f.From-2, "not", "isnt") && p.is(f.From-1, "a", "the") || p.use[f.From] == counted {
			continue
		}
		if v.Fact == vocab.Application && !p.isApplication(f) {
			continue
		}
		if p.notChecked(f.From, f.To) && !p.is(f.From-1, "new") && !p.is(f.From-2, "new") {
			continue
		}
		p.m.Facts[v.Fact] = v.Is
		p.mark(f.From, f.To, named)
	}
	p.findHas()
}

// isApplication keeps "low temp 38" and "high temp alarm" from being the
// application.
func (p *parse) isApplication(f lex.Match) bool {
	for i := range p.nums {
		if q := &p.nums[i]; q.core == f.To && q.used && f.To-f.From > 1 && (q.unit == nil || true) && !p.takenByOther(q, f) {
			return false
		}
	}
	return !p.isOne("safety_words", f.To)
}

// takenByOther: the number behind "med temp" is that of a name behind it.
func (p *parse) takenByOther(q *quantity, f lex.Match) bool {
	for i := range p.m.Readings {
		if p.readAt[i] == q.core {
			k := p.m.Readings[i].Key
			return k != vocab.BoxTemp && k != vocab.AmbientTemp
		}
	}
	return q.idle
}
