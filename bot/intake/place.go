package intake

import (
	"strings"
	"unicode"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/vocab"
)

// findPlace reads the unit's tag (rack B, RTU-4) and the site (after "@" or "at",
// after the tag, or a name that begins the message).
func (p *parse) findPlace() {
	tag := p.findUnit()
	for i := range p.t {
		if !p.is(i, "@", "at") || p.use[i] != unused {
			continue
		}
		if end := p.siteEnd(i+1, p.is(i, "@") || i == tag); end > i+1 {
			p.setSite(i+1, end)
			return
		}
	}
	if p.is(tag, ",") {
		if end := p.siteEnd(tag+1, true); end >= tag+3 && (p.fillsChunk(tag+1, end) && p.strange(tag+1, end) || p.capitals(tag+1, end) && (p.fillsChunk(tag+1, end) || p.t[end].Kind != lex.Word || p.use[end] != unused)) {
			p.setSite(tag+1, end)
			return
		}
	}
	if tag > 0 && tag < len(p.t) && p.t[tag].Kind == lex.Word {
		if end := p.siteEnd(tag, true); end >= tag+2 && p.capitals(tag, end) && (p.fillsChunk(tag, end) || p.use[end] != unused || p.t[end].Kind == lex.Number) {
			p.setSite(tag, end)
			return
		}
	}
	if end := p.siteEnd(0, false); end >= 2 && p.capitals(0, end) && (p.fillsChunk(0, end) || p.strange(0, end) || p.beforeEquipment(end)) {
		p.setSite(0, end)
	}
}

func (p *parse) setSite(from, to int) {
	p.m.Facts[vocab.Site] = p.textOf(from, to)
	p.mark(from, to, counted)
}

// siteEnd runs over the words of a name. Without capitals they count only where
// told, and up to the first word of the trade.
func (p *parse) siteEnd(i int, told bool) int {
	end := i
	plain := p.noCapitals()
	for j := i; j < len(p.t) && j < i+7; j++ {
		t := p.t[j]
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
	return p.is(j, "of", "and", "y", "de", "la", "on", "the", "del", "el") && j+1 < len(p.t) && p.t[j+1].Kind == lex.Word && (capital(p.t[j+1].Text) || p.noCapitals())
}

// namesSite: a capital word, or any word that is none of the trade's.
func (p *parse) namesSite(j int, told, plain, inside bool) bool {
	t := p.t[j]
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
func (p *parse) shoutedTrade(t lex.Token) bool {
	return len(t.Plain) <= 4 && t.Text == strings.ToUpper(t.Text) && len(t.Text) > 1 && p.r.spelling.Trade(t.Plain) && !p.noCapitals()
}

func (p *parse) lastOfChunk(j int) bool {
	return j+1 >= len(p.t) || p.chunk[j+1] != p.chunk[j] || lex.EndsClause(p.t[j+1])
}

func (p *parse) fillsChunk(from, to int) bool {
	return to >= len(p.t) || lex.EndsClause(p.t[to]) || p.is(to, ":", "-")
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

func (r *Reader) isSmall(w string) bool {
	for _, s := range r.words.Lists["small"] {
		if s == w {
			return true
		}
	}
	return false
}

// findUnit reads an equipment word with its number or letter, and gives the token
// behind it; -1 when there is none.
func (p *parse) findUnit() int {
	after := -1
	for i := 0; i < len(p.t); i++ {
		end, ok := p.listed("equipment", i)
		if !ok || p.use[i] != unused {
			continue
		}
		j := end
		if p.is(j, "-") && p.t[j].Glued || p.is(j, "#") || p.is(j, "no") && p.is(j+1, ".") {
			j++
		}
		if j >= len(p.t) || p.use[j] != unused || !p.isTag(i, end, j) {
			i = end - 1
			continue
		}
		if _, set := p.m.Facts[vocab.Unit]; !set {
			p.m.Facts[vocab.Unit] = strings.ReplaceAll(p.textOf(i, j+1), "#", "")
			after = j + 1
		}
		p.mark(i, j+1, counted)
		i = j
	}
	return after
}

// isTag tells a tag from a reading: a small whole number without a unit, or a
// single letter.
func (p *parse) isTag(i, end, j int) bool {
	t := p.t[j]
	if p.is(i-1, "the", "a") && p.is(i-2, "at", "of", "into", "from", "to", "leaving", "entering", "near", "off") && j == end {
		return false // "line at the compressor 38"
	}
	if p.is(end-1, "compressor", "condenser", "cooler", "freezer", "system", "unit") && p.is(i-1, "at", "line", "my", "new", "inlet") {
		return false
	}
	if t.Kind == lex.Word {
		return p.isTagLetter(i, j)
	}
	if t.Kind != lex.Number || t.Decimal || t.Frac || t.Signed || len(t.Text) > 3 || len(t.Text) == 3 && j == end {
		return false
	}
	if t.Value > 24 && p.is(end-1, "compressor", "condenser") {
		return false // "air entering condenser 99"
	}
	if t.Value > 20 && p.is(end-1, "cooler", "freezer", "in", "walkin", "room", "box", "camara") && j == end {
		return false // "cooler 38" is its temperature
	}
	return p.endsTag(j + 1)
}

// isTagLetter: "rack B"; in small letters not "unit a bit", "rack is".
func (p *parse) isTagLetter(i, j int) bool {
	t := p.t[j]
	if len(t.Plain) != 1 || t.Plain == "i" || p.is(i, "compressor", "unit", "system", "split") && t.Text == t.Plain {
		return false
	}
	if t.Plain == "a" && t.Text == "a" {
		return j+1 >= len(p.t) || p.t[j+1].Kind != lex.Word || p.is(j+1, "at", "is", "comp", "compressor", "again")
	}
	return j+1 >= len(p.t) || !p.t[j+1].Glued || p.t[j+1].Kind == lex.Mark
}

// endsTag: what follows makes no reading of the number.
func (p *parse) endsTag(k int) bool {
	if k >= len(p.t) {
		return true
	}
	next := p.t[k]
	if next.Glued && (next.Kind == lex.Word || p.is(k, "/", "-", "'", `"`, "%", "°", "~")) {
		return false
	}
	if f := p.r.units.At(p.t, k); f.To > k && len(next.Plain) > 1 && !p.is(k, "in") {
		return false
	}
	if _, idle := p.listed("idle_units", k); idle && len(next.Plain) > 1 {
		return false
	}
	return !p.is(k, "below", "of", "year", "over", "ish")
}
