package intake

import (
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
)

func (p *parse) unitAt(token int) *lexicon.Unit {
	if i := p.numOf[token]; i >= 0 {
		return p.nums[i].unit
	}
	return nil
}

// unitAfter takes the unit behind a number, and the idle ones that say that it
// is no reading.
func (p *parse) unitAfter(q *quantity) {
	i := q.numTo
	if i >= len(p.t) {
		return
	}
	if end, ok := p.listed("idle_units", i); ok && !p.unitLonger(i, end) && !p.isHeadName(q, i) && !p.isVerb(end) {
		q.idle, q.to = true, end
		return
	}
	if p.is(i, "-") && p.t[i].Glued && i+1 < len(p.t) && p.t[i+1].Glued {
		i++ // 12-lb
	}
	f := p.r.units.At(p.t, i)
	if f.To == i || p.use[i] != unused || p.t[i].Is("insulation") && !p.isMegs(i) {
		return
	}
	u := &p.r.words.Units[f.IDs[0]]
	glued := p.t[i].Glued
	if i != q.numTo && !glued {
		return
	}
	if f.To == i+1 && !p.unitStands(q, i, u, glued) || p.is(i, "in") && u.As[lexicon.Starts] != "" && !p.says("cycling", "starts") {
		return
	}
	q.unit, q.bare, q.to = u, false, f.To
	p.inchesOfVacuum(q)
}

// isMegs: megs are a unit, "meg'd", "megged" and "megger" are what was done.
func (p *parse) isMegs(i int) bool {
	w := strings.ToLower(p.t[i].Text)
	return w == "meg" || w == "megs"
}

// inchesOfVacuum: in 8" suct vac the inches are of mercury.
func (p *parse) inchesOfVacuum(q *quantity) {
	if q.code(lexicon.Size) != units.CodeInch || q.frac {
		return
	}
	for k := q.to; k < len(p.t) && k < q.to+p.r.words.Reaches.Vacuum; k++ {
		if p.is(k, "vacuum") && !p.is(k+1, "pump", "test") {
			q.unit = p.r.inchesVacuum
			return
		}
		if _, small := p.listed("small", k); !small && !p.isOne("low_side", k) {
			return
		}
	}
}

// isHeadName: in "lp 22 hp 208" the hp is the high side and no horsepower.
func (p *parse) isHeadName(q *quantity, i int) bool {
	return p.is(i, "hp") && i+1 < len(p.t) && p.t[i+1].Kind == lex.Number && p.namedBefore(q.core)
}

// isVerb: in "net oil 18 trips at 9" what stands before token i tells what happens.
func (p *parse) isVerb(i int) bool {
	return p.isOne("verb_units", i-1) && p.isOne("after_verb", i)
}

func (p *parse) unitLonger(i, end int) bool { return p.r.units.At(p.t, i).To > end }

// unitStands decides on single signs and letters that are words or marks too.
func (p *parse) unitStands(q *quantity, i int, u *lexicon.Unit, glued bool) bool {
	t := &p.t[i]
	switch t.Plain {
	case "'", `"`:
		return glued
	case "#":
		return glued || i+1 >= len(p.t) || p.t[i+1].Kind != lex.Number || !p.t[i+1].Glued
	case "in":
		return q.frac || glued || p.endsIn(i) || p.isOne("pipe_words", i+1)
	case "a":
		if p.isLegPair(i) || p.is(i+1, "to") && p.isOne("ground_words", i+2) {
			return false // "meg 0.3 A to ground" is leg A
		}
		return glued || t.Text == "A" || p.endsIn(i) && q.value >= 2
	case "c", "f", "k", "m", "l", "h", "g", "v", "w":
		return !p.isLegPair(i) && (glued || t.Text != t.Plain || i+1 >= len(p.t) || p.t[i+1].Kind != lex.Number || t.Plain != "c")
	}
	return glued || !u.Glued
}

// isLegPair: in "2.4 C-A 2.5" the letter names a leg.
func (p *parse) isLegPair(i int) bool {
	if p.is(i+1, "phase", "leg", "fase") || p.isLetterRow(i) || p.singlePhaseLeg(i) > i {
		return true
	}
	if i+2 >= len(p.t) || !p.is(i+1, "-", "/") || !p.t[i+1].Glued {
		return false
	}
	a, _ := legLetter(&p.t[i])
	b, _ := legLetter(&p.t[i+2])
	return a != 0 && b != 0 && a != b
}

// endsIn: "60 in" at the end of its part.
func (p *parse) endsIn(i int) bool {
	return i+1 >= len(p.t) || lex.EndsClause(&p.t[i+1])
}

// giveBackUnits: in "volts 229/231/226 amps 9.8/10.1/9.5" the amps are the name
// of what follows, since the volts were named in front.
func (p *parse) giveBackUnits() {
	for i := range p.nums {
		q := &p.nums[i]
		if q.unit == nil || q.to != q.numTo+1 || p.t[q.numTo].Glued || i+1 >= len(p.nums) || p.nums[i+1].core != q.to {
			continue
		}
		f := p.r.names.At(p.t, q.numTo)
		if f.To == q.numTo {
			continue
		}
		first := i
		for first > 0 && p.nums[first-1].to >= p.nums[first].from-1 && p.nums[first-1].unit == nil {
			first--
		}
		if first > 0 && p.nums[first-1].unit != nil && p.nums[first-1].to == p.nums[first].from {
			continue // "5 min 600, 10 min 720": the min is a unit there too
		}
		if p.namedBefore(p.nums[first].from) || p.isLegPairWord(q.from-1) {
			q.unit, q.bare, q.to = nil, true, q.numTo
		}
	}
}

// isLegPairWord: in "ab 398 bc 405 ca 391 amps 14" the amps are the next numbers'.
func (p *parse) isLegPairWord(i int) bool { return p.is(i, "ab", "ba", "bc", "cb", "ca", "ac") }

// namedBefore: a reading's name ends right before token i.
func (p *parse) namedBefore(i int) bool {
	for k := max(i-3, 0); k < i; k++ {
		if f := p.r.names.At(p.t, k); f.To == i {
			return true
		}
		if letter, kind := legLetter(&p.t[k]); letter != 0 && k == i-1 && (kind != 0 || p.is(k-1, "-", "/") && p.t[k].Glued) {
			return true
		}
	}
	return false
}

// shareUnits: in "230/229/235 volts" and "28 or 30 psi" the unit is everyone's.
func (p *parse) shareUnits() {
	for i := len(p.nums) - 2; i >= 0; i-- {
		a, b := &p.nums[i], &p.nums[i+1]
		if a.unit == nil && b.unit != nil && b.core == a.to+1 && p.is(a.to, "/", "or", "o") {
			a.unit, a.bare = b.unit, false
		}
	}
}
