package intake

import (
	"slices"
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// setAside marks the numbers that are no readings: times of day, dates, money,
// telephone and order numbers, last month's value, what it should be.
func (p *parse) setAside() {
	for i := range p.nums {
		q := &p.nums[i]
		if q.idle || p.isForeign(q) || p.isTime(q) || p.isNumberOf(q) || p.isMoney(q) || p.isCount(q) || p.isDeniedNumber(q) || p.isAway(q) {
			q.idle = true
			p.mark(q.from, q.to, counted)
		} else if p.isSinceChange(q) {
			p.put(q, vocab.CompressorAge)
		} else if p.isEarlier(i) {
			q.idle, q.earlier = true, true
			p.mark(q.from, q.to, counted)
		}
	}
	for i := range p.nums {
		p.wentFrom(i)
		p.eitherOr(i)
	}
}

// insulationIn: the number before is one of insulation.
func (p *parse) insulationIn(q *quantity) bool {
	for k := q.from - 1; k >= max(q.from-5, 0); k-- {
		if i := p.numOf[k]; i >= 0 {
			return p.nums[i].unit != nil && p.nums[i].fits(lexicon.Insulation) || k > 0 && p.nameEndsAt(p.nums[i].from) && p.names[p.nameOf[p.nums[i].from-1]].Only == lexicon.Insulation
		}
	}
	return false
}

// meggerVolts are the voltages that insulation is tested with. common practice
var meggerVolts = []float64{250, 500, 1000, 2500}

// isSinceChange: "compressor was changed 3 months ago" is its age.
func (p *parse) isSinceChange(q *quantity) bool {
	if q.unit == nil || !q.fits(lexicon.Age) || !p.is(q.to, "ago", "back") {
		return false
	}
	lo, hi := p.window(q.core)
	compressor, replaced := false, false
	for k := lo; k < hi; k++ {
		_, is := p.listed("replaced", k)
		compressor, replaced = compressor || p.is(k, "compressor"), replaced || is
	}
	return compressor && replaced
}

// wentFrom: in "went from 30 to 18" the first is what it was.
func (p *parse) wentFrom(i int) {
	if i+1 >= len(p.nums) {
		return
	}
	a, b := &p.nums[i], &p.nums[i+1]
	arrow := p.isArrow(a.to, b.from)
	to := b.from - 1
	if p.is(a.to, "down", "up", "all", "clear", "back") {
		to-- // "from 22 down to 11"
	}
	if !arrow && (to != a.to || !p.is(b.from-1, "to", "a", "-")) || a.idle || b.idle || a.used || p.inStory(a) || p.changesIn(i) {
		return
	}
	for k := max(a.from-3, 0); k < a.from || arrow; k++ {
		if _, ok := p.listed("changed", k); arrow || ok && p.sentence[k] == p.sentence[a.core] {
			a.idle, a.earlier = true, true
			p.mark(a.from, a.to, counted)
			return
		}
	}
}

// isArrow: "52 -> 49".
func (p *parse) isArrow(from, to int) bool {
	return to-from == 2 && p.is(from, "-", "=") && p.is(from+1, ">") || to-from == 1 && p.is(from, "→", ">", "➜")
}

// inStory: the words of a test stand before the number in its sentence.
func (p *parse) inStory(q *quantity) bool {
	for k := q.from - 1; k >= 0 && p.sentence[k] == p.sentence[q.core]; k-- {
		for s := range stories {
			if _, ok := p.storyAt(&stories[s], k); ok {
				return true
			}
		}
	}
	return false
}

// isForeign: amps, volts or ohms of a heater, a fan or a control, and not of the
// compressor.
func (p *parse) isForeign(q *quantity) bool {
	if q.unit != nil && q.fits(lexicon.Volts) && p.says("insulation") && slices.Contains(meggerVolts, q.value) {
		return true // "megged it at 500 V"
	}
	if q.unit != nil && q.fits(lexicon.Temp) && !q.fits(lexicon.Heat) && p.is(q.from-1, "at", "@", "a") && p.insulationIn(q) {
		return true // "18 Mohm at 22 C"
	}
	if q.row == 3 || q.unit == nil || !q.fits(lexicon.Amps) && !q.fits(lexicon.Volts) && !q.fits(lexicon.Ohms) {
		return false
	}
	back := p.chunk[q.core]
	if p.is(q.to, "on", "thru", "through", "across") && p.is(q.to+1, "it") {
		back-- // "cch is cold, got 0 amps on it"
	}
	for k := q.core - 1; k >= 0 && p.chunk[k] >= back && p.sentence[k] == p.sentence[q.core]; k-- {
		if _, ok := p.listed("foreign", k); ok {
			return true
		}
	}
	return false
}

// isTime: 7:30, "at 9 am" (its unit is idle), "10 o'clock"; 3/14/26, 555-0134.
func (p *parse) isTime(q *quantity) bool {
	if p.is(q.numTo, ":") && p.t[q.numTo].Glued && q.numTo+1 < len(p.t) && p.t[q.numTo+1].Kind == lex.Number && p.t[q.numTo+1].Glued {
		return true
	}
	if p.is(q.core-1, ":") && q.core >= 2 && p.t[q.core-2].Kind == lex.Number && p.t[q.core-1].Glued && p.t[q.core].Glued {
		return true
	}
	return p.isChain(q) || p.isDate(q)
}

// isChain sees 555-0134, 815-555-0134: digits with dashes, one part of three or more.
func (p *parse) isChain(q *quantity) bool {
	digits := func(i int) int {
		if i < 0 || i >= len(p.t) || p.t[i].Kind != lex.Number || strings.ContainsAny(p.t[i].Text, ",./") {
			return 0 // 120,000 is no telephone number
		}
		return len(p.t[i].Text)
	}
	next := p.is(q.core+1, "-") && p.t[q.core+1].Glued && digits(q.core+2) == 4
	last := p.is(q.core-1, "-") && p.t[q.core-1].Glued && digits(q.core) == 4 && digits(q.core-2) >= 3
	if next && digits(q.core) >= 3 || last {
		return true
	}
	return digits(q.core) >= 7 && q.unit == nil
}

// isDate sees 3/14 behind a day's name or "on", and 3/14/26.
func (p *parse) isDate(q *quantity) bool {
	months := "jan feb mar apr may jun jul aug sep sept oct nov dec january february march april june july august september october november december"
	if q.core > 0 && hasWord(months, p.t[q.core-1].Plain) && p.t[q.core-1].Plain != "may" && q.value <= 31 {
		return true
	}
	return q.value >= 1990 && q.value <= 2040 && q.unit == nil && p.is(q.core-1, "in", "since", "from", "circa", "del", "en") && !p.t[q.core].Decimal
}

func hasWord(list, w string) bool {
	for len(list) > 0 {
		i := 0
		for i < len(list) && list[i] != ' ' {
			i++
		}
		if list[:i] == w {
			return true
		}
		list = list[min(i+1, len(list)):]
	}
	return false
}

// isNumberOf: "po 44817", "gate 4", "#2", "call me at …"; and "7/8 swage tool".
func (p *parse) isNumberOf(q *quantity) bool {
	if p.is(q.core-1, "#") && p.numOf[q.core-1] < 0 {
		return true
	}
	if _, ok := p.listedBefore("idle_before", q.from); ok && q.unit == nil {
		return true
	}
	if _, ok := p.listed("idle_after", q.to); ok {
		return true
	}
	return q.to+1 < len(p.t) && q.frac && p.anyListed("idle_after", q.to, q.to+3)
}

func (p *parse) anyListed(list string, from, to int) bool {
	for i := from; i < to && i < len(p.t); i++ {
		if lex.EndsClause(p.t[i]) {
			return false
		}
		if _, ok := p.listed(list, i); ok {
			return true
		}
	}
	return false
}

// isAway: "six inches out", "6 in from the compressor": where the probe sits.
func (p *parse) isAway(q *quantity) bool {
	if q.unit == nil || q.frac || q.code(lexicon.Size) != units.CodeInch {
		return false
	}
	_, away := p.listed("beyond", q.to)
	return away
}

func (p *parse) isMoney(q *quantity) bool {
	return p.is(q.core-1, "$", "€", "usd") || p.is(q.to, "$", "€")
}

// isCount: "2 of 3 phases", "2 suction reeds", "3 phase": a small count of things.
func (p *parse) isCount(q *quantity) bool {
	if q.unit == nil && !q.frac && p.is(q.to, "of", "out") && q.to+1 < len(p.t) && !p.isSetting(q) && p.t[q.to+1].Kind == lex.Number && !p.t[q.to+1].Frac {
		return true
	}
	if q.unit == nil && !q.frac && p.is(q.core-1, "of") && q.core >= 2 && p.t[q.core-2].Kind == lex.Number {
		return true
	}
	if q.unit != nil || q.frac || q.value > 12 || q.value < 1 || q.value != float64(int(q.value)) || p.nameEndsAt(q.from) {
		return false
	}
	if p.isOfPart(q) {
		return true // "piston 1 scored", "open between 1 and 3"
	}
	if p.is(q.core-1, "all") && q.value <= 4 {
		return true // "0.3 to ground on all three"
	}
	if f := p.r.parts.At(p.t, q.to); f.To > q.to && !p.namedPlain(q.to) {
		return true
	}
	return false
}

// isOfPart: a part that is no reading's name stands right before the small number, or
// it tells between which cylinders or terminals something is.
func (p *parse) isOfPart(q *quantity) bool {
	const mostCylinders = 8
	if q.value > mostCylinders || q.core == 0 {
		return false
	}
	if p.is(q.core-1, "between") || p.is(q.core-1, "and") && q.core >= 3 && p.is(q.core-3, "between") {
		between := q.core - 1
		if !p.is(between, "between") {
			between = q.core - 3
		}
		return !p.nameEndsAt(between)
	}
	if p.nameOf[q.core-1] >= 0 {
		return false
	}
	for k := max(q.core-3, 0); k < q.core; k++ {
		if f := p.r.parts.At(p.t, k); f.To == q.core && f.To > k {
			return true
		}
	}
	return false
}

// nameEndsAt reports a reading's name right before token i.
func (p *parse) nameEndsAt(i int) bool {
	return i > 0 && p.nameOf[i-1] >= 0 && p.names[p.nameOf[i-1]].to == i
}

// namedPlain reports whether the words at i name a reading as well: "38 suction".
func (p *parse) namedPlain(i int) bool {
	return i < len(p.t) && p.nameOf[i] >= 0 && p.names[p.nameOf[i]].from == i
}

// isDeniedNumber: "28 not 82".
func (p *parse) isDeniedNumber(q *quantity) bool {
	return p.is(q.from-1, "not") && p.t[q.from-1].Kind == lex.Word && p.t[q.from-1].Plain != "dont"
}

// isEarlier: "head was 172 yesterday", "other unit is at 30". A value of today in
// the same part takes it back.
func (p *parse) isEarlier(i int) bool {
	if !p.recalls || p.anyOf("log_words", max(p.nums[i].core-farOff, 0), p.nums[i].core) {
		return false // a log of this machine is what is known of it
	}
	q := &p.nums[i]
	c := p.chunk[q.core]
	lo, hi := p.window(q.core)
	for k := lo; k < hi; k++ {
		end, ok := p.listed("earlier", k)
		if !ok || p.is(k-1, "since", "from", "than", "desde") || p.is(k, "other") && p.is(k-2, "with") {
			continue // "up from last week"
		}
		nearest := p.nearestNumber(k, end, c)
		if nearest == i || nearest < 0 {
			return true
		}
		return p.oneBreath(i, nearest)
	}
	return false
}

// oneBreath: both numbers before the word and no "now" between them.
func (p *parse) oneBreath(i, nearest int) bool {
	lo, hi := min(i, nearest), max(i, nearest)
	for k := p.nums[lo].to; k < p.nums[hi].from; k++ {
		if _, ok := p.listed("today", k); ok {
			return false
		}
	}
	return p.nums[i].row == 0 || p.nums[nearest].row == 0 || lo == i && hi == nearest
}

// nearestNumber is the number of a part that is nearest to the words from..to.
func (p *parse) nearestNumber(from, to, chunk int) int {
	best, least := -1, 99
	for k := max(from-farOff, 0); k < min(to+farOff, len(p.t)); k++ {
		i := p.numOf[k]
		if i < 0 || p.chunk[k] != chunk {
			continue
		}
		q := &p.nums[i]
		d := q.from - to
		if q.to <= from {
			d = from - q.to
		}
		if d < least {
			best, least = i, d
		}
	}
	return best
}

// eitherOr doubts "28 or 82", and numbers whose part says that the sender can't
// tell.
func (p *parse) eitherOr(i int) {
	q := &p.nums[i]
	if i+1 < len(p.nums) {
		b := &p.nums[i+1]
		gap := b.from - q.to
		if gap == 0 && p.is(b.from, "maybe") && p.is(q.from, "maybe") && !b.idle && !q.idle {
			q.doubtful, b.doubtful = true, true // "maybe 20 maybe 30"
		}
		if gap >= 1 && gap <= 3 && p.is(q.to, "or", "o") && !b.idle && !q.idle && b.frac == q.frac {
			if p.is(q.to+1, "so") {
				return
			}
			q.doubtful, b.doubtful = true, true
			b.said = "second"
		}
		if p.isSwing(q, b) {
			q.doubtful, b.doubtful = true, true
			b.said = "second"
		}
	}
	if p.is(q.to, "something") {
		q.doubtful = true // "20 something"
	}
	if !p.doubts {
		return
	}
	if p.is(q.to, "?") {
		if _, ok := p.listed("doubtful", q.to+1); ok {
			q.doubtful = true // "net oil 22? or was that the suction"
		}
	}
	lo, hi := p.window(q.core)
	for k := lo; k < min(hi+farOff, len(p.t)) && p.chunk[k] <= p.chunk[q.core]+1; k++ {
		if p.chunk[k] != p.chunk[q.core] && !(p.sentence[k] == p.sentence[q.core] && p.chunk[k] == p.chunk[q.core]+1 && p.nearestNumber(k, k, p.chunk[k]) < 0) {
			continue
		}
		if _, ok := p.listed("doubtful", k); ok && !p.is(k+2, "which") && p.doubtsNumber(k) {
			q.doubtful = true
		}
	}
}

// isSwing: "superheat 2 to 25", too wide for one number in the middle.
func (p *parse) isSwing(a, b *quantity) bool {
	plain := !a.used && !b.used && !a.idle && !b.idle && !a.frac && !b.frac && a.unit == nil && b.unit == nil
	_, swings := p.listedBefore("swings", a.from)
	return plain && b.from == a.to+1 && p.is(a.to, "to", "-", "a") && (swings || p.nameEndsAt(a.from))
}

// doubtsNumber: the words of doubt stand in a part with no finding of their own.
func (p *parse) doubtsNumber(k int) bool {
	lo, hi := p.window(k)
	for i := lo; i < hi; i++ {
		{
			if f := p.r.parts.At(p.t, i); f.To > i && !p.namedPlain(i) && !p.is(i, "it") {
				return false
			}
			if f := p.r.direct.At(p.t, i); f.To > i {
				return false
			}
		}
	}
	return true
}
