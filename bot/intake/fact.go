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
		if !p.is(i, "case", "caso") || p.is(i-1, "display", "meat", "dairy", "deli", "produce", "island", "bakery") {
			continue
		}
		j := i + 1
		for j < len(p.t) && p.is(j, "#", "no", "number", "num", "is", ":") {
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
	return !p.is(f.To, "alarm", "alarms", "cut", "limit", "switch", "safety", "trip")
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

// hasSaid finds the names of parts that may be fitted.
func (p *parse) hasSaid() []lex.Match {
	if p.hasFound == nil {
		p.hasFound = p.r.has.Find(p.t)
		if p.hasFound == nil {
			p.hasFound = []lex.Match{}
		}
	}
	return p.hasFound
}

// findHas reads has_ facts from stated presence or absence only.
func (p *parse) findHas() {
	found := p.hasSaid()
	before := ""
	for i, f := range found {
		is := p.fitted(f)
		if is == "" && i > 0 && before != "" && p.onlyJoins(found[i-1].To, f.From) && p.endsList(f.To) {
			is = before
		}
		if is == "" {
			is = p.hasOne(f.To)
		}
		before = is
		if is == "" {
			continue
		}
		p.m.Facts[p.r.words.Has[f.ID].Fact] = is
		p.mark(f.From, f.To, named)
	}
}

// hasOne: "wouldn't an accumulator help? theres one on there": the next sentence tells.
func (p *parse) hasOne(i int) string {
	for k := i; k < min(i+farOff, len(p.t)) && p.sentence[k] <= p.sentence[i-1]+1; k++ {
		if p.sentence[k] == p.sentence[i-1] {
			continue
		}
		if _, ok := p.listed("has_none", k); ok {
			return vocab.No
		}
		if _, ok := p.listed("has_one", k); ok && !p.deniedHere(k) {
			return vocab.Yes
		}
	}
	return ""
}

// endsList: behind the part comes a mark, another part, or nothing.
func (p *parse) endsList(i int) bool {
	return i >= len(p.t) || p.t[i].Kind == lex.Mark || p.is(i, "and", "or", "y", "but")
}

const (
	absentReach  = 3 // words between "no" and the part
	presentReach = 6 // words between "has" and the part
)

// fitted says yes, no, or "" when the words leave it open.
func (p *parse) fitted(f lex.Match) string {
	if p.is(f.To, "drop", "failed", "plugged", "leaking") {
		return p.fittedBefore(f)
	}
	for k := f.To; k < len(p.t) && k < f.To+4 && p.chunk[k] == p.chunk[f.From]; k++ {
		switch {
		case p.is(k, "yes", "si"), k == f.To && p.is(k, "y") && p.endsList(k+1):
			return vocab.Yes
		case k == f.To && p.is(k, "n") && p.endsList(k+1):
			return vocab.No
		case p.is(k, "none", "missing", "nope") || p.is(k, "no") && p.endsList(k+1):
			return vocab.No
		case p.is(k, "not", "never") && (p.anyOf("present", k+1, k+3) || p.is(k+1, "had", "put")):
			return vocab.No
		case p.is(k, "installed", "fitted", "present", "included", "there"):
			return vocab.Yes
		}
	}
	if is := p.fittedBefore(f); is != "" {
		return is
	}
	if _, ok := p.listed("placed", f.To); ok {
		return vocab.Yes // "trap at the bottom"
	}
	return ""
}

func (p *parse) anyOf(list string, from, to int) bool {
	for k := from; k < to; k++ {
		if _, ok := p.listed(list, k); ok {
			return true
		}
	}
	return false
}

func (p *parse) fittedBefore(f lex.Match) string {
	for k := f.From - 1; k >= 0 && k >= f.From-presentReach && p.chunk[k] == p.chunk[f.From]; k-- {
		if p.is(k, "yes", "si", "none", "y", "n", "but", "pero") && !(k == f.From-1 && p.is(k, "yes", "si")) {
			return ""
		}
		if end, ok := p.listed("absent", k); ok && end <= f.From && k >= f.From-absentReach {
			return vocab.No
		}
		if end, ok := p.listed("present", k); ok && end <= f.From {
			if p.deniedHere(k) {
				return vocab.No
			}
			return vocab.Yes
		}
		if p.t[k].Kind == lex.Number && p.use[k] != counted {
			return ""
		}
	}
	return ""
}

// deniedHere: "does not have", "no tiene".
func (p *parse) deniedHere(k int) bool {
	return p.is(k-1, "not", "no", "never") || p.is(k, "hasnt", "havent")
}
