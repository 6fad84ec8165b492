package intake

import (
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/vocab"
)

// findPlace reads the unit's tag (rack B, RTU-4) and the site (after "@" or "at",
// after the tag, or a name that begins the message).
func (p *parse) findPlace() {
	tag := p.findUnit()
	for i := range p.t {
		if p.isOne("site_leads", i) && p.is(i+1, ":", "is", "=") {
			if end := p.siteEnd(i+2, true); end > i+2 {
				p.setSite(i+2, end)
				return
			}
		}
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
	if p.siteBeside(tag) {
		return
	}
	if end := p.siteEnd(0, false); end >= 2 && p.capitals(0, end) && (p.fillsChunk(0, end) || p.strange(0, end) || p.beforeEquipment(end)) {
		p.setSite(0, end)
	}
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
	t := &p.t[j]
	if p.is(i-1, "the", "a") && p.isOne("beside_machine", i-2) && j == end {
		return false // "line at the compressor 38"
	}
	if p.isOne("plain_machines", end-1) && p.isOne("before_machine", i-1) {
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
	if t.Value > 20 && p.isOne("boxes", end-1) && j == end {
		return false // "cooler 38" is its temperature
	}
	return p.endsTag(j + 1)
}

// isTagLetter: "rack B"; in small letters not "unit a bit", "rack is".
func (p *parse) isTagLetter(i, j int) bool {
	t := &p.t[j]
	if len(t.Plain) != 1 || t.Plain == "i" || p.isOne("tagless", i) && t.Text == t.Plain {
		return false
	}
	if t.Plain == "a" && t.Text == "a" {
		return j+1 >= len(p.t) || p.t[j+1].Kind != lex.Word || p.isOne("after_tag", j+1) || p.nameBegins(j+1)
	}
	return j+1 >= len(p.t) || !p.t[j+1].Glued || p.t[j+1].Kind == lex.Mark
}

// endsTag: what follows makes no reading of the number.
func (p *parse) endsTag(k int) bool {
	if k >= len(p.t) {
		return true
	}
	next := &p.t[k]
	if next.Glued && (next.Kind == lex.Word || p.is(k, "/", "-", "'", `"`, "%", "°", "~")) {
		return false
	}
	if f := p.r.units.At(p.t, k); f.To > k && len(next.Plain) > 1 && !p.is(k, "in") {
		return false
	}
	if _, idle := p.listed("idle_units", k); idle && len(next.Plain) > 1 {
		return false
	}
	return !p.isOne("no_tag", k)
}
