package intake

import (
	"math"
	"slices"

	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// takeAll gives a question the numbers that only it wants, each to the first take
// that it fits.
func (p *parse) takeAll(takes []lexicon.Take) {
	for _, t := range takes {
		if p.seen(t.As) {
			continue
		}
		for i := range p.nums {
			if q := &p.nums[i]; !q.given && p.takes(q, t) {
				p.take(q, t)
				break
			}
		}
	}
}

// special reads what no list of takes can: which mass is the whole charge, and which
// time is from start to start.
func (p *parse) special(about string) {
	switch about {
	case "leak_rate":
		p.leakMasses()
	case "short_cycling":
		if given := p.m.Question.Given; len(given) == 1 && given[0].Key == "run_time" && p.says("every") {
			given[0].Key = "cycle_time"
		}
	case "heater_check":
		delete(p.m.Circumstances, vocab.SinglePhaseSupply) // volts of the heater, not of the machine
	}
}

// dropAndSuction: of "4 psi drop at 40 psig" the gauge pressure is no drop.
func (p *parse) dropAndSuction() {
	var gauge, drop *quantity
	for i := range p.nums {
		switch q := &p.nums[i]; {
		case q.unit == nil:
		case p.is(q.to-1, "psig"):
			gauge = q
		case p.is(q.to-1, "psi"):
			drop = q
		}
	}
	if gauge == nil || drop == nil {
		return
	}
	p.forget(gauge)
	p.put(gauge, vocab.SuctionPressure)
	p.forget(drop)
	p.put(drop, vocab.SuctionFilterDrop)
}

// leakMasses: the largest mass that is no addition is the charge of the system; the
// others were added.
func (p *parse) leakMasses() {
	var charge *quantity
	var added float64
	for i := range p.nums {
		q := &p.nums[i]
		bare := q.unit == nil && !q.frac && p.is(q.from-1, "of")
		if q.given || !bare && (q.unit == nil || !q.fits(lexicon.Mass)) {
			continue
		}
		if charge == nil || q.value > charge.value {
			charge, q = q, charge
		}
		if q != nil {
			added += q.value
		}
	}
	if charge == nil {
		return
	}
	give := func(key vocab.Key, q *quantity, v float64) {
		p.take(q, lexicon.Take{Kind: lexicon.Mass, As: key, Unit: "lb"})
		given := p.m.Question.Given
		given[len(given)-1].Value *= v / q.value
	}
	for i := range p.nums {
		if q := &p.nums[i]; added > 0 && !q.given && q != charge && q.unit != nil && q.fits(lexicon.Mass) {
			give(vocab.ChargeAdded, q, added)
			break
		}
	}
	give(vocab.SystemCharge, charge, charge.value)
	p.drop(vocab.ChargeAdded)
	p.drop(vocab.SystemCharge)
	for i := range p.nums {
		if q := &p.nums[i]; q.unit != nil && q.fits(lexicon.Mass) {
			q.given = true
		}
	}
}

func (p *parse) takes(q *quantity, t lexicon.Take) bool {
	switch {
	case !t.Over && (q.earlier || p.readHere(q) || q.refused):
		return false
	case len(t.By) > 0 && !p.is(q.from-1, t.By...) && !p.is(q.to, t.By...):
		return false
	case q.unit == nil:
		return t.Bare && q.frac == (t.Kind == lexicon.Size)
	}
	return q.fits(t.Kind)
}

// take keeps a number for the question and forgets what else it was read as, or
// asked about.
func (p *parse) take(q *quantity, t lexicon.Take) {
	r := vocab.Reading{Key: t.As, Value: q.value, Unit: t.Unit, Assumed: q.unit == nil, Approx: q.approx, Span: &[2]int{p.t[q.from].From, p.t[q.to-1].To}}
	if q.unit != nil {
		code, times, _ := q.unit.Code(t.Kind)
		r.Value, r.Unit = q.value*times, code
		if v, err := inUnitOf(r, t.Unit); t.Unit != "" && t.Unit != code && err == nil {
			r.Value, r.Unit = v, t.Unit
		}
		if times != 1 {
			r.Value = math.Round(100*r.Value) / 100
		}
	}
	p.forget(q)
	q.given = true
	p.m.Question.Given = append(p.m.Question.Given, Reading{Reading: r, State: p.stateOf(q.core)})
	p.mark(q.from, q.to, counted)
}

// forget takes back what a number was read as, or the question that it raised.
func (p *parse) forget(q *quantity) {
	for i := len(p.readAt) - 1; i >= 0; i-- {
		if p.readAt[i] == q.core {
			p.drop(p.m.Readings[i].Key)
			return
		}
	}
	p.m.Asks = slices.DeleteFunc(p.m.Asks, func(a Ask) bool {
		return a.Why == p.notSure(q) || q.used && q.fits(lexicon.KindOf(vocab.Key(a.Key)))
	})
}
