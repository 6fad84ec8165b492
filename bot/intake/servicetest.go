package intake

import (
	"coldcase/bot/intake/lex"
	"coldcase/calc/answer"
	"coldcase/calc/service"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
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

// lowestGauge is a full vacuum, in inches of mercury.
const lowestGauge = -30

// storiesOf are the tests, with the levels that a bare number of them has at least.
func storiesOf(size lexicon.Sizes) []story {
	return []story{
		{list: "vacuum_test", kind: lexicon.Vacuum, first: vocab.VacuumLevel, last: vocab.VacuumRiseLevel, wait: vocab.VacuumHoldTime, least: size.LeastVacuum},
		{list: "pumpdown_test", kind: lexicon.Pressure, first: vocab.PumpdownPressure, last: vocab.PumpdownRisePressure, wait: vocab.PumpdownWaitTime, least: lowestGauge},
		{list: "holding_test", kind: lexicon.Pressure, first: vocab.TestPressureStart, last: vocab.TestPressureEnd, temps: []vocab.Key{vocab.TestTempStart, vocab.TestTempEnd}, least: size.LeastTest},
	}
}

// tellTests reads vacuums, pump-downs and nitrogen holds.
func (p *parse) tellTests() {
	done := 0
	for i := 0; i < len(p.t); i++ {
		if earlier := p.numOf[i] >= 0 && p.nums[p.numOf[i]].earlier; i < done || p.use[i] == counted && !earlier {
			continue
		}
		for s := range p.r.stories {
			if end, ok := p.storyAt(&p.r.stories[s], i); ok {
				done = p.tell(&p.r.stories[s], i, end)
				break
			}
		}
	}
}

// storyAt reports whether the words of a test begin at token i.
func (p *parse) storyAt(s *story, i int) (end int, ok bool) {
	if k := p.numOf[i]; k >= 0 {
		q := &p.nums[k]
		if s.temps != nil {
			return i, q.core == i && p.testedTwice(k)
		}
		if s.list == "pumpdown_test" {
			return i, q.core == i && !q.used && !q.idle && p.changesIn(k)
		}
		return i, q.core == i && s.kind == lexicon.Vacuum && q.unit != nil && q.fits(lexicon.Vacuum) && !q.used
	}
	end, ok = p.listed(s.list, i)
	if !ok && s.temps != nil && p.is(i, "test", "holding", "held", "hold") && p.holds(i) {
		return i + 1, true // "test 325 psig 77F -> 318 psig 66F"
	}
	if !ok && s.temps != nil && p.is(i, "later") && p.ctxHas(s.first) && !p.ctxHas(s.last) {
		return i + 1, true // "15 hrs later 262 psi"
	}
	if !ok && s.list == "pumpdown_test" && (p.is(i, "solenoid") || p.isShutValve(i)) && p.risesIn(i) {
		return i + 1, true
	}
	if !ok && s.list == "pumpdown_test" {
		end, ok = p.listed("vacuum_test", i)
		ok = ok && !p.is(i, "vacuum") && p.inPounds(end)
	}
	if !ok || s.kind == lexicon.Vacuum && !p.is(i, "vacuum") && p.tempNamedBefore(i) {
		return i, false
	}
	if _, part := p.listed("not_a_test", end); part {
		return i, false
	}
	if s.kind == lexicon.Vacuum && !p.is(i, "vacuum") && p.inPounds(end) {
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
		if q.used || q.idle && !(q.earlier && (s.temps != nil || p.is(q.from-1, "from"))) || q.from < first || q.from >= limit {
			continue
		}
		switch {
		case q.lent && !q.fits(s.kind) && q.value >= s.least && s.temps != nil:
			q.unit, q.bare, q.lent = nil, true, false // "148 and 64F": the F is not the pressure's
			levels = append(levels, q)
		case s.wait != "" && (q.unit != nil && q.fits(lexicon.Time) || len(waits) > 0 && q.unit == nil && p.isBareWait(q, s)):
			waits = append(waits, q)
		case s.temps != nil && p.isTestTemp(q, s, len(levels) > 0):
			temps = append(temps, q)
		case p.isLevel(q, s):
			levels = append(levels, q)
		case q.unit == nil && !q.frac && len(levels) == 0 && s.kind == lexicon.Vacuum && q.from >= at && q.from <= end+2:
			p.wonder(q, s.first)
		}
	}
	if len(levels) > 2 && s.wait != "" {
		levels, waits = p.looksBetween(s, levels, waits)
	}
	for _, q := range waits {
		if len(levels) > 0 || p.ctxHas(s.first) {
			p.put(q, s.wait)
		}
	}
	p.putOrdered(levels, s.first, s.last, s.temps != nil && !p.ctxHas(s.first))
	if s.temps != nil && len(levels) == 1 && len(temps) == 1 && !p.isReadAt(levels[0].core) && !p.ctxHas(s.first) {
		p.wonder(temps[0], s.temps...)
	} else if s.temps != nil {
		p.putOrdered(temps, s.temps[0], s.temps[1], false)
	}
	p.mark(at, end, named)
	return limit
}

// isBareWait: the 20 of "900 in 10 min then 1600 in 20".
func (p *parse) isBareWait(q *quantity, s *story) bool {
	return p.is(q.from-1, "in", "after", "at") && q.value < s.least
}

// looksBetween sets the looks at the gauge between the first and the last aside:
// "500 microns, 5 min later 800, 10 min 850". What is left is the test as it ends.
func (p *parse) looksBetween(s *story, levels, waits []*quantity) (ends, last []*quantity) {
	if s.kind != lexicon.Vacuum {
		return levels[:2], waits
	}
	between := levels[1 : len(levels)-1]
	after := p.lookTimes(levels[1:], waits)
	for i, q := range between {
		q.used = true
		p.mark(q.from, q.to, counted)
		if after == nil || i >= len(answer.VacuumMid) {
			continue
		}
		key := answer.VacuumMid[i]
		level := p.readingOf(q, s.first)
		level.Key = key.Level
		time := vocab.Reading{Key: key.After, Value: after[i], Unit: units.CodeMinute}
		p.looks = append(p.looks, Reading{Reading: level}, Reading{Reading: time})
	}
	if after != nil {
		for _, q := range waits[:len(waits)-1] {
			q.used = true
			p.mark(q.from, q.to, counted)
		}
		waits = waits[len(waits)-1:]
		if p.inMinutes(waits[0]) != after[len(after)-1] {
			waits[0].value, waits[0].unit = after[len(after)-1], p.r.minutes
		}
	}
	return []*quantity{levels[0], levels[len(levels)-1]}, waits
}

// vacuumGoesOn notes whether a decay test's rise goes on or stands, by its words or by
// three looks at the gauge and more.
func (p *parse) vacuumGoesOn() {
	if !p.seen(vocab.VacuumLevel) || !p.seen(vocab.VacuumRiseLevel) {
		return
	}
	trend := service.TrendUnsaid
	if p.m.Said[answer.KeepsRising] {
		trend = service.TrendRises
	}
	if len(p.looks) > 0 {
		trend, _ = service.DecayTrend(p.decay()) // what can't be is asked about where it is judged
	}
	switch trend {
	case service.TrendRises:
		p.m.Circumstances[vocab.VacuumRises] = true
	case service.TrendLevels:
		p.m.Circumstances[vocab.VacuumLevels] = true
	}
}

// decay is the test with its looks.
func (p *parse) decay() []service.Sample {
	level, _ := p.value(vocab.VacuumLevel)
	last, _ := p.value(vocab.VacuumRiseLevel)
	wait, _ := p.value(vocab.VacuumHoldTime)
	read := []service.Sample{{Level: units.Pressure(level)}}
	for i := 0; i+1 < len(p.looks); i += 2 {
		mid, err1 := vocab.SI(p.looks[i].Reading, seaLevel)
		after, err2 := vocab.SI(p.looks[i+1].Reading, seaLevel)
		if err1 == nil && err2 == nil {
			read = append(read, service.Sample{After: units.Duration(after), Level: units.Pressure(mid)})
		}
	}
	return append(read, service.Sample{After: units.Duration(wait), Level: units.Pressure(last)})
}

// lookTimes are the minutes from valving off to each look; a time that does not go on
// from the one before it, or "another" of them, is counted from there. nil when they do
// not pair.
func (p *parse) lookTimes(looks, waits []*quantity) []float64 {
	if len(looks) != len(waits) {
		return nil
	}
	var out []float64
	for i, q := range waits {
		t := p.inMinutes(q)
		if i > 0 && (t <= out[i-1] || p.is(q.from-1, "another", "next", "further") || p.is(q.to, "more")) {
			t += out[i-1]
		}
		out = append(out, t)
	}
	return out
}

func (p *parse) inMinutes(q *quantity) float64 {
	v, err := inUnitOf(p.readingOf(q, vocab.VacuumHoldTime), units.CodeMinute)
	if err != nil {
		return q.value
	}
	return v
}

func (p *parse) ctxHas(k vocab.Key) bool { _, ok := p.ctx.Last[k]; return ok }

// storyEnd is the token at which something else is named, at most two sentences on.
func (p *parse) storyEnd(s *story, from int) int {
	for k := from; k < len(p.t); k++ {
		if p.sentence[k] > p.sentence[max(from-1, 0)]+2 {
			return k
		}
		if p.otherStory(s, k) {
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

// otherStory: a vacuum begins behind a holding test, or the other way round.
func (p *parse) otherStory(s *story, k int) bool {
	switch s.list {
	case "holding_test":
		return p.is(k, "vacuum") || p.numOf[k] >= 0 && p.nums[p.numOf[k]].unit != nil && p.nums[p.numOf[k]].fits(lexicon.Vacuum)
	case "vacuum_test":
		return p.is(k, "nitrogen")
	}
	return false
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
	return !q.frac && q.value >= s.least && !(q.spoken && q.value > 0 && q.value < 4 && !p.is(q.from-1, "to", "at")) && p.t[q.core].Kind != lex.Mark
}

// isTestTemp: "at 71F", "70 deg", or a bare number too small for the pressure.
func (p *parse) isTestTemp(q *quantity, s *story, pressureSeen bool) bool {
	if q.unit != nil {
		return q.fits(lexicon.Temp)
	}
	return !q.frac && q.value < s.least && pressureSeen
}
