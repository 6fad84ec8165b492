package intake

import (
	"math"
	"slices"

	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// takeAll gives a question the numbers that only it wants, each to the first take
// that it fits.
func (p *parse) takeAll(takes []lexicon.Take) {
	for _, t := range takes {
		if p.seen(t.As) || slices.ContainsFunc(p.m.Question.Given, func(r Reading) bool { return r.Key == t.As }) {
			continue
		}
		if q := p.wanted(t); q != nil {
			p.take(q, t)
			for _, k := range [...]int{q.from - 1, q.to} {
				if p.is(k, t.By...) {
					p.mark(k, k+1, named)
				}
			}
		}
	}
}

// wanted is the first number that a take fits; where words tell, one behind its word goes
// over one before it: the 2 of "drier 4 psi solenoid 2 psi".
func (p *parse) wanted(t lexicon.Take) (found *quantity) {
	for i := range p.nums {
		q := &p.nums[i]
		if q.given || !p.takes(q, t) {
			continue
		}
		if len(t.By) == 0 || p.is(q.from-1, t.By...) {
			return q
		}
		if found == nil {
			found = q
		}
	}
	return found
}

// special reads what no list of takes can: which of two pressures is the drop, before
// the takes; which mass is the whole charge, and which time is from start to start,
// after them.
func (p *parse) special(about string, before bool) {
	switch {
	case before && about == "suction_filter":
		p.dropAndSuction()
	case before && about == "envelope":
		p.twoPressures()
	case before && (about == "superheat" || about == "subcooling"):
		p.drop(vocab.Key(about)) // who asks for it does not state it
	}
	if before {
		return
	}
	switch about {
	case "leak_rate":
		p.leakMasses()
	case "pumpdown_leak":
		p.lowSideGas()
	case "short_cycling":
		if given := p.m.Question.Given; len(given) == 1 && given[0].Key == "run_time" && p.says("every") {
			given[0].Key = "cycle_time"
		}
	case "heater_check":
		delete(p.m.Circumstances, vocab.SinglePhaseSupply) // volts of the heater, not of the machine
	}
}

// lowSideGas: a line temperature told with a pump-down at rest is that of the gas.
func (p *parse) lowSideGas() {
	for i := range p.nums {
		if q := &p.nums[i]; !q.given && p.readHere(q) && q.fits(lexicon.Temp) && q.unit != nil && p.keyOf(q) == vocab.SuctionLineTemp && p.seen(vocab.PumpdownPressure) {
			p.take(q, lexicon.Take{Kind: lexicon.Temp, As: "low_side_temp"})
			return
		}
	}
}

// keyOf is what a number was read as.
func (p *parse) keyOf(q *quantity) vocab.Key {
	if i := slices.Index(p.readAt, q.core); i >= 0 {
		return p.m.Readings[i].Key
	}
	return ""
}

// twoPressures: of "ratio 0 psig and 275 psig" with no gauge named the higher is the head.
func (p *parse) twoPressures() {
	var open []*quantity
	for i := range p.nums {
		if q := &p.nums[i]; q.unit != nil && q.fits(lexicon.Pressure) && !p.readHere(q) {
			open = append(open, q)
		}
	}
	if len(open) != 2 || p.seen(vocab.SuctionPressure) || p.seen(vocab.DischargePressure) || open[0].value == open[1].value {
		return
	}
	low, high := open[0], open[1]
	if low.value > high.value {
		low, high = high, low
	}
	p.forget(low)
	p.put(low, vocab.SuctionPressure)
	p.forget(high)
	p.put(high, vocab.DischargePressure)
	for _, k := range []vocab.Key{vocab.SuctionPressure, vocab.DischargePressure} {
		p.m.Asks = slices.DeleteFunc(p.m.Asks, func(a Ask) bool { return a.Key == string(k) })
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
	if gauge == nil || drop == nil && p.keyOf(gauge) != vocab.SuctionFilterDrop {
		return
	}
	p.forget(gauge)
	p.put(gauge, vocab.SuctionPressure)
	if drop == nil {
		return // "max drop … 12 psig": a gauge, no drop
	}
	p.forget(drop)
	p.put(drop, vocab.SuctionFilterDrop)
}

// leakMasses tells the charge of the system from what was added or lost: by the words
// beside it ("on 500 lb", "310 lb rack"), else it is the largest of several. One mass
// alone that was added is no charge.
func (p *parse) leakMasses() {
	var masses []*quantity
	for i := range p.nums {
		q := &p.nums[i]
		bare := q.unit == nil && !q.frac && p.is(q.from-1, "of")
		if !q.given && (bare || q.unit != nil && q.fits(lexicon.Mass)) {
			masses = append(masses, q)
		}
	}
	charge := p.wholeCharge(masses)
	var first *quantity
	added := 0.0
	for _, q := range masses {
		if q == charge {
			continue
		}
		if first == nil {
			first = q
		}
		added += p.poundsOf(q)
	}
	p.drop(vocab.ChargeAdded)
	p.drop(vocab.SystemCharge)
	if first != nil {
		p.take(first, lexicon.Take{Kind: lexicon.Mass, As: vocab.ChargeAdded, Unit: "lb"})
		given := p.m.Question.Given
		given[len(given)-1].Value *= added / p.poundsOf(first)
	}
	if charge != nil {
		p.take(charge, lexicon.Take{Kind: lexicon.Mass, As: vocab.SystemCharge, Unit: "lb"})
	}
	for _, q := range masses {
		q.given = true
		p.forget(q)
		p.mark(q.from, q.to, counted)
	}
}

// poundsOf a mass; one without a unit is taken as the others are.
func (p *parse) poundsOf(q *quantity) float64 {
	if q.unit == nil {
		return q.value
	}
	v, err := inUnitOf(p.readingOf(q, vocab.ChargeAdded), units.CodePound)
	if err != nil {
		return q.value
	}
	return v
}

// wholeCharge is the mass that is the system's, nil when none is.
func (p *parse) wholeCharge(masses []*quantity) (charge *quantity) {
	for _, q := range masses {
		if p.is(q.from-1, "of", "on", "holds", "charge", "total", "has") && !p.is(q.from-2, "added", "put") || p.is(q.to, "charge", "system", "rack", "total", "unit", "chiller", "plant") || p.is(q.to+1, "charge", "system", "rack") && !p.is(q.to, "of", "to", "in", "into", ",", "from") {
			return q
		}
	}
	if len(masses) == 1 && p.says("added", "put", "lost", "losing", "topped") {
		return nil
	}
	for _, q := range masses {
		if (charge == nil || q.value > charge.value) && !p.is(q.from-1, "added", "put", "lost", "leaked", "add") && !p.is(q.to, "added") {
			charge = q
		}
	}
	return charge
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
		if v, err := inUnitOf(r, t.Unit); (t.Kind == lexicon.Age || t.Kind == lexicon.Heat) && t.Unit != "" && t.Unit != code && err == nil {
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
