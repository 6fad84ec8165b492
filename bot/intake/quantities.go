package intake

import (
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
)

// findNumbers gathers the numbers that are not yet part of something else, with
// sign, unit, roughness and range.
func (p *parse) findNumbers() {
	for i := 0; i < len(p.t); {
		if p.taken[i] || p.noReading(i) {
			i++
			continue
		}
		v, n, fraction := numberAt(p.t, i)
		if n == 0 {
			i++
			continue
		}
		q := quantity{value: v, fraction: fraction, spelled: p.t[i].Kind == lex.Word, from: i, to: i + n, core: i}
		p.feetAndInches(&q)
		p.sign(&q)
		p.thousand(&q)
		p.unitOf(&q)
		p.rough(&q)
		p.nums = append(p.nums, q)
		i = q.to
	}
	p.ranges()
	p.lists()
	p.stale()
	p.choices()
}

// noReading spots times of day, dates, phone numbers, ordinals and the like.
func (p *parse) noReading(i int) bool {
	t := p.t
	if t[i].Kind != lex.Number {
		return false
	}
	glued := func(j int, marks string) bool {
		return j >= 0 && j < len(t) && t[j].Kind == lex.Mark && strings.Contains(marks, t[j].Text)
	}
	switch {
	case i+2 < len(t) && glued(i+1, ":") && t[i+1].Glued && t[i+2].Kind == lex.Number && t[i+2].Glued,
		glued(i-1, ":") && t[i].Glued && i > 1 && t[i-2].Kind == lex.Number && t[i-1].Glued:
		return true // 9:30
	case glued(i-1, "#") && (i < 2 || t[i-2].Kind != lex.Number || !t[i-1].Glued) && len(t[i].Text) <= 4:
		return true // #2
	case glued(i-1, "$€") && t[i].Glued:
		return true
	case len(strings.Trim(t[i].Text, ".,")) >= 7:
		return true // serial and phone numbers
	}
	return p.phone(i) || p.dateLike(i)
}

// phone spots 555-0142 and the like: groups of three and four digits.
func (p *parse) phone(i int) bool {
	group := func(j int) int {
		if j < 0 || j >= len(p.t) || p.t[j].Kind != lex.Number {
			return 0
		}
		return len(p.t[j].Text)
	}
	sep := func(j int) bool {
		return j >= 0 && j < len(p.t) && (p.t[j].Text == "-" || p.t[j].Text == ".") && p.t[j].Glued
	}
	return group(i) == 3 && sep(i+1) && group(i+2) == 4 || group(i) == 4 && sep(i-1) && group(i-2) == 3 ||
		group(i) == 3 && sep(i+1) && group(i+2) == 3 && sep(i+3)
}

// dateLike spots 3/14/26: three numbers with slashes that no tube or line has.
func (p *parse) dateLike(i int) bool {
	for _, start := range []int{i, i - 2, i - 4} {
		if start < 0 || start+4 >= len(p.t) || p.t[start+1].Text != "/" || p.t[start+3].Text != "/" || !p.t[start+1].Glued || !p.t[start+3].Glued {
			continue
		}
		a, okA := plainNumber(p.t[start].Text)
		b, okB := plainNumber(p.t[start+2].Text)
		c, okC := plainNumber(p.t[start+4].Text)
		if okA && okB && okC && a >= 1 && a <= 12 && b >= 1 && b <= 31 && (c >= 20 && c <= 35 || c >= 2000 && c <= 2100) && a == float64(int(a)) && !strings.Contains(p.t[start+4].Text, ".") {
			return true
		}
	}
	return false
}

// feetAndInches reads 12'6".
func (p *parse) feetAndInches(q *quantity) {
	j := q.to
	if j+1 >= len(p.t) || p.t[j].Text != "'" || !p.t[j].Glued || p.t[j+1].Kind != lex.Number || !p.t[j+1].Glued {
		return
	}
	inches, ok := plainNumber(p.t[j+1].Text)
	if !ok || inches >= 12 {
		return
	}
	q.value += inches / 12
	q.to = j + 2
	q.feetMark = true
	if q.to < len(p.t) && p.t[q.to].Text == `"` {
		q.to++
	}
	_, n := p.r.units.At([]lex.Token{{Kind: lex.Mark, Text: "'"}}, 0)
	if n > 0 {
		entry, _ := p.r.units.At([]lex.Token{{Kind: lex.Mark, Text: "'"}}, 0)
		q.unit = &p.r.words.Units[entry]
	}
}

// sign reads -20, minus five, 22 below.
func (p *parse) sign(q *quantity) {
	i := q.from
	if i > 0 && p.t[i-1].Text == "-" && p.t[i].Glued && (i < 2 || !p.t[i-1].Glued || p.t[i-2].Text == "(" || p.t[i-2].Text == "/") {
		q.value, q.from = -q.value, i-1
	} else if w := word(p.t, i-1); (w == "minus" || w == "negative" || w == "menos") && !p.taken[i-1] {
		q.value, q.from = -q.value, i-1
		p.take(i-1, i)
	}
	w := word(p.t, q.to)
	if (w == "below" || w == "under") && q.value > 0 && !p.belowWhat(q.to+1) {
		q.value = -q.value
		q.to++
		if word(p.t, q.to) == "zero" || word(p.t, q.to) == "cero" {
			q.to++
		}
	}
}

// belowWhat keeps "10 below the glass" and "5 below setpoint" apart from 10 below.
func (p *parse) belowWhat(i int) bool {
	w := word(p.t, i)
	return w != "" && w != "zero" && w != "cero" && w != "in" && w != "and" && w != "at" && w != "sp" && p.sentence[i] == p.sentence[i-1] && p.chunk[i] == p.chunk[i-1]
}

// thousand reads 36k.
func (p *parse) thousand(q *quantity) {
	if w := word(p.t, q.to); w == "k" && p.t[q.to].Glued {
		q.value *= 1000
		q.to++
	}
}

// unitOf takes the unit words after the number.
func (p *parse) unitOf(q *quantity) {
	if q.unit != nil || q.to >= len(p.t) {
		return
	}
	j := q.to
	if p.t[j].Text == "-" && j+1 < len(p.t) && p.t[j].Glued && p.t[j+1].Kind == lex.Word { // 14-ft
		j++
	}
	entry, n := p.r.units.At(p.t, j)
	if n == 0 {
		p.degreesThen(q, j)
		return
	}
	u := &p.r.words.Units[entry]
	if !p.unitStands(q, j, n, u) {
		return
	}
	q.unit, q.to = u, j+n
	p.degreesThen(q, q.to)
	if u.Kind == lexicon.Size && word(p.t, q.to) == "od" {
		q.to++
	}
	if u.Kind == lexicon.Pressure && (word(p.t, q.to) == "gauge" || word(p.t, q.to) == "g" && p.t[q.to].Glued) {
		q.to++
	}
}

// degreesThen lets "grados c" and "deg. C" end in the letter.
func (p *parse) degreesThen(q *quantity, j int) {
	if q.unit == nil || !q.unit.Assumed || j >= len(p.t) {
		return
	}
	if p.t[j].Text == "." && j+1 < len(p.t) {
		j++
	}
	if w := word(p.t, j); w == "c" || w == "f" {
		if entry, n := p.r.units.At(p.t, j); n == 1 {
			q.unit, q.to = &p.r.words.Units[entry], j+1
		}
	}
}

// unitStands refuses letters and words that only look like a unit here.
func (p *parse) unitStands(q *quantity, j, n int, u *lexicon.Unit) bool {
	w := p.t[j].Text
	glued := p.t[j].Glued
	switch {
	case p.headsNextList(q, j, n, u):
		return false
	case n > 1:
		return true
	case w == "min" && p.minLoadAt(j):
		return false
	case w == "in" || w == "a" || w == "m" || w == "l" || w == "g" || w == "x" || w == "w" || w == "k":
		if w == "in" {
			return glued || q.fraction || j+1 >= len(p.t) || p.t[j+1].Kind == lex.Mark
		}
		if w == "m" || w == "a" {
			return glued || p.t[j].Raw == "A" || w == "m" && (j+1 >= len(p.t) || p.t[j+1].Text != "i") && p.lengthNear(q)
		}
		return glued || w == "l" && p.t[j].Raw == "L" && p.wordIs("accumulator", "accum", "acumulador", "acc")
	case w == "'" || w == `"`:
		return glued
	case w == "c" || w == "f":
		return true
	case w == "#":
		return glued
	case w == "/":
		return false
	case w == "sec" || w == "st" || w == "nd" || w == "rd" || w == "th":
		return true
	}
	return true
}

// headsNextList refuses "amps" in "volts 229/231/226 amps 9.8/10.1/9.5": it names
// the numbers that follow, since other words name those before.
func (p *parse) headsNextList(q *quantity, j, n int, u *lexicon.Unit) bool {
	switch u.Kind {
	case lexicon.Volt, lexicon.Amp, lexicon.Ohm, lexicon.Meg:
	default:
		return false
	}
	if p.t[j].Glued || j+n >= len(p.t) || p.t[j+n].Kind != lex.Number {
		return false
	}
	for k := q.from - 1; k >= 0; k-- {
		if p.t[k].Kind == lex.Number || p.t[k].Text == "/" || p.t[k].Text == "," {
			continue
		}
		for _, s := range p.slots {
			if s.to == k+1 && s.Takes[u.Kind] == "" {
				return true
			}
		}
		return false
	}
	return false
}

// minLoadAt tells "min step 33 %" from minutes.
func (p *parse) minLoadAt(j int) bool {
	for _, s := range p.slots {
		if s.from == j && s.Name == "min_capacity" && s.to > j+1 {
			return true
		}
	}
	return false
}

// lengthNear reports whether a metre would make sense: a slot of length is near.
func (p *parse) lengthNear(q *quantity) bool {
	for _, s := range p.slots {
		_, ok := s.Takes[lexicon.Length]
		if (ok || s.Name == "run" || s.Name == "lift") && s.from > q.from-6 && s.from < q.to+6 {
			return true
		}
	}
	return false
}

// rough reads ~28, about 28, 28ish.
func (p *parse) rough(q *quantity) {
	switch i := q.from - 1; {
	case i < 0:
	case p.t[i].Text == "~":
		q.approx, q.from = true, i
	default:
		switch word(p.t, i) {
		case "about", "around", "roughly", "approx", "maybe", "approximately", "near", "nearly", "almost", "like", "bout", "aprox", "como", "unos", "cerca":
			q.approx = true
			p.take(i, i+1)
		}
	}
	if q.to < len(p.t) && (word(p.t, q.to) == "ish" || p.t[q.to].Text == "-" && word(p.t, q.to+1) == "ish") {
		q.approx = true
		q.to++
		if word(p.t, q.to) == "ish" {
			q.to++
		}
	}
	if w := word(p.t, q.to); w == "or" && word(p.t, q.to+1) == "so" {
		q.approx = true
	}
}

// ranges makes 28-30 and 230 to 240 one rough number, their middle.
func (p *parse) ranges() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		gap := b.from - a.to
		joined := gap == 1 && (p.t[a.to].Text == "-" && p.t[a.to].Glued || word(p.t, a.to) == "to" || word(p.t, a.to) == "a") ||
			gap == 0 && b.from < b.core && p.t[b.from].Text == "-" && p.t[b.from].Glued && p.t[b.core].Glued
		if !joined || a.unit != nil && b.unit != nil && a.unit != b.unit {
			continue
		}
		low, high := a.value, b.value
		if gap == 0 {
			high = -b.value
		}
		if !(high > low && low > 0 && (high <= 1.35*low || high-low <= 6)) || p.waiting(a.from) {
			continue
		}
		a.value, a.approx, a.to = (low+high)/2, true, b.to
		if a.unit == nil {
			a.unit = b.unit
		}
		p.nums = append(p.nums[:i+1], p.nums[i+2:]...)
	}
}

// waiting reports whether a test that goes from one value to another is told.
func (p *parse) waiting(i int) bool {
	for _, s := range p.slots {
		switch s.Name {
		case "pumpdown", "vacuum", "test":
			if p.sentence[s.from] == p.sentence[i] {
				return true
			}
		}
	}
	return false
}

// lists joins numbers that stand side by side: 230/229/235, 11.2 11.0 11.3.
func (p *parse) lists() {
	list := 0
	for i := 0; i < len(p.nums); {
		j := i + 1
		for j < len(p.nums) && p.sideBySide(&p.nums[j-1], &p.nums[j]) {
			j++
		}
		if j-i >= 2 {
			list++
			for k := i; k < j; k++ {
				p.nums[k].list, p.nums[k].place, p.nums[k].size = list, k-i, j-i
			}
		}
		i = j
	}
}

func (p *parse) sideBySide(a, b *quantity) bool {
	if a.fraction != b.fraction || a.unit != nil && b.unit != nil && a.unit != b.unit {
		return false
	}
	for k := a.to; k < b.from; k++ {
		switch p.t[k].Text {
		case "/", "and", "y", "&", "over", ",":
		default:
			return false
		}
	}
	if b.from-a.to > 2 {
		return false
	}
	if b.from > a.to && p.t[a.to].Text == "," && p.t[a.to].Kind == lex.Mark {
		return a.unit == nil && b.kindred(a)
	}
	return true
}

// kindred numbers are near enough to be legs of one supply or motor.
func (q *quantity) kindred(o *quantity) bool {
	hi, lo := max(q.value, o.value), min(q.value, o.value)
	return lo > 0 && hi <= 2*lo
}

// stale leaves out what was read at another time or is only wished for.
func (p *parse) stale() {
	for i := range p.nums {
		q := &p.nums[i]
		for k := q.to; k < q.to+3 && k < len(p.t) && p.sentence[k] == p.sentence[q.from]; k++ {
			switch w := word(p.t, k); w {
			case "yesterday", "ayer", "setpoint":
				q.ignored = true
			case "last":
				switch word(p.t, k+1) {
				case "week", "month", "visit", "time", "year", "night":
					q.ignored = word(p.t, k+1) != "night" || !p.waiting(q.from)
				}
			}
			if p.t[k].Kind == lex.Number {
				break
			}
		}
	}
}

// choices marks numbers that the sender was not sure of: "either 28 or 82",
// "12 don't remember if oz or lb".
func (p *parse) choices() {
	for i := range p.nums {
		q := &p.nums[i]
		if i+1 < len(p.nums) && p.nums[i+1].from == q.to+1 && word(p.t, q.to) == "or" {
			q.doubtful, p.nums[i+1].ignored = true, true
		}
		for k := q.to; k < len(p.t) && k < q.to+4 && p.sentence[k] == p.sentence[q.from]; k++ {
			if w := word(p.t, k); (w == "dont" || w == "don't" || w == "cant" || w == "can't" || w == "not") && (word(p.t, k+1) == "remember" || word(p.t, k+1) == "recall" || word(p.t, k+1) == "sure") {
				q.doubtful = true
			}
		}
		for k := q.from - 1; k >= 0 && k > q.from-5 && p.sentence[k] == p.sentence[q.from]; k-- {
			if w := word(p.t, k); (w == "forget" || w == "forgot") || w == "either" && i+1 < len(p.nums) {
				q.doubtful = true
			}
		}
	}
}
