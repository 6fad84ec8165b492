package intake

import "coldcase/refdata/lexicon"

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
	arrow := p.isArrow(a.to, b.from) || p.is(a.to, "then") && b.from == a.to+1 && p.isSameSort(a, b)
	to := b.from - 1
	if p.isOne("way_words", a.to) {
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

// isSameSort: two plain numbers that may be of one reading, the second with no name of its
// own behind it: "net oil went 18 then 7".
func (p *parse) isSameSort(a, b *quantity) bool {
	return a.frac == b.frac && (a.unit == nil || b.unit == nil || a.unit == b.unit) && !p.namedPlain(b.to)
}

// isArrow: "52 -> 49".
func (p *parse) isArrow(from, to int) bool {
	return to-from == 2 && p.is(from, "-", "=") && p.is(from+1, ">") || to-from == 1 && p.is(from, "→", ">", "➜")
}

// inStory: the words of a test stand before the number in its sentence.
func (p *parse) inStory(q *quantity) bool {
	for k := q.from - 1; k >= 0 && p.sentence[k] == p.sentence[q.core]; k-- {
		for s := range p.r.stories {
			if _, ok := p.storyAt(&p.r.stories[s], k); ok {
				return true
			}
		}
	}
	return false
}

// isEarlier: "head was 172 yesterday", "other unit is at 30". A value of today in
// the same part takes it back.
func (p *parse) isEarlier(i int) bool {
	if !p.recalls || p.anyOf("log_words", max(p.nums[i].core-farOff, 0), p.nums[i].core) {
		return false // a log of this machine is what is known of it
	}
	q := &p.nums[i]
	if q.unit != nil && q.fits(lexicon.Mass) && p.says("added") {
		return false // what was added yesterday is in it today
	}
	c := p.chunk[q.core]
	lo, hi := p.window(q.core)
	for k := lo; k < hi; k++ {
		end, ok := p.listed("earlier", k)
		if !ok || p.isOne("since_words", k-1) || p.is(k, "other") && p.is(k-2, "with") {
			continue // "up from last week"
		}
		nearest := p.nearestNumber(k, end, c)
		if nearest >= 0 && p.nums[nearest].core >= k && p.nums[nearest].core < end {
			if nearest == i {
				return true
			}
			continue // "suction 38 was 24 before": only the number between
		}
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
		if _, ok := p.listed("today", k); ok || p.isOne("was", k) && !p.isOne("was", p.nums[lo].from-1) {
			return false // "suction 38 was 24 before": the first is of now
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
