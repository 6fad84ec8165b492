package intake

import (
	"math"
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
)

// quantity is one number of the message with its unit.
type quantity struct {
	from, core, to int // tokens: with "about" in front, of the digits, past the unit
	numTo          int // one past the digits
	value          float64
	unit           *lexicon.Unit
	bare           bool // a unit was not typed
	frac           bool
	spoken         bool
	signed         bool
	approx         bool
	doubtful       bool // either/or, "can't remember"
	used           bool
	given          bool // to a question
	refused        bool // in doubt, or of no value that it can have
	earlier        bool // idle because it is of another day or machine
	idle           bool // no reading: a time, a telephone number …
	said           string
	row            int // numbers in the row that it begins; 1 alone, 0 inside a row
	rowBy          rowMark
}

// findNumbers gathers the numbers that nothing else has taken.
func (p *parse) findNumbers() {
	for i := 0; i < len(p.t); {
		q, end := p.quantityAt(i)
		if end == i {
			i++
			continue
		}
		p.nums = append(p.nums, q)
		i = end
	}
	p.joinFeetInches()
	p.joinPoundsOunces()
	p.joinSplitHundreds()
	p.joinRanges()
	p.joinAltitude()
	p.giveBackUnits()
	p.shareUnits()
	p.findRows()
	for i := range p.nums {
		p.roughly(&p.nums[i])
	}
}

// quantityAt reads a number and its unit; end is i when there is none.
func (p *parse) quantityAt(i int) (q quantity, end int) {
	t := p.t[i]
	if p.use[i] != unused {
		return q, i
	}
	q = quantity{from: i, core: i, bare: true}
	switch {
	case t.Kind == lex.Number:
		q.value, q.frac, q.signed, end = t.Value, t.Frac, t.Signed, i+1
		q = p.digitsWithWords(q, &end)
		q.frac = q.frac || p.isTubeDecimal(t)
	case p.hourPart(i) > 0:
		q.value, q.unit, q.bare, q.spoken = p.hourPart(i), p.r.minutes, false, true
		if q.value == 60 {
			q.value, q.unit = 1, p.r.hours
		}
		for end = i; !p.is(end, "hours"); end++ {
		}
		q.numTo, q.to = end+1, end+1
		return q, end + 1
	case p.isMinusDigits(i):
		q.value, q.frac, q.signed, end = -p.t[i+1].Value, p.t[i+1].Frac, true, i+2
		q.core = i + 1
	case p.isInchAnd(i):
		v, e, _ := p.spokenFraction(p.inchFraction(i))
		q.value, end, q.frac, q.spoken = 1+v, e, true, true
	case p.isMinus(i):
		if q.value, end, q.frac = p.spoken(i + 1); end == i+1 {
			return q, i
		}
		q.value, q.signed, q.spoken = -q.value, true, true
	default:
		if q.value, end, q.frac = p.spoken(i); end == i {
			return q, i
		}
		q.spoken = true
		if p.loneWord(q, i, end) {
			return q, i
		}
	}
	q.numTo, q.to = end, end
	p.unitAfter(&q)
	p.belowZero(&q)
	return q, q.to
}

// isTubeDecimal: 1.375, .875: the outside diameter of a tube as a decimal of three places.
func (p *parse) isTubeDecimal(t lex.Token) bool {
	dot := strings.IndexByte(t.Text, '.')
	return dot >= 0 && len(t.Text)-dot == 4 && t.Value < 6 && t.Value*8 == math.Trunc(t.Value*8)
}

// isInchAnd sees "inch and an eighth", "inch and three eighths".
func (p *parse) isInchAnd(i int) bool {
	if !p.is(i, "inches") || !p.is(i+1, "and") {
		return false
	}
	_, _, ok := p.spokenFraction(p.inchFraction(i))
	return ok || p.inchFraction(i) == i+3 && p.is(i+3, "eighth", "quarter", "half", "sixteenth")
}

// inchFraction is the token at which the fraction of "inch and an eighth" begins.
func (p *parse) inchFraction(i int) int {
	if p.is(i+2, "a", "an") {
		return i + 3
	}
	return i + 2
}

// isMinus sees "minus five", "negative ten".
func (p *parse) isMinus(i int) bool {
	_, ok := p.listed("minus", i)
	return (ok || p.is(i, "negative")) && p.isNumeral(i+1)
}

// hourPart is how many minutes "half an hour", "a quarter of an hour" are; 0 is none.
func (p *parse) hourPart(i int) float64 {
	if p.is(i, "an", "a") && p.is(i+1, "hours") && p.t[i+1].Plain == "hour" {
		if _, ok := p.listedBefore("a_while", i); ok {
			return 60
		}
	}
	if !p.is(i, "half", "quarter") {
		return 0
	}
	k := i + 1
	for p.is(k, "of", "an", "a") {
		k++
	}
	if !p.is(k, "hours") {
		return 0
	}
	return 60 * p.r.words.Fractions[p.t[i].Word]
}

// isMinusDigits: "minus 5"; "box negative 10", but not "acid test negative 12 starts".
func (p *parse) isMinusDigits(i int) bool {
	if i+1 >= len(p.t) || p.t[i+1].Kind != lex.Number || p.t[i+1].Signed || p.use[i+1] != unused {
		return false
	}
	if _, ok := p.listed("minus", i); ok {
		return true
	}
	if !p.is(i, "negative", "neg") {
		return false
	}
	for k := i; k >= max(i-3, 1); k-- {
		if p.namedBefore(k) {
			return true
		}
		if !p.is(k-1, "like", "about", "is", "at", "approximately", "around", "was", "its") {
			return false
		}
	}
	return i == 0
}

// digitsWithWords reads "12 hundred", "40 thousand", "36k".
func (p *parse) digitsWithWords(q quantity, end *int) quantity {
	if i := *end; p.is(i, "thousand", "mil", "hundred") {
		v, _ := p.numeral(i)
		q.value *= v
		*end = i + 1
	}
	if i := *end; p.is(i, "and") && p.is(i+1, "a") && p.is(i+2, "half") {
		q.value += 0.5
		*end = i + 3
	}
	return q
}

// loneWord keeps "one of them", "a half", "no one" from being numbers.
func (p *parse) loneWord(q quantity, i, end int) bool {
	if end > i+1 {
		return false
	}
	if q.frac {
		return !p.is(end, "inches", "in", "load", "capacity") && !(p.is(i-1, "a", "to") && p.says("unloads", "unload", "unloaded", "turndown", "unloading")) // "half an hour"
	}
	switch p.t[i].Plain {
	case "one", "uno":
		f := p.r.units.At(p.t, end)
		return f.To == end
	case "once", "oh", "zero", "cero", "hundred", "thousand", "mil", "second":
		f := p.r.units.At(p.t, end)
		return f.To == end && p.t[i].Plain != "zero" && p.t[i].Plain != "cero"
	}
	return false
}

// unitAfter takes the unit behind a number, and the idle ones that say that it
// is no reading.
func (p *parse) unitAfter(q *quantity) {
	i := q.numTo
	if i >= len(p.t) {
		return
	}
	if end, ok := p.listed("idle_units", i); ok && !p.unitLonger(i, end) && !p.isHeadName(q, i) {
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
	for k := q.to; k < len(p.t) && k < q.to+vacuumReach; k++ {
		if p.is(k, "vacuum") && !p.is(k+1, "pump", "test") {
			q.unit = p.r.inchesVacuum
			return
		}
		if _, small := p.listed("small", k); !small && !p.is(k, "suction", "low", "side", "lp", "sp", "gauge") {
			return
		}
	}
}

// vacuumReach is how many tokens behind the inches the vacuum may be named.
const vacuumReach = 4

// isHeadName: in "lp 22 hp 208" the hp is the high side and no horsepower.
func (p *parse) isHeadName(q *quantity, i int) bool {
	return p.is(i, "hp") && i+1 < len(p.t) && p.t[i+1].Kind == lex.Number && p.namedBefore(q.core)
}

func (p *parse) unitLonger(i, end int) bool { return p.r.units.At(p.t, i).To > end }

// unitStands decides on single signs and letters that are words or marks too.
func (p *parse) unitStands(q *quantity, i int, u *lexicon.Unit, glued bool) bool {
	t := p.t[i]
	switch t.Plain {
	case "'", `"`:
		return glued
	case "#":
		return glued || i+1 >= len(p.t) || p.t[i+1].Kind != lex.Number || !p.t[i+1].Glued
	case "in":
		return q.frac || glued || p.endsIn(i) || p.is(i+1, "riser", "suction", "liquid", "line", "of", "discharge", "acr", "copper")
	case "a":
		if p.isLegPair(i) {
			return false
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
	a, _ := legLetter(p.t[i])
	b, _ := legLetter(p.t[i+2])
	return a != 0 && b != 0 && a != b
}

// endsIn: "60 in" at the end of its part.
func (p *parse) endsIn(i int) bool {
	return i+1 >= len(p.t) || lex.EndsClause(p.t[i+1])
}

// belowZero reads "22 below", "10 below zero".
func (p *parse) belowZero(q *quantity) {
	if p.is(q.to, "below", "under") && !q.signed && (p.is(q.to+1, "zero", "on", "in", "outside", "out", "here", "and", "today", "wind") || q.to+1 >= len(p.t) || p.t[q.to+1].Kind != lex.Word) {
		q.value, q.signed, q.to = -q.value, true, q.to+1
		if p.is(q.to, "zero") {
			q.to++
		}
	}
	if p.is(q.to, "bajo") && p.is(q.to+1, "cero") {
		q.value, q.signed, q.to = -q.value, true, q.to+2
	}
}

// joinFeetInches makes 12'6" one length.
func (p *parse) joinFeetInches() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		if a.code(lexicon.Length) != units.CodeFeet || a.frac || b.value >= 12 || b.core-a.to > 0 || a.idle || b.idle {
			continue
		}
		if b.unit == nil && !p.t[b.core].Glued || b.unit != nil && b.code(lexicon.Size) != units.CodeInch || b.frac && !p.t[b.core].Glued {
			continue
		}
		a.value += b.value / 12
		a.to = b.to
		p.nums = append(p.nums[:i+1], p.nums[i+2:]...)
	}
}

// joinPoundsOunces makes "12 lb 6 oz" one mass.
func (p *parse) joinPoundsOunces() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		gap := b.core - a.to
		if a.code(lexicon.Mass) != units.CodePound || b.code(lexicon.Mass) != units.CodeOunce || b.value >= 16 || a.idle || b.idle {
			continue
		}
		if gap == 0 || gap == 1 && p.is(a.to, "and", ",", "y", "-") {
			a.value += b.value / 16
			a.to = b.to
			p.nums = append(p.nums[:i+1], p.nums[i+2:]...)
		}
	}
}

// joinSplitHundreds makes "hi 2 50" one doubtful 250: dictation writes hundreds so.
func (p *parse) joinSplitHundreds() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		if !p.isPlainDigits(a, 1) || !p.isPlainDigits(b, 2) || b.core != a.to || p.t[b.core].Glued || !p.nameOrHighBefore(a.from) || p.nameBegins(b.to) {
			continue
		}
		if i+2 < len(p.nums) && p.nums[i+2].core == b.to {
			continue
		}
		a.value, a.to, a.numTo, a.doubtful = 100*a.value+b.value, b.to, b.numTo, true
		p.nums = append(p.nums[:i+1], p.nums[i+2:]...)
	}
}

// isPlainDigits: a bare whole number of so many digits.
func (p *parse) isPlainDigits(q *quantity, n int) bool {
	return q.unit == nil && !q.idle && !q.frac && !q.signed && !q.spoken && len(p.t[q.core].Text) == n && q.to == q.core+1 && p.t[q.core].Text[0] != '0'
}

func (p *parse) nameOrHighBefore(i int) bool {
	return p.is(i-1, "hi", "high", "low", "lo") || p.namedBefore(i)
}

// nameBegins: the words of a reading's name begin at token i.
func (p *parse) nameBegins(i int) bool {
	return i < len(p.t) && p.r.names.At(p.t, i).To > i
}

// isShare: "a quarter", "half" with no unit.
func (q *quantity) isShare() bool { return q.unit == nil && q.frac && q.value < 1 }

// code is the unit's code for a kind, empty when it does not fit.
func (q *quantity) code(k lexicon.Kind) units.Code {
	if q.unit == nil {
		return ""
	}
	c, _, _ := q.unit.Code(k)
	return c
}

// fits reports whether the number can be of a kind by its unit.
func (q *quantity) fits(k lexicon.Kind) bool {
	if q.unit == nil {
		return !q.frac || k == lexicon.Size || k == lexicon.Mass || k == lexicon.Delta || k == lexicon.Heat
	}
	_, ok := q.unit.As[k]
	_, tube := q.unit.As[lexicon.Size]
	return ok && !(q.frac && tube && k == lexicon.Length)
}

const (
	widestRange = 0.5 // of the larger number: 28-30, 230 to 240, 10-15
	rangeSlack  = 4   // small numbers spread more
)

// joinRanges makes "28-30" and "230 to 240" one rough number in the middle.
func (p *parse) joinRanges() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		if !p.isRange(a, b) {
			continue
		}
		a.value, a.approx = (a.value+b.value)/2, true
		a.unit, a.bare, a.to, a.numTo = b.unit, b.bare, b.to, b.numTo
		p.nums = append(p.nums[:i+1], p.nums[i+2:]...)
	}
}

func (p *parse) isRange(a, b *quantity) bool {
	if p.r.supply[[2]float64{a.value, b.value}] && p.is(a.to, "-") && p.saysSupplyText(a, b) {
		return false
	}
	if a.frac || b.frac || a.idle || b.idle || a.signed != b.signed || a.unit != nil && b.unit != nil && a.unit != b.unit {
		return false
	}
	if a.unit != nil && b.unit == nil {
		return false
	}
	gap := b.core - a.to
	if gap != 1 || p.is(b.to, "in", "over", "after", "within", "en") && p.timeAt(b.to+1) {
		return false // "5 to 5.5 in 10 min" is a change
	}
	between := p.is(a.from-1, "between", "entre", "from")
	switch {
	case p.is(a.to, "-") && p.t[a.to].Glued == p.t[a.to+1].Glued:
	case p.is(a.to, "to", "a"):
		if p.is(a.from-1, "from", "down", "went", "rose") || p.is(a.from-1, "de") {
			return false
		}
	case between && p.is(a.to, "and", "y"):
	default:
		return false
	}
	lo, hi := math.Abs(a.value), math.Abs(b.value)
	if a.signed {
		lo, hi = min(lo, hi), max(lo, hi)
	}
	return hi > lo && (hi-lo <= widestRange*hi || hi-lo <= rangeSlack) && hi > 3
}

// timeAt: a number with a unit of time begins at token i.
func (p *parse) timeAt(i int) bool {
	for k := range p.nums {
		if q := &p.nums[k]; q.from == i {
			return q.unit != nil && q.fits(lexicon.Time)
		}
	}
	return false
}

// saysSupplyText is saysSupply before the names are found: the plate by its word.
func (p *parse) saysSupplyText(a, b *quantity) bool {
	for k := max(a.from-supplyReach, 0); k < a.from; k++ {
		if p.is(k, "nameplate", "plate", "tag", "rated") {
			return true
		}
	}
	return p.saysSupply(a, b)
}

// roughly notes "about", "-ish", and the doubt of "either 28 or 82".
func (p *parse) roughly(q *quantity) {
	before := q.from
	if p.is(before-1, "a") && q.spoken {
		before-- // "about a hundred and ten"
	}
	if from, ok := p.listedBefore("approx_before", before); ok {
		q.approx, q.from = true, from
	}
	if end, ok := p.listed("approx_after", q.to); ok && !(end < len(p.t) && (p.t[end].Kind == lex.Number || p.isNumeral(end))) {
		q.approx, q.to = true, end
	}
}

// joinAltitude reads "elevation is fifty two eighty" as 5280.
func (p *parse) joinAltitude() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		pair := a.spoken && b.spoken && a.to == b.core && a.value >= 10 && a.value < 100 && b.value >= 10 && b.value < 100
		for k := max(a.core-5, 0); pair && k < a.core; k++ {
			if p.is(k, "altitude") {
				a.value, a.unit, a.bare, a.to, a.numTo = a.value*100+b.value, b.unit, b.bare, b.to, b.numTo
				p.nums = append(p.nums[:i+1], p.nums[i+2:]...)
				break
			}
		}
	}
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
		if letter, kind := legLetter(p.t[k]); letter != 0 && k == i-1 && (kind != 0 || p.is(k-1, "-", "/") && p.t[k].Glued) {
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
