package intake

import (
	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// singlePhase names the windings of a single-phase motor, which have no key.
var singlePhase = lexicon.Name{Ignore: true, Only: "any"}

// singlePhaseLeg reads "c to s", "C-R", "s-r"; the end is i when there is none.
func (p *parse) singlePhaseLeg(i int) int {
	letter := func(k int) bool { return p.is(k, "c", "s", "r") }
	if letter(i) && p.is(i+1, "to", "-", "/") && letter(i+2) && p.t[i].Plain != p.t[i+2].Plain && i+3 < len(p.t) && p.t[i+3].Kind == lex.Number {
		return i + 3
	}
	return i
}

var legName = lexicon.Name{Is: []vocab.Key{vocab.VoltsAb}}

// legAt reads L1-L2, T2-T3, A-B, 1-2 (beside others of its kind), "leg A", "L1".
func (p *parse) legAt(i int) (name, bool) {
	if p.use[i] != unused || p.is(i+1, "to", "a") && p.isOne("ground_words", i+2) {
		return name{}, false
	}
	if p.isOne("leg_words", i) && p.isDigitPair(i+1) {
		return p.digitPair(i + 1), true // "leg 1 to 2 231": never leg 1
	}
	if p.isOne("leg_leads", i) && i+1 < len(p.t) {
		if a, _ := legLetter(&p.t[i+1]); a != 0 && (p.t[i+1].Text != "a" || p.numberAt(i+2)) {
			return p.legName(i, i+2, string(a), 0), true
		}
		if p.t[i+1].Kind == lex.Number && p.is(i, "leg", "phase") && p.numberAt(i+2) {
			if a := "abc"; p.t[i+1].Value >= 1 && p.t[i+1].Value <= 3 {
				p.dropNumber(i + 1)
				return p.legName(i, i+2, a[int(p.t[i+1].Value)-1:int(p.t[i+1].Value)], 0), true
			}
		}
	}
	if end := p.singlePhaseLeg(i); end > i {
		return name{Name: &singlePhase, from: i, to: end}, true
	}
	if n, ok := p.joinedLegs(i); ok {
		return n, true
	}
	a, kind := legLetter(&p.t[i])
	if a != 0 && p.is(i+1, "leg", "phase", "fase") && (p.t[i].Text != "a" || p.numberAt(i+2)) && !p.is(i+2, "to", "-") {
		return p.legName(i, i+2, string(a), kind), true // "B phase 23"
	}
	if a != 0 && kind == 0 && p.isLetterRow(i) {
		return p.legName(i, i+1, string(a), kind), true
	}
	if a == 0 {
		if n, ok := p.letterPair(i); ok {
			return n, true
		}
		return p.digitLegs(i)
	}
	j := i + 1
	if p.is(j, "-", "/", "to", "a") || p.is(j, "–") {
		j++
	}
	if j < len(p.t) {
		if b, kind2 := legLetter(&p.t[j]); b != 0 && b != a && kind == kind2 && (j > i+1 || kind != 0) {
			return p.legName(i, j+1, legPair(a, b), kind), true
		}
	}
	if kind == 'l' || kind == 't' {
		return p.legName(i, i+1, string(a), kind), true
	}
	return name{}, false
}

// joinedLegs reads "l1l2", "t1t3".
func (p *parse) joinedLegs(i int) (name, bool) {
	w := p.t[i].Plain
	if p.t[i].Kind != lex.Word || len(w) != 4 {
		return name{}, false
	}
	a, kind := legLetter(&lex.Token{Plain: w[:2]})
	b, other := legLetter(&lex.Token{Plain: w[2:]})
	if kind == 0 || kind != other || a == b {
		return name{}, false
	}
	return p.legName(i, i+1, legPair(a, b), kind), true
}

// isLetterRow: "amps A 17 B 16.5 C 21": two letters or more with a number each.
func (p *parse) isLetterRow(i int) bool {
	if !p.isLetterBeforeNumber(i) {
		return false
	}
	others := 0
	for k := max(i-farOff, 0); k < min(i+farOff, len(p.t)); k++ {
		if k != i && p.isLetterBeforeNumber(k) && p.t[k].Plain != p.t[i].Plain && p.sentence[k] == p.sentence[i] {
			others++
		}
	}
	return others > 1
}

func (p *parse) isLetterBeforeNumber(i int) bool {
	letter, kind := legLetter(&p.t[i])
	return letter != 0 && kind == 0 && i+1 < len(p.t) && p.t[i+1].Kind == lex.Number && !p.t[i+1].Glued
}

// letterPair reads "ab 478 bc 481 ca 475": at least two such pairs stand in the message.
func (p *parse) letterPair(i int) (name, bool) {
	a, b, ok := twoLegs(&p.t[i])
	if !ok {
		return name{}, false
	}
	for k := range p.t {
		if c, d, other := twoLegs(&p.t[k]); other && legPair(c, d) != legPair(a, b) {
			return p.legName(i, i+1, legPair(a, b), 0), true
		}
	}
	return name{}, false
}

func twoLegs(t *lex.Token) (a, b byte, ok bool) {
	w := t.Plain
	if t.Kind != lex.Word || len(w) != 2 || w[0] < 'a' || w[0] > 'c' || w[1] < 'a' || w[1] > 'c' || w[0] == w[1] {
		return 0, 0, false
	}
	return w[0], w[1], true
}

// digitLegs reads 1-2, 2-3, 1-3 where at least two of them stand in the message.
func (p *parse) digitLegs(i int) (name, bool) {
	if !p.isDigitPair(i) {
		return name{}, false
	}
	count := 0
	for k := range p.t {
		if p.isDigitPair(k) {
			count++
		}
	}
	if count < 2 {
		return name{}, false
	}
	return p.digitPair(i), true
}

// digitPair is the line that the pair of digits at i names.
func (p *parse) digitPair(i int) name {
	a, b := "_abc"[int(p.t[i].Value)], "_abc"[int(p.t[i+2].Value)]
	p.dropNumber(i)
	p.dropNumber(i + 2)
	return p.legName(i, i+3, legPair(a, b), 0)
}

func (p *parse) isDigitPair(i int) bool {
	if i+2 >= len(p.t) || p.t[i].Kind != lex.Number || p.t[i+2].Kind != lex.Number || !p.is(i+1, "-", "to") {
		return false
	}
	a, b := p.t[i].Value, p.t[i+2].Value
	return a != b && (a == 1 || a == 2 || a == 3) && (b == 1 || b == 2 || b == 3) && !p.t[i].Decimal && !p.t[i+2].Decimal
}

// dropNumber takes a digit that names a leg out of the numbers.
func (p *parse) dropNumber(token int) {
	for k := range p.nums {
		if p.nums[k].core <= token && token < p.nums[k].numTo {
			p.breakRow(k)
			p.nums = append(p.nums[:k], p.nums[k+1:]...)
			p.index()
			return
		}
	}
}

func (p *parse) legName(from, to int, leg string, kind byte) name {
	return name{Name: &legName, from: from, to: to, leg: leg, legKind: kind}
}

// legLetter reads l1, t2 or a single A, B, C; kind is l, t or 0.
func legLetter(t *lex.Token) (letter, kind byte) {
	w := t.Plain
	switch {
	case t.Kind != lex.Word:
	case len(w) == 2 && (w[0] == 'l' || w[0] == 't') && w[1] >= '1' && w[1] <= '3':
		return 'a' + w[1] - '1', w[0]
	case len(w) == 1 && w[0] >= 'a' && w[0] <= 'c':
		return w[0], 0
	}
	return 0, 0
}

// mayBeVolts: "L1 208" with no word of amps in the message.
func (p *parse) mayBeVolts(n *name, q *quantity) bool {
	return len(n.leg) == 1 && q.unit == nil && q.value >= p.r.words.Sizes.LeastLineVolts && !p.saysAmps()
}

// saysAmps reports that the message names amps: "amps L1 208".
func (p *parse) saysAmps() bool {
	for i := range p.t {
		if p.isOne("amps_words", i) {
			return true
		}
	}
	return false
}

func legPair(a, b byte) string {
	switch {
	case a != 'c' && b != 'c':
		return "ab"
	case a != 'a' && b != 'a':
		return "bc"
	}
	return "ca"
}

// legKey is the reading of a number beside a leg's name.
func (p *parse) legKey(n *name, q *quantity) (vocab.Key, bool) {
	if n.to > q.from {
		return "", false
	}
	if len(n.leg) == 1 {
		k := vocab.Key("amps_" + n.leg)
		return k, q.fits(lexicon.Amps) && (q.unit != nil || n.legKind != 't') && q.value < 6000
	}
	volts := q.fits(lexicon.Volts) && q.unit != nil
	ohms := q.fits(lexicon.Ohms) && q.unit != nil
	if q.unit == nil {
		switch {
		case n.legKind == 't' && q.value < 60:
			ohms = true
		case q.value >= 90:
			volts = true
		default:
			ohms = true
		}
	}
	switch {
	case volts:
		return vocab.Key("volts_" + n.leg), true
	case ohms:
		return vocab.Key("ohms_" + n.leg), true
	}
	return "", false
}
