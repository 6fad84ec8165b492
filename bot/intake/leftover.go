package intake

import (
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// leftOver deals with numbers that no name took: as the answer to what was
// asked, by their unit alone, or by asking.
func (p *parse) leftOver() {
	if p.answer() {
		return
	}
	p.updates()
	p.otherGauge()
	p.wonderPlainPairs()
	p.wonderGas()
	p.wonderOthers()
	p.eachLeg()
	for i := range p.nums {
		if q := &p.nums[i]; q.row == 3 && !q.used && !q.idle {
			p.rowByUnit(i)
		}
	}
	for i := range p.nums {
		if q := &p.nums[i]; !q.used && !q.idle && q.row != 0 {
			p.byUnit(q)
		}
	}
}

// wonderGas asks about "gas 22" beside a suction pressure: the gas's temperature, or what
// gas it is.
func (p *parse) wonderGas() {
	for i := range p.nums {
		q := &p.nums[i]
		if !q.used && !q.idle && q.bare && !q.frac && q.row == 1 && p.is(q.from-1, "gas") && (p.seen(vocab.SuctionPressure) || q.value == 22) {
			if p.isGasTemp(q) {
				p.put(q, vocab.SuctionLineTemp)
				continue
			}
			p.wonder(q, vocab.SuctionLineTemp)
		}
	}
}

// isGasTemp: where the refrigerant is known, and the number is that of no other, the gas
// beside a suction pressure is the gas that comes back.
func (p *parse) isGasTemp(q *quantity) bool {
	_, bare := p.r.words.BareRefrigerants[int(q.value)]
	return p.refrigerant() != "" && !bare && p.usual(q, vocab.SuctionLineTemp)
}

// byUnit reads or asks about a number by its unit alone.
func (p *parse) byUnit(q *quantity) {
	if q.unit == nil {
		p.loneFraction(q)
		return
	}
	switch {
	case q.fits(lexicon.Heat) && !q.fits(lexicon.Delta):
		p.byHeat(q)
	case q.fits(lexicon.Insulation):
		p.put(q, vocab.InsulationMegohms)
	case q.fits(lexicon.Starts):
		p.put(q, vocab.StartsPerHour)
	case q.fits(lexicon.Volts):
		p.byPlate(q, vocab.RatedVolts, vocab.VoltsAb)
	case q.fits(lexicon.Amps):
		p.byPlate(q, vocab.RatedAmps, vocab.AmpsA)
	case q.fits(lexicon.Ohms):
		p.wonder(q, vocab.OhmsAb)
	case q.fits(lexicon.Vacuum):
		p.put(q, vocab.VacuumLevel)
	case q.code(lexicon.Pressure) == units.CodeInHgVacuum:
		p.put(q, vocab.SuctionPressure)
	case q.fits(lexicon.Pressure) && p.isOtherSide(q):
		p.put(q, vocab.SuctionPressure)
	case q.fits(lexicon.Pressure) && !q.fits(lexicon.Mass):
		p.wonder(q, vocab.SuctionPressure, vocab.DischargePressure)
	case q.fits(lexicon.Temp):
		p.wonder(q, vocab.BoxTemp, vocab.SuctionLineTemp, vocab.LiquidLineTemp)
	case q.fits(lexicon.Age) && p.isAge(q):
		p.put(q, vocab.CompressorAge)
	case q.fits(lexicon.Time), q.fits(lexicon.Age):
		q.idle = true
	case q.fits(lexicon.Volume) && p.says("accumulator"):
		p.put(q, vocab.AccumulatorVolume)
	case q.code(lexicon.Length) != "" && p.saysSize():
		p.wonder(q, vocab.SuctionRun, vocab.LiquidRun)
	case q.fits(lexicon.Mass) && q.fits(lexicon.Pressure) && (p.saysSomething() || p.alone(q)):
		p.wonder(q, vocab.SuctionPressure, vocab.DischargePressure, vocab.SystemCharge, vocab.ChargeAdded)
	case q.fits(lexicon.Mass) && q.unit != nil && p.m.Facts[vocab.Refrigerant] != "" && p.nextToRefrigerant(q):
		p.wonder(q, vocab.SystemCharge, vocab.ChargeAdded)
	}
}

// byHeat takes the first load for the full one.
func (p *parse) byHeat(q *quantity) {
	if p.isOne("definite", q.from-1) {
		q.idle = true // "bids for the 15 ton" names a machine and tells no load
		return
	}
	if !p.seen(vocab.Capacity) {
		p.put(q, vocab.Capacity)
	}
}

// nextToRefrigerant: "4 lb 404A", "4 lbs of R22".
func (p *parse) nextToRefrigerant(q *quantity) bool {
	for k := q.to; k < len(p.t) && k < q.to+3; k++ {
		if p.use[k] == named && k >= q.to {
			return true
		}
	}
	return false
}

// isAge: "compressor semi, 16 yrs": years beside the machine, in the part or the one
// before; "third one in two years" is how often, not how old.
func (p *parse) isAge(q *quantity) bool {
	if p.isOne("before_span", q.from-1) {
		return false
	}
	if !p.t[q.numTo].Is("years") && !p.is(q.from-1, "de") || p.isOne("after_span", q.to) {
		return false
	}
	for k := max(q.from-6, 0); k < min(q.to+3, len(p.t)); k++ {
		if p.sentence[k] == p.sentence[q.core] && p.chunk[k] >= p.chunk[q.core]-1 && p.isOne("machine_words", k) {
			return true
		}
	}
	return false
}
