package intake

import (
	"strings"
	"unicode"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/vocab"
)

// siteBeside reads "rack c juniper street creamery suct 27" and "harbor lane fish walkin
// 2": in small letters a name ends in the word of such a place, and stands by the machine.
func (p *parse) siteBeside(tag int) bool {
	for i := range p.t {
		if !p.isOne("site_words", i) || p.use[i] != unused {
			continue
		}
		from := i
		for from > 0 && i-from < mostNameWords && p.isNameWord(from-1) {
			from--
		}
		if from < i && p.standsAsSite(from, i+1, tag) {
			p.setSite(from, i+1)
			return true
		}
	}
	return false
}

// mostNameWords is how many words stand before the one that ends the name of a place.
const mostNameWords = 4

// isNameWord: a word that may be part of the name of a place.
func (p *parse) isNameWord(i int) bool {
	w := p.t[i].Plain
	plain := p.t[i].Kind == lex.Word && p.use[i] == unused && len(w) > 1 && !strings.ContainsAny(w, "0123456789")
	return plain && !p.isOne("no_site", i) && !p.r.isSmall(w) && !p.r.spelling.Trade(w)
}

// standsAsSite: the words follow the machine's tag, or begin their part and lead to the
// machine or to a reading.
func (p *parse) standsAsSite(from, to, tag int) bool {
	if from == tag {
		return true
	}
	if from > 0 && p.chunk[from-1] == p.chunk[from] {
		return false
	}
	if p.isOne("idle_before", to) && to+1 < len(p.t) && p.t[to+1].Kind == lex.Number {
		to += 2 // "pier 3"
	}
	_, machine := p.listed("equipment", to)
	return machine || p.nameBegins(to)
}

func (p *parse) setSite(from, to int) {
	p.m.Facts[vocab.Site] = p.textOf(from, to)
	p.siteFrom, p.siteTo = from, to
	p.mark(from, to, counted)
}

// inSite: a word of the site's name tells nothing of the machine: "Frostline Packing".
func (p *parse) inSite(i int) bool { return i >= p.siteFrom && i < p.siteTo }

// siteEnd runs over the words of a name. Without capitals they count only where
// told, and up to the first word of the trade.
func (p *parse) siteEnd(i int, told bool) int {
	end := i
	plain := p.noCapitals()
	for j := i; j < len(p.t) && j < i+7; j++ {
		t := &p.t[j]
		switch {
		case p.use[j] != unused || t.Kind == lex.Number:
			return end
		case t.Kind == lex.Mark:
			if !(p.is(j, "&", "'", "-") && end > i && j+1 < len(p.t) && p.t[j+1].Kind == lex.Word) {
				return end
			}
		case p.joinsName(j) && end > i:
		case p.namesSite(j, told, plain, end > i):
			end = j + 1
		default:
			return end
		}
	}
	return end
}

// joinsName: "of", "and" inside a name.
func (p *parse) joinsName(j int) bool {
	return p.isOne("site_joins", j) && j+1 < len(p.t) && p.t[j+1].Kind == lex.Word && (capital(p.t[j+1].Text) || p.noCapitals())
}

// namesSite: a capital word, or any word that is none of the trade's.
func (p *parse) namesSite(j int, told, plain, inside bool) bool {
	t := &p.t[j]
	if p.shoutedTrade(t) || strings.ContainsAny(t.Plain, "0123456789") || len(t.Plain) < 2 {
		return false
	}
	if !plain && capital(t.Text) {
		return inside || told || !p.r.spelling.Trade(t.Plain) || j+1 < len(p.t) && p.t[j+1].Kind == lex.Word && capital(p.t[j+1].Text) && !p.r.spelling.Trade(p.t[j+1].Plain)
	}
	if told && plain || told && !inside {
		return !p.r.spelling.Trade(t.Plain) && len(t.Plain) > 1 && !p.r.isSmall(t.Plain)
	}
	return inside && !plain && p.lastOfChunk(j) && !p.r.spelling.Trade(t.Plain)
}

// shoutedTrade keeps SL, TXV and the like out of a name.
func (p *parse) shoutedTrade(t *lex.Token) bool {
	return len(t.Plain) <= 4 && t.Text == strings.ToUpper(t.Text) && len(t.Text) > 1 && p.r.spelling.Trade(t.Plain) && !p.noCapitals()
}

// capitals: every word but the joining ones begins with a capital, and not all of
// the message does.
func (p *parse) capitals(from, to int) bool {
	if p.noCapitals() {
		return false
	}
	for k := from; k < to; k++ {
		if p.t[k].Kind == lex.Word && !capital(p.t[k].Text) && !p.joinsName(k) {
			return false
		}
		if _, site := p.listed("site_words", to-1); p.r.spelling.Trade(p.t[k].Plain) && k == from && !(site && to > from+1) {
			return false
		}
	}
	return true
}

// beforeEquipment: the kind of machine, or its tag, follows.
func (p *parse) beforeEquipment(i int) bool {
	_, ok := p.listed("equipment", i)
	return ok
}

// strange: a word among them is neither the trade's nor common English.
func (p *parse) strange(from, to int) bool {
	for k := from; k < to; k++ {
		if p.t[k].Kind == lex.Word && !p.t[k].Known {
			return true
		}
	}
	return false
}

// noCapitals: all letters of the message are of one case, so capitals say nothing.
func (p *parse) noCapitals() bool {
	return p.text == strings.ToLower(p.text) || p.text == strings.ToUpper(p.text)
}

func capital(text string) bool {
	for _, r := range text {
		return unicode.IsUpper(r)
	}
	return false
}
