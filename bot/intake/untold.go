package intake

import (
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// isShutValve: "closed the king valve it pulled to 5": the valve was shut before.
func (p *parse) isShutValve(i int) bool {
	if !p.is(i, "valve") {
		return false
	}
	for k := i - 1; k >= max(i-4, 0) && p.sentence[k] == p.sentence[i]; k-- {
		if p.isOne("shut_words", k) {
			return true
		}
	}
	return false
}

// risesIn: "solenoid is leaking, it went from 2 to 21 in 9 minutes": two pressures and
// a time in the sentence, and no gauge named.
func (p *parse) risesIn(i int) bool {
	levels, times := 0, 0
	for k := i; k < len(p.t) && p.sentence[k] == p.sentence[i]; k++ {
		if n := p.nameAt(k); n != nil && !n.Loose {
			return false
		}
		j := p.numOf[k]
		if j < 0 || p.nums[j].core != k || p.nums[j].used {
			continue
		}
		switch q := &p.nums[j]; {
		case q.unit != nil && q.fits(lexicon.Time):
			times++
		case q.fits(lexicon.Pressure) && !q.frac:
			levels++
		}
	}
	return levels == 2 && times == 1
}

// holds: two pressures that a pipe is tested with follow in the sentence, and no gauge
// is named.
func (p *parse) holds(i int) bool {
	levels := 0
	for k := i; k < len(p.t) && p.sentence[k] == p.sentence[i]; k++ {
		if n := p.nameAt(k); n != nil && !n.Loose {
			return false
		}
		j := p.numOf[k]
		if j < 0 || p.nums[j].core != k || p.nums[j].unit == nil || !p.nums[j].fits(lexicon.Pressure) {
			continue
		}
		r := p.readingOf(&p.nums[j], vocab.TestPressureStart)
		if v, err := inUnitOf(r, units.CodePSIG); err == nil && v >= p.r.words.Sizes.LeastTest {
			levels++
		}
	}
	return levels == 2
}

// testedTwice: "250 psi at 85 yesterday this morning 241 at 62": a test pressure and a
// temperature, twice, then and now, and nothing else is named.
func (p *parse) testedTwice(i int) bool {
	if i+4 > len(p.nums) || p.nums[i].unit == nil || !p.nums[i].fits(lexicon.Pressure) {
		return false
	}
	first, last := false, false
	row := p.nums[i : i+4]
	for k := max(row[0].from-2, 0); k < min(row[3].to+3, len(p.t)); k++ {
		if p.nameOf[k] >= 0 && !p.names[p.nameOf[k]].Loose {
			return false
		}
		_, was := p.listed("first_words", k)
		_, is := p.listed("last_words", k)
		first, last = first || was, last || is
	}
	for k := range row {
		q, level := &row[k], k%2 == 0
		if q.used || q.frac || level != (q.value >= p.r.words.Sizes.LeastTest) || q.unit != nil && !q.fits(map[bool]lexicon.Kind{true: lexicon.Pressure, false: lexicon.Temp}[level]) {
			return false
		}
	}
	return first && last
}

// changesIn: "4 to 5 psig in 10 min" with no gauge named.
func (p *parse) changesIn(i int) bool {
	if i+2 >= len(p.nums) {
		return false
	}
	a, b, t := &p.nums[i], &p.nums[i+1], &p.nums[i+2]
	if b.from-a.to != 1 || !p.is(a.to, "to") || t.from-b.to != 1 || !p.is(b.to, "in", "over", "after") || t.unit == nil || !t.fits(lexicon.Time) {
		return false
	}
	shut := p.isShutIn(a)
	for k := a.from - 1; k >= 0 && p.chunk[k] == p.chunk[a.from]; k-- {
		if p.nameOf[k] >= 0 && !(shut && p.is(k+1, "valve", "solenoid")) {
			return false // the "liquid" of a valve is no gauge
		}
	}
	if b.unit == nil {
		return a.unit == nil && !a.frac && !b.frac && shut // "closed the king valve … 4 to 5 in 12 min"
	}
	return b.fits(lexicon.Pressure) && !a.frac
}

// isShutIn: a valve was closed in the sentence, or the pump-down was told before.
func (p *parse) isShutIn(q *quantity) bool {
	shut := false
	for k := q.from - 1; k >= 0 && p.sentence[k] == p.sentence[q.core]; k-- {
		shut = shut || p.isOne("liquid_valves", k)
		if shut && p.isOne("shut_words", k) {
			return true
		}
	}
	return p.ctxHas(vocab.PumpdownPressure)
}

// tempNamedBefore: "box pulled down to 2 overnight" is no vacuum.
func (p *parse) tempNamedBefore(i int) bool {
	for k := i - 1; k >= max(i-3, 0) && p.chunk[k] == p.chunk[i]; k-- {
		if n := p.nameAt(k); n != nil && n.first() != vocab.SuctionPressure {
			return true
		}
	}
	return false
}

// inPounds: "pulled it down to zero … came up to nineteen pounds" is a pump-down.
func (p *parse) inPounds(from int) bool {
	for k := from; k < len(p.t) && p.sentence[k] == p.sentence[from]; k++ {
		if i := p.numOf[k]; i >= 0 && p.nums[i].unit != nil {
			if p.nums[i].fits(lexicon.Vacuum) {
				return false
			}
			if p.nums[i].fits(lexicon.Pressure) {
				return true
			}
		}
	}
	return false
}
