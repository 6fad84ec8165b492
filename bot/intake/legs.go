package intake

import (
	"fmt"
	"slices"

	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// openRow reads "windings 1.2 1.2 open": the third is no ohms.
func (p *parse) openRow() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		if a.used || b.used || a.idle || b.idle || a.row == 3 || b.from-a.to > 1 || !p.nameEndsAt(a.from) || p.names[p.nameOf[a.from-1]].Only != lexicon.Ohms {
			continue
		}
		k := b.to
		if p.is(k, ",", "/", "and") {
			k++
		}
		if p.is(k, "ol", "open", "infinite") && a.fits(lexicon.Ohms) && b.fits(lexicon.Ohms) {
			p.put(a, vocab.OhmsAb)
			p.put(b, vocab.OhmsBc)
		}
	}
}

// wonderOthers asks about "the others 1.4" behind a leg that was named: which of them, and
// whether both.
func (p *parse) wonderOthers() {
	for i := range p.nums {
		q := &p.nums[i]
		if q.used || q.idle || q.frac || q.row == 3 || !p.ofTheOthers(max(q.from-3, 0), q.from) {
			continue
		}
		for n := p.firstNameFrom(q.core) - 1; n >= 0 && p.sentence[p.names[n].from] == p.sentence[q.core]; n-- {
			if leg := &p.names[n]; leg.leg != "" {
				p.wonder(q, p.otherLegs(leg, q)...)
				break
			}
		}
	}
}

// otherLegs are the readings like that of a leg which the message does not give.
func (p *parse) otherLegs(leg *name, q *quantity) (keys []vocab.Key) {
	rows := [][]vocab.Key{{vocab.AmpsA, vocab.AmpsB, vocab.AmpsC}, {vocab.OhmsAb, vocab.OhmsBc, vocab.OhmsCa}, {vocab.VoltsAb, vocab.VoltsBc, vocab.VoltsCa}}
	own, _ := p.legKey(leg, &quantity{value: q.value, unit: q.unit, from: leg.to})
	for _, row := range rows {
		if !slices.Contains(row, own) {
			continue
		}
		for _, k := range row {
			if k != own && !p.seen(k) {
				keys = append(keys, k)
			}
		}
	}
	return keys
}

// rowByUnit reads three numbers that no name stands by: by their unit, or as
// volts by their size.
func (p *parse) rowByUnit(i int) {
	row := p.nums[i : i+3]
	rows := map[lexicon.Kind][]vocab.Key{
		lexicon.Volts: {vocab.VoltsAb, vocab.VoltsBc, vocab.VoltsCa},
		lexicon.Amps:  {vocab.AmpsA, vocab.AmpsB, vocab.AmpsC},
		lexicon.Ohms:  {vocab.OhmsAb, vocab.OhmsBc, vocab.OhmsCa},
	}
	if p.rowOfToday(i) {
		return
	}
	if row[2].unit != nil {
		for kind, keys := range rows {
			if row[2].fits(kind) {
				p.putRow(i, keys)
			}
		}
		return
	}
	switch {
	case p.supplyVolts(row):
		p.putRow(i, rows[lexicon.Volts])
	case p.seen(vocab.VoltsAb) && p.isRunningAmps(row):
		p.putRow(i, rows[lexicon.Amps])
	case p.saysSomething() && !row[0].frac:
		for k := range row {
			p.wonder(&row[k], vocab.AmpsA, vocab.OhmsAb)
		}
	}
}

// rowOfToday: "first it was 14 amps …, now 11.8 11.9 11.8": the row is of the kind that
// the number before it was.
func (p *parse) rowOfToday(i int) bool {
	if i == 0 || !p.isOfToday(&p.nums[i]) {
		return false
	}
	was := &p.nums[i-1]
	for _, n := range p.r.words.Readings {
		if was.unit != nil && len(n.Row) == 3 && was.fits(n.Only) && p.sentence[was.core] == p.sentence[p.nums[i].core] {
			p.m.Asks = slices.DeleteFunc(p.m.Asks, func(a Ask) bool { return a.Why == p.notSure(was) })
			was.idle = true
			p.putRow(i, n.Row)
			return true
		}
	}
	return false
}

// isRunningAmps: three numbers behind the volts, near the amps of the plate.
func (p *parse) isRunningAmps(row []quantity) bool {
	rated, ok := p.value(vocab.RatedAmps)
	if !ok || !p.alike(row) {
		return false
	}
	size := &p.r.words.Sizes
	return row[0].value > size.AmpsLeast*rated && row[0].value < size.AmpsMost*rated
}

// supplyVolts: three numbers within a tenth of each other and of a supply.
func (p *parse) supplyVolts(row []quantity) bool {
	if row[0].rowBy == byAnd {
		return false
	}
	size := &p.r.words.Sizes
	for _, v := range size.NominalVolts {
		near := v >= size.LeastThreePhase
		for _, q := range row {
			near = near && q.value > (1-size.OffNominal)*v && q.value < (1+size.OffNominal)*v
		}
		if near {
			return true
		}
	}
	return false
}

// onAllLegs: "460 volts on all three legs" is the value of each.
func (p *parse) onAllLegs(q *quantity, keys []vocab.Key) bool {
	lo, hi := p.window(q.core)
	for k := lo; k < hi; k++ {
		if _, ok := p.listed("legs_all", k); ok {
			for _, key := range keys {
				p.put(q, key)
			}
			return true
		}
	}
	return false
}

// eachLeg reads "got 208 on all three legs, 12.2 amps each".
func (p *parse) eachLeg() {
	for i := range p.nums {
		q := &p.nums[i]
		if q.used || q.idle || q.frac || q.row != 1 {
			continue
		}
		switch {
		case q.unit != nil && q.fits(lexicon.Amps) && !p.plateIn(q):
			p.onAllLegs(q, []vocab.Key{vocab.AmpsA, vocab.AmpsB, vocab.AmpsC})
		case q.unit == nil && slices.Contains(p.r.words.Sizes.NominalVolts, q.value):
			p.onAllLegs(q, []vocab.Key{vocab.VoltsAb, vocab.VoltsBc, vocab.VoltsCa})
		}
	}
}

// putRow gives three numbers to the legs; one that is far off the other two is
// asked about.
func (p *parse) putRow(i int, keys []vocab.Key) {
	row := p.nums[i : i+3]
	sum := row[0].value + row[1].value + row[2].value
	for k := range row {
		row[k].used = true
		p.mark(row[k].from, row[k].to, counted)
		if others := (sum - row[k].value) / 2; lexicon.KindOf(keys[k]) == lexicon.Volts && p.isOffLeg(row[k].value, others) && p.alikeRest(row, k) {
			p.ask(string(keys[k]), fmt.Sprintf("%s is far off the other two legs.", p.textOf(row[k].core, row[k].to)))
			continue
		}
		p.put(&row[k], keys[k])
	}
}

// isOffLeg: a voltage far off the other legs' mean looks mistyped.
func (p *parse) isOffLeg(v, others float64) bool {
	share := p.r.words.Sizes.LegOffOthers
	return others > 0 && (v < share*others || v > others/share)
}

// alikeRest: the two other legs agree with each other.
func (p *parse) alikeRest(row []quantity, k int) bool {
	a, b := row[(k+1)%3].value, row[(k+2)%3].value
	return min(a, b) > p.r.words.Sizes.LegsAlike*max(a, b)
}
