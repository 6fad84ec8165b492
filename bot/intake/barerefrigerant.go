package intake

import (
	"strconv"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
)

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

// letterBelongs: 404A, 404 A, "four oh four a"; not "448 a bit".
func (p *parse) letterBelongs(e int) bool {
	t := &p.t[e]
	if t.Glued || t.Text != t.Plain {
		return true
	}
	return p.t[e-1].Kind == lex.Word || e+1 >= len(p.t) || p.t[e+1].Kind == lex.Mark
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
	if v < 100 && !p.isOne("before_22", i-1) {
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
	return pressure && (f.To >= len(p.t) || lex.EndsClause(&p.t[f.To]))
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
		if lex.EndsClause(&p.t[k]) {
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
		for s := range p.r.stories {
			if _, ok := p.listed(p.r.stories[s].list, k); ok {
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
	letter, kind := legLetter(&p.t[i-1])
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
