package intake

import (
	"fmt"
	"slices"

	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// settle turns the choices into readings, first those that are sure, then those
// that the sure ones decide, and asks about the rest.
func (p *parse) settle(open []int, chosen []choice) {
	p.oneNumberAName(open, chosen)
	for k, c := range chosen {
		q := &p.nums[open[k]]
		if c.name < 0 {
			continue
		}
		p.mark(p.names[c.name].from, p.names[c.name].to, named)
		switch {
		case c.ignore:
			q.idle, q.used = true, true
			p.mark(q.from, q.to, counted)
			if n := &p.names[c.name]; n.Name == &singlePhase || q.unit != nil && q.fits(lexicon.Mass) {
				p.unkept = append(p.unkept, [2]int{min(n.from, q.from), max(n.to, q.to)})
			}
		case c.row:
			p.putRow(open[k], p.names[c.name].Row)
		case c.key == vocab.SystemCharge && p.names[c.name].Plate && p.chargeTold(chosen):
			q.used = true
			p.mark(q.from, q.to, counted)
			p.ask(string(vocab.SystemCharge), fmt.Sprintf("The tag says %g. How much is in it?", q.value))
		case len(c.ask) == 0:
			p.put(q, c.key)
		}
	}
	for k, c := range chosen {
		if c.name >= 0 && len(c.ask) > 0 {
			p.decide(&p.nums[open[k]], &p.names[c.name], c)
		}
	}
}

// chargeTold: the charge has a number of its own beside that of the tag.
func (p *parse) chargeTold(chosen []choice) bool {
	for _, c := range chosen {
		if c.name >= 0 && c.key == vocab.SystemCharge && !p.names[c.name].Plate {
			return true
		}
	}
	return false
}

// oneNumberAName leaves a name to the nearer of two numbers with a third between them: the
// 36 of "36 228 box 34" is not the box's.
func (p *parse) oneNumberAName(open []int, chosen []choice) {
	first := 0 // a name's numbers stand within a few words of it
	for k := range chosen {
		for p.nums[open[k]].from-p.nums[open[first]].from > 2*farOff {
			first++
		}
		for j := first; j < k; j++ {
			a, b := &chosen[j], &chosen[k]
			if a.name < 0 || a.name != b.name || a.key != b.key || a.ignore || p.correctedBetween(open[j], open[k]) {
				continue
			}
			if a.cost > b.cost {
				a.name = -1
			} else {
				b.name = -1
			}
		}
	}
}

// decide reads a number of several meanings by what else is known, or asks.
func (p *parse) decide(q *quantity, n *name, c choice) {
	if n.Ask == "always" && n.first() == vocab.NetOilPressure && p.seen(vocab.NetOilPressure) {
		q.used, q.idle = true, true // the pump's own beside the net
		p.mark(q.from, q.to, counted)
		return
	}
	if slices.Contains(c.ask, p.ctx.Asked) && q.fits(lexicon.KindOf(p.ctx.Asked)) {
		p.put(q, p.ctx.Asked)
		return
	}
	if k, ok := p.beside(q, n); ok && (!p.seen(k) || p.corrects) {
		p.put(q, k)
		return
	}
	if (n.Only == lexicon.Amps || n.Only == lexicon.Volts) && p.plateIn(q) {
		p.put(q, map[lexicon.Kind]vocab.Key{lexicon.Amps: vocab.RatedAmps, lexicon.Volts: vocab.RatedVolts}[n.Only])
		return
	}
	if q.code(lexicon.Pressure) == units.CodeInHgVacuum && slices.Contains(c.ask, vocab.SuctionPressure) {
		p.put(q, vocab.SuctionPressure) // no head is under the air's pressure
		return
	}
	if len(n.Row) == 3 && p.onAllLegs(q, n.Row) {
		return
	}
	if only, ok := p.onlyPossible(q, c.ask); ok && n.Ask == "" {
		p.put(q, only)
		return
	}
	p.wonder(q, c.ask...)
}

// wonder asks which of several readings a number is.
func (p *parse) wonder(q *quantity, keys ...vocab.Key) {
	q.used = true
	p.leaveOpen(q)
	p.mark(q.from, q.to, counted)
	var could []vocab.Reading
	for _, k := range keys {
		p.ask(string(k), p.notSure(q))
		could = append(could, p.readingOf(q, k))
	}
	p.m.Loose = append(p.m.Loose, could)
}

func (p *parse) notSure(q *quantity) string {
	return fmt.Sprintf("Not sure what %s is.", p.textOf(q.core, q.to))
}

// beside settles a bare number by another reading of the message.
func (p *parse) beside(q *quantity, n *name) (vocab.Key, bool) {
	for _, b := range n.Beside {
		if r, ok := p.ctx.Last[b.Key]; ok && b.Key == vocab.DischargePressure && (b.Under == 0 || r.Unit == units.CodePSIG && q.value < b.Under*r.Value) && !p.seen(b.Key) {
			return b.Then, true
		}
		for i := range p.m.Readings {
			r := &p.m.Readings[i]
			if b.Then == vocab.DischargeLineTemp && p.sentence[p.readAt[i]] != p.sentence[q.core] {
				continue // "Discharge was 226. … discharge pressure 208"
			}
			if r.Key != b.Key || b.Under > 0 && q.value >= b.Under*r.Value {
				continue
			}
			return b.Then, true
		}
	}
	return "", false
}

// onlyPossible is the one of several keys that the value can be at all.
func (p *parse) onlyPossible(q *quantity, keys []vocab.Key) (vocab.Key, bool) {
	var only vocab.Key
	kind := lexicon.KindOf(keys[0])
	mixed := false
	for _, k := range keys {
		mixed = mixed || lexicon.KindOf(k) != kind
		if _, bad := implausible(p.readingOf(q, k), p.refrigerant()); bad {
			continue
		}
		if only != "" {
			return "", false
		}
		only = k
	}
	return only, only != "" && mixed && q.unit == nil
}
