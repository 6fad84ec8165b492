package intake

import (
	"fmt"
	"slices"

	"coldcase/refdata/lexicon"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// put makes a reading of a number, unless it can't physically be or is in doubt:
// then it is asked about and not used.
func (p *parse) put(q *quantity, key vocab.Key) {
	q.used = true
	p.mark(q.from, q.to, counted)
	if q.refused = q.doubtful; q.doubtful {
		p.ask(string(key), "Which is it, for sure?")
		p.drop(key)
		return
	}
	r := p.readingOf(q, key)
	if why, bad := implausible(r, p.refrigerant()); bad {
		q.refused = true
		p.ask(string(key), why)
		p.impossible = append(p.impossible, refusal{q.core, Ask{Key: string(key), Why: why}})
		p.drop(key)
		return
	}
	if p.hotterThanAir(r) {
		p.ask(string(key), fmt.Sprintf("%g %s is too much for the low side of %s. Is it the head?", r.Value, r.Unit, p.refrigerant()))
		return
	}
	p.replace(Reading{Reading: r}, q.core)
}

// refusal is a number that can't be what it was typed for.
type refusal struct {
	at  int // token of the number
	ask Ask
}

// stillImpossible are the refused numbers that nothing else has taken since.
func (p *parse) stillImpossible() (asks []Ask) {
	for _, r := range p.impossible {
		taken := slices.Contains(p.readAt, r.at) || slices.ContainsFunc(p.nums, func(q quantity) bool { return q.core == r.at && q.given })
		if !taken {
			asks = append(asks, r.ask)
		}
	}
	return asks
}

func (p *parse) readingOf(q *quantity, key vocab.Key) vocab.Reading {
	def, _ := vocab.Define(key)
	r := vocab.Reading{Key: key, Value: q.value, Unit: def.Bare, Assumed: true, Approx: q.approx, Span: &[2]int{p.t[q.from].From, p.t[q.to-1].To}}
	if key == vocab.MinCapacity && q.isShare() {
		r.Value, r.Unit, r.Assumed = 100*q.value, units.CodePercent, false
	}
	if q.unit == nil {
		return r
	}
	code, times, ok := q.unit.Code(lexicon.KindOf(key))
	if !ok && key == vocab.MinCapacity {
		code, times, ok = q.unit.Code(lexicon.Share)
	}
	if ok {
		r.Value, r.Unit, r.Assumed = q.value*times, code, q.unit.Assumed
	}
	return r
}

// replace lets a later value of the same message take the place of an earlier.
func (p *parse) replace(r Reading, at int) {
	for i := range p.m.Readings {
		if p.m.Readings[i].Key == r.Key {
			p.m.Corrected = append(p.m.Corrected, r.Key)
			p.m.Readings[i], p.readAt[i] = r, at
			return
		}
	}
	p.m.Readings, p.readAt = append(p.m.Readings, r), append(p.readAt, at)
}

// inOrder puts the readings in the order in which they stand in the text.
func (p *parse) inOrder() {
	order := make([]int, len(p.readAt))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return p.readAt[a] - p.readAt[b] })
	readings, readAt := make([]Reading, len(order)), make([]int, len(order))
	for i, o := range order {
		readings[i], readAt[i] = p.m.Readings[o], p.readAt[o]
	}
	if len(order) > 0 {
		p.m.Readings, p.readAt = readings, readAt
	}
}

// drop takes a reading back that a later doubt concerns.
func (p *parse) drop(key vocab.Key) {
	for i := range p.m.Readings {
		if p.m.Readings[i].Key == key {
			p.m.Readings = append(p.m.Readings[:i], p.m.Readings[i+1:]...)
			p.readAt = append(p.readAt[:i], p.readAt[i+1:]...)
			return
		}
	}
}

func (p *parse) seen(k vocab.Key) bool {
	for i := range p.m.Readings {
		if p.m.Readings[i].Key == k {
			return true
		}
	}
	return false
}

func (p *parse) refrigerant() string {
	if r := p.m.Facts[vocab.Refrigerant]; r != "" {
		return r
	}
	return p.ctx.Refrigerant
}

// implausible holds a reading against what the thing can physically be.
func implausible(r vocab.Reading, refrigerant string) (why string, bad bool) {
	span, ok := limits.Plausible(r.Key, refrigerant)
	if !ok {
		return "", false
	}
	def, _ := vocab.Define(r.Key)
	if def.Quantity == vocab.GaugePressure && r.Assumed && r.Value < 0 {
		return fmt.Sprintf("%s of %g: a temperature, or a vacuum (in inHg)?", def.What, r.Value), true
	}
	if r.Unit == units.CodePercent {
		return fmt.Sprintf("%s can't be %g percent.", def.What, r.Value), r.Value < 1 || r.Value > 100
	}
	v, err := inUnitOf(r, span.Unit)
	if err != nil {
		return fmt.Sprintf("%s can't be in that unit.", def.What), true
	}
	if v < span.Low || v > span.High {
		return fmt.Sprintf("%s %g %s can't be right.", def.What, r.Value, r.Unit), true
	}
	return "", false
}

var seaLevel = units.Pascal(101325) // near enough to tell the impossible

// inUnitOf converts a reading to the unit of its limits.
func inUnitOf(r vocab.Reading, unit units.Code) (float64, error) {
	if r.Unit == unit {
		return r.Value, nil
	}
	v, err := vocab.SI(r, seaLevel)
	if err != nil {
		return 0, err
	}
	one, err := vocab.SI(vocab.Reading{Key: r.Key, Value: 1, Unit: unit}, seaLevel)
	if err != nil {
		return 0, err
	}
	zero, err := vocab.SI(vocab.Reading{Key: r.Key, Value: 0, Unit: unit}, seaLevel)
	if err != nil {
		return 0, err
	}
	return (v - zero) / (one - zero), nil
}
