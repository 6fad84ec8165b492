package intake

import (
	"strings"
	"sync"
	"unicode"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/refrigerant"
	"coldcase/refdata/vocab"
)

var properNames = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	for _, n := range refrigerant.Names() {
		m[strings.ToLower(strings.TrimPrefix(n, "R"))] = n
	}
	m["507"], m["1234ze"], m["1336mzz"] = "R507A", "R1234ze(E)", "R1336mzz(E)"
	return m
})

// properName spells a refrigerant as readings.md does; "" when none is known.
func properName(digits, letters string) string { return properNames()[digits+letters] }

// findPlace reads the site after "@" or "at" and the unit's tag.
func (p *parse) findPlace() {
	p.findUnit()
	for i := range p.t {
		if p.t[i].Text != "@" && p.t[i].Text != "at" || p.taken[i] {
			continue
		}
		if end := p.siteEnd(i + 1); end > i+1 {
			p.m.Facts[vocab.Site] = strings.TrimSpace(p.textOf(i+1, end))
			p.take(i, end)
			return
		}
	}
}

// siteAfterUnit reads "AHU 2, Otter Flat Cannery": two capital words or more.
func (p *parse) siteAfterUnit(i int) {
	if i >= len(p.t) || p.t[i].Text != "," {
		return
	}
	if end := p.siteEnd(i + 1); end >= i+3 {
		p.m.Facts[vocab.Site] = strings.TrimSpace(p.textOf(i+1, end))
		p.take(i+1, end)
	}
}

// siteEnd runs over a name in capitals; after "@" the first word may be small.
func (p *parse) siteEnd(i int) int {
	end := i
	for j := i; j < len(p.t); j++ {
		t := p.t[j]
		switch {
		case t.Kind == lex.Word && capital(t.Raw) && !p.isTradeWord(j):
			end = j + 1
		case t.Kind == lex.Word && end > i && p.smallInName(j):
		case t.Kind == lex.Mark && (t.Text == "&" || t.Text == "'" || t.Text == "-") && end > i && j+1 < len(p.t) && p.t[j+1].Kind == lex.Word && capital(p.t[j+1].Raw):
		default:
			return end
		}
	}
	return end
}

func capital(raw string) bool {
	for _, r := range raw {
		return unicode.IsUpper(r)
	}
	return false
}

// smallInName lets "of", "and" and a trailing common noun stand inside a name.
func (p *parse) smallInName(j int) bool {
	switch p.t[j].Text {
	case "of", "and", "y", "de", "la", "on", "the", "del":
		return j+1 < len(p.t) && p.t[j+1].Kind == lex.Word && capital(p.t[j+1].Raw)
	}
	return false
}

// isTradeWord keeps SL, R448A and the like out of a site's name.
func (p *parse) isTradeWord(j int) bool {
	if len(p.t[j].Raw) <= 4 && p.t[j].Raw == strings.ToUpper(p.t[j].Raw) && len(p.t[j].Raw) > 1 {
		_, n := p.r.slots.At(p.t, j)
		return n > 0
	}
	_, _, ok := splitR(p.t[j].Text)
	return ok
}

// findUnit reads an equipment word with its number or letter: rack B, RTU-4.
func (p *parse) findUnit() {
	for i := 0; i < len(p.t); i++ {
		_, n := p.r.equipment.At(p.t, i)
		if n == 0 || p.taken[i] {
			continue
		}
		j := i + n
		if j < len(p.t) && (p.t[j].Text == "-" && p.t[j].Glued || p.t[j].Text == "#") {
			j++
		}
		if j >= len(p.t) || p.taken[j] || !p.unitTag(i, j) {
			i += n - 1
			continue
		}
		if _, set := p.m.Facts[vocab.Unit]; !set {
			p.m.Facts[vocab.Unit] = strings.ReplaceAll(p.textOf(i, j+1), "#", "")
			p.siteAfterUnit(j + 1)
		}
		p.take(i, j+1)
		i = j
	}
}

// unitTag tells a tag from a reading: a small whole number without a unit, or a
// single letter.
func (p *parse) unitTag(i, j int) bool {
	t := p.t[j]
	switch p.t[i].Text {
	case "case", "it":
		return false
	case "comp", "compressor", "evap", "condenser", "ac":
		switch word(p.t, i-1) {
		case "at", "the", "line", "my", "this", "new":
			return false
		}
	}
	if t.Kind == lex.Word {
		return len(t.Text) == 1 && (t.Raw == strings.ToUpper(t.Raw) || t.Text != "a" && t.Text != "i" && t.Text != "f" && t.Text != "c") && t.Raw != "I"
	}
	if t.Kind != lex.Number || len(t.Text) > 2 || strings.ContainsAny(t.Text, ".,") {
		return false
	}
	if j+1 < len(p.t) {
		next := p.t[j+1]
		if next.Glued && next.Kind == lex.Word && len(next.Text) <= 2 {
			return false
		}
		if next.Glued && (next.Text == "/" || next.Text == "-" || next.Text == "'" || next.Text == `"` || next.Text == "%") {
			return false
		}
		if _, n := p.r.units.At(p.t, j+1); n > 0 && !next.Glued && next.Text != "m" && next.Text != "l" && next.Text != "a" && next.Text != "in" && next.Text != "c" && next.Text != "f" {
			return false
		}
		if next.Text == "below" || next.Text == "of" || next.Text == "year" {
			return false
		}
	}
	return true
}

// findSlots finds the words that name readings.
func (p *parse) findSlots() {
	longer := p.r.facts.All(p.t)
	for _, set := range p.r.subjects {
		longer = append(longer, set.All(p.t)...)
	}
	for _, f := range p.r.slots.All(p.t) {
		if insideOf(f, longer) {
			continue // the cap of a cap tube, the head of a head gasket
		}
		p.slots = append(p.slots, slotAt{Slot: &p.r.words.Slots[f.Entry], from: f.From, to: f.To, taken: map[vocab.Key]bool{}})
	}
}

// insideOf reports a phrase that is only part of a longer one.
func insideOf(f lex.Found, longer []lex.Found) bool {
	for _, l := range longer {
		if l.From <= f.From && f.To <= l.To && l.To-l.From > f.To-f.From {
			return true
		}
	}
	return false
}
