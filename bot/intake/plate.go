package intake

import (
	"math"
	"slices"

	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// isSupplyPair: 208/230 is what a motor can be wired for, unless a gauge is named.
func (p *parse) isSupplyPair(i int) bool {
	a, b := &p.nums[i], &p.nums[i+1]
	return p.r.supply[[2]float64{a.value, b.value}] && p.saysSupply(a, b)
}

// saysSupply: volts, phases or the machine stand around the numbers.
func (p *parse) saysSupply(a, b *quantity) bool {
	if b.unit != nil {
		return b.fits(lexicon.Volts)
	}
	if p.plateIn(a) {
		return true
	}
	for k := max(a.from-p.r.words.Reaches.Supply, 0); k < min(b.to+p.r.words.Reaches.Supply, len(p.t)); k++ {
		if _, ok := p.listed("supply_words", k); ok && (k < a.from || k >= b.to) {
			return true
		}
	}
	return false
}

// setSupply sets the two voltages aside; on a nameplate they are asked about.
func (p *parse) setSupply(i int) {
	a, b := &p.nums[i], &p.nums[i+1]
	if p.plateIn(a) {
		p.ask(string(vocab.RatedVolts), "The plate gives two. Which is it wired for?")
	}
	for _, q := range []*quantity{a, b} {
		q.idle, q.used = true, true
		p.mark(q.from, q.to, counted)
	}
	p.mark(a.from, b.to, counted)
}

// plate reads a number behind "nameplate": volts or amps by unit or by size.
func (p *parse) plate(q *quantity) (choice, bool) {
	switch {
	case q.frac || q.row == 3:
		return choice{}, false
	case q.unit != nil && q.fits(lexicon.Volts):
		return choice{key: vocab.RatedVolts}, true
	case q.unit != nil && q.fits(lexicon.Amps):
		return choice{key: vocab.RatedAmps}, true
	case q.unit != nil && q.fits(lexicon.Mass):
		return choice{key: vocab.SystemCharge}, true // "9 oz on the tag"
	case q.unit != nil:
		return choice{}, false
	case p.speaksOfCharge(q):
		return choice{key: vocab.SystemCharge}, true // "9 lb came out, tag says 22"
	}
	for _, v := range p.r.words.Sizes.NominalVolts {
		if q.value == v {
			return choice{key: vocab.RatedVolts}, true
		}
	}
	if q.value >= p.r.words.Sizes.LeastLineVolts {
		if k := vocab.VoltsAb; p.seen(k) || p.rowNear(q) {
			return choice{key: vocab.RatedVolts}, true
		}
		return choice{key: vocab.RatedAmps, ask: []vocab.Key{vocab.RatedVolts, vocab.RatedAmps}}, q.value < 1000
	}
	return choice{key: vocab.RatedAmps}, true
}

// speaksOfCharge: a mass stands in the sentence of the number, and nothing electrical.
func (p *parse) speaksOfCharge(q *quantity) bool {
	mass := false
	for i := range p.nums {
		if o := &p.nums[i]; o != q && o.unit != nil && p.sentence[o.core] == p.sentence[q.core] {
			if o.fits(lexicon.Amps) || o.fits(lexicon.Volts) {
				return false
			}
			mass = mass || o.fits(lexicon.Mass)
		}
	}
	for i := range p.names {
		if n := &p.names[i]; p.sentence[n.from] == p.sentence[q.core] && !(n.Plate && n.Only == "") && (n.Only == lexicon.Amps || n.Only == lexicon.Volts) {
			return false
		}
	}
	return mass && p.saysOne("charge_words")
}

// rowNear: three numbers within a fifth of this one stand in the message.
func (p *parse) rowNear(q *quantity) bool {
	for i := range p.nums {
		if r := &p.nums[i]; r.row == 3 && math.Abs(r.value-q.value) < p.r.words.Sizes.NearPlate*q.value {
			return true
		}
	}
	return false
}

// onPlate: "27 amps" in a part that speaks of the nameplate is rated.
func (p *parse) onPlate(n *name, q *quantity) (choice, bool) {
	if !p.plateIn(q) {
		return choice{}, false
	}
	if n.Only == lexicon.Volts {
		return choice{key: vocab.RatedVolts}, true
	}
	return choice{key: vocab.RatedAmps}, true
}

// plateIn: the nameplate is named in the number's sentence.
func (p *parse) plateIn(q *quantity) bool {
	for i := p.firstNameFrom(q.core - farOff); i < len(p.names) && p.names[i].from < q.core+farOff; i++ {
		if n := &p.names[i]; n.Plate && n.Only == "" && p.sentence[n.from] == p.sentence[q.core] {
			return true
		}
	}
	return false
}

func (p *parse) byPlate(q *quantity, rated, single vocab.Key) {
	if p.plateIn(q) || rated == vocab.RatedVolts && (p.plateRead() || p.describes(q)) {
		p.put(q, rated)
		return
	}
	if rated == vocab.RatedVolts && p.seen(vocab.VoltsAb) {
		q.idle = true // "400 V supply" beside the three that were measured
		return
	}
	p.wonder(q, single)
}

// describes: "208v 3ph", "460 v semi": a nominal voltage beside what machine it is.
func (p *parse) describes(q *quantity) bool {
	if !slices.Contains(p.r.words.Sizes.NominalVolts, q.value) || q.to >= len(p.t) {
		return false
	}
	for i := range p.nums {
		if n := &p.nums[i]; n.from == q.to && n.idle && p.is(n.to-1, "ph", "phase") {
			return true
		}
	}
	return p.isOne("motor_words", q.to)
}

func (p *parse) plateRead() bool {
	return p.seen(vocab.RatedAmps) || p.seen(vocab.LockedRotorAmps)
}

// saysSupplyText is saysSupply before the names are found: the plate by its word.
func (p *parse) saysSupplyText(a, b *quantity) bool {
	for k := max(a.from-p.r.words.Reaches.Supply, 0); k < a.from; k++ {
		if p.isOne("plate_words", k) {
			return true
		}
	}
	return p.saysSupply(a, b)
}
