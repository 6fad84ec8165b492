package intake

import (
	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// story is a test told in order: a level, a wait, the level after it.
type story struct {
	list        string
	kind        lexicon.Kind
	first, last vocab.Key
	wait        vocab.Key
	temps       []vocab.Key
	least       float64 // a bare number below this is no level
}

var stories = []story{
	{list: "vacuum_test", kind: lexicon.Vacuum, first: vocab.VacuumLevel, last: vocab.VacuumRiseLevel, wait: vocab.VacuumHoldTime, least: 50},
	{list: "pumpdown_test", kind: lexicon.Pressure, first: vocab.PumpdownPressure, last: vocab.PumpdownRisePressure, wait: vocab.PumpdownWaitTime, least: -30},
	{list: "holding_test", kind: lexicon.Pressure, first: vocab.TestPressureStart, last: vocab.TestPressureEnd, temps: []vocab.Key{vocab.TestTempStart, vocab.TestTempEnd}, least: 100},
}

// tellTests reads vacuums, pump-downs and nitrogen holds.
func (p *parse) tellTests() {
	done := 0
	for i := 0; i < len(p.t); i++ {
		if i < done || p.use[i] == counted {
			continue
		}
		for s := range stories {
			if end, ok := p.storyAt(&stories[s], i); ok {
				done = p.tell(&stories[s], i, end)
				break
			}
		}
	}
}

// storyAt reports whether the words of a test begin at token i.
func (p *parse) storyAt(s *story, i int) (end int, ok bool) {
	if k := p.numOf[i]; k >= 0 {
		q := &p.nums[k]
		return i, q.core == i && s.kind == lexicon.Vacuum && q.unit != nil && q.fits(lexicon.Vacuum) && !q.used
	}
	end, ok = p.listed(s.list, i)
	if !ok {
		return i, false
	}
	if _, part := p.listed("not_a_test", end); part {
		return i, false
	}
	return end, true
}

// tell reads the numbers of a test, from the part of its words on to the next
// name of something else.
func (p *parse) tell(s *story, at, end int) (done int) {
	first := at
	for first > 0 && p.chunk[first-1] == p.chunk[at] && p.sentence[first-1] == p.sentence[at] && p.nameAt(first-1) == nil {
		first--
	}
	limit := p.storyEnd(s, end)
	var levels, temps, waits []*quantity
	for k := range p.nums {
		q := &p.nums[k]
		if q.used || q.idle && !(q.earlier && s.temps != nil) || q.from < first || q.from >= limit {
			continue
		}
		switch {
		case q.unit != nil && q.fits(lexicon.Time) && s.wait != "":
			waits = append(waits, q)
		case s.temps != nil && p.isTestTemp(q, s, len(levels) > 0):
			temps = append(temps, q)
		case p.isLevel(q, s):
			levels = append(levels, q)
		case q.unit == nil && !q.frac && len(levels) == 0 && s.kind == lexicon.Vacuum && q.from >= at && q.from <= end+2:
			p.wonder(q, s.first)
		}
	}
	for _, q := range waits {
		if len(levels) > 0 || p.ctxHas(s.first) {
			p.put(q, s.wait)
		}
	}
	p.putOrdered(levels, s.first, s.last, s.temps != nil && !p.ctxHas(s.first))
	if s.temps != nil {
		p.putOrdered(temps, s.temps[0], s.temps[1], false)
	}
	p.mark(at, end, named)
	return limit
}

func (p *parse) ctxHas(k vocab.Key) bool { _, ok := p.ctx.Last[k]; return ok }

// storyEnd is the token at which something else is named, at most two sentences on.
func (p *parse) storyEnd(s *story, from int) int {
	for k := from; k < len(p.t); k++ {
		if p.sentence[k] > p.sentence[max(from-1, 0)]+2 {
			return k
		}
		n := p.nameAt(k)
		if n == nil || n.Loose || n.Ignore {
			continue
		}
		if s.wait != "" && s.kind == lexicon.Pressure && n.first() == vocab.SuctionPressure {
			continue
		}
		if s.temps != nil && (n.Only == lexicon.Temp || n.first() == vocab.AmbientTemp) {
			continue
		}
		if n.Only == lexicon.Length && s.kind != lexicon.Vacuum || n.Only == lexicon.Amps && p.is(k, "drawing") {
			continue
		}
		return k
	}
	return len(p.t)
}

func (p *parse) nameAt(k int) *name {
	if i := p.nameOf[k]; i >= 0 {
		return &p.names[i]
	}
	return nil
}

// isLevel: the number can be the level that the test is about.
func (p *parse) isLevel(q *quantity, s *story) bool {
	if q.unit != nil {
		return q.fits(s.kind)
	}
	return !q.frac && q.value >= s.least && !(q.spoken && q.value < 4) && p.t[q.core].Kind != lex.Mark
}

// isTestTemp: "at 71F", "70 deg", or a bare number too small for the pressure.
func (p *parse) isTestTemp(q *quantity, s *story, pressureSeen bool) bool {
	if q.unit != nil {
		return q.fits(lexicon.Temp)
	}
	return !q.frac && q.value < s.least && pressureSeen
}

// putOrdered gives values to the first and the last key, by the words beside
// them or by their order. A lone one without such a word is asked about when it
// matters which.
func (p *parse) putOrdered(qs []*quantity, first, last vocab.Key, askLone bool) {
	if len(qs) == 1 {
		switch p.orderWord(qs[0]) {
		case lastOne:
			if askLone || p.ctxHas(first) || lexicon.KindOf(first) == lexicon.Temp {
				p.put(qs[0], last)
				return
			}
		case firstOne:
			p.put(qs[0], first)
			return
		}
		if askLone {
			p.wonder(qs[0], first, last)
			return
		}
		p.put(qs[0], first)
		return
	}
	for i, q := range qs {
		key := first
		if i > 0 {
			key = last
		}
		if i == 0 && len(qs) == 2 && p.is(qs[1].from-1, "from") {
			key = last
		} else if i == 1 && len(qs) == 2 && p.is(q.from-1, "from") {
			key = first
		}
		p.put(q, key)
	}
}

type order uint8

const (
	unordered order = iota
	firstOne
	lastOne
)

// orderWord looks for "start" or "end" beside a number.
func (p *parse) orderWord(q *quantity) order {
	for k := max(q.from-2, 0); k < len(p.t) && k < q.to+4; k++ {
		if p.sentence[k] != p.sentence[q.core] {
			continue
		}
		if _, ok := p.listed("first_words", k); ok {
			return firstOne
		}
		if _, ok := p.listed("last_words", k); ok {
			return lastOne
		}
	}
	return unordered
}
