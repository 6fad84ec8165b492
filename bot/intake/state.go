package intake

import (
	"slices"

	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// findState tells, part by part, whether the readings were taken with the machine
// running or at rest, whether it was still settling, and whether a new visit began.
func (p *parse) findState() {
	p.m.NewVisit = p.heard("new_visit")
	p.hearStates()
	settling := p.heard("settling") && !p.heard("settled")
	for i := range p.m.Readings {
		r := &p.m.Readings[i]
		r.State, r.Settling = p.stateOf(p.readAt[i]), settling
		if standsAlways(r.Key) {
			r.State, r.Settling = vocab.Standing, false
		}
	}
}

func (p *parse) heard(list string) bool {
	for k := range p.t {
		if _, ok := p.listed(list, k); ok {
			return true
		}
	}
	return false
}

// stateAt is a place where the state of the machine is told.
type stateAt struct {
	at    int
	state vocab.State
}

// hearStates notes where the words tell the state.
func (p *parse) hearStates() {
	for k := range p.t {
		if _, ok := p.listed("running", k); ok && !p.deniedHere(k) {
			p.states = append(p.states, stateAt{k, vocab.Running})
		}
		if p.standsAt(k) {
			p.states = append(p.states, stateAt{k, vocab.Standing})
		}
	}
}

// stateOf is the state told last before the token or in its own part; at the end
// of its sentence it is told of what stands before ("66 psig at rest").
func (p *parse) stateOf(at int) vocab.State {
	state := vocab.Running
	for _, s := range p.states {
		if p.chunk[s.at] > p.chunk[at] {
			if p.sentence[s.at] == p.sentence[at] && state == vocab.Running {
				return s.state
			}
			break
		}
		state = s.state
	}
	return state
}

// standsAt: words of a machine at rest begin at token k; "standing pressure test"
// and "fan not running" are none.
func (p *parse) standsAt(k int) bool {
	if _, ok := p.listed("standing", k); !ok {
		return false
	}
	_, test := p.listed("holding_test", k)
	return !test && !p.anyOf("foreign", max(k-3, 0), k)
}

// standsAlways are tests that are made on a machine at rest.
func standsAlways(k vocab.Key) bool {
	switch lexicon.KindOf(k) {
	case lexicon.Ohms, lexicon.Insulation, lexicon.Vacuum:
		return true
	}
	return slices.Contains([]vocab.Key{
		vocab.PumpdownPressure, vocab.PumpdownRisePressure, vocab.PumpdownWaitTime,
		vocab.TestPressureStart, vocab.TestPressureEnd, vocab.TestTempStart, vocab.TestTempEnd, vocab.VacuumHoldTime,
	}, k)
}

// EvapTemp is the key of an evaporating temperature given in a question: no
// reading of a case, so it is none of readings.md.
const EvapTemp vocab.Key = "sat_suction_temp"

// findQuestion reads a request for a calculation; its numbers belong to it and
// not to the case.
func (p *parse) findQuestion() {
	for k := range p.t {
		f := p.r.questions.At(p.t, k)
		if f.To == k {
			continue
		}
		p.m.Question = &Question{About: p.r.words.Questions[f.IDs[0]].About}
		p.mark(k, f.To, named)
		p.givenOnly()
		p.m.Question.Given = p.m.Readings
		p.m.Readings, p.readAt, p.m.Asks = nil, nil, nil
		return
	}
}

// givenOnly reads what only a question gives: the evaporating temperature, the
// charge of an accumulator, the least load as a second number.
func (p *parse) givenOnly() {
	for i := range p.nums {
		q := &p.nums[i]
		switch {
		case p.evaporating(q):
			p.drop(vocab.EvapOutletTemp)
			r := p.readingOf(q, vocab.EvapOutletTemp)
			r.Key = EvapTemp
			p.replace(Reading{Reading: r}, q.core)
		case q.unit != nil && q.fits(lexicon.Mass) && !p.seen(vocab.SystemCharge) && !p.readHere(q):
			p.put(q, vocab.SystemCharge)
		case q.unit != nil && q.fits(lexicon.Length) && !p.readHere(q):
			if k := lengthAsked[p.m.Question.About]; k != "" && !p.seen(k) {
				p.put(q, k)
			}
		}
		p.mark(q.from, q.to, counted)
	}
}

// lengthAsked is what a bare length is in a question.
var lengthAsked = map[string]vocab.Key{
	"size_riser": vocab.RiserHeight, "double_riser": vocab.RiserHeight, "oil_return": vocab.RiserHeight,
	"size_suction": vocab.SuctionRun, "size_liquid": vocab.LiquidRun, "flash_check": vocab.LiquidLift,
}

func (p *parse) readHere(q *quantity) bool { return slices.Contains(p.readAt, q.core) }

// evaporating: "-20 evap", "evap 20", "sst -20".
func (p *parse) evaporating(q *quantity) bool {
	if !q.fits(lexicon.Temp) || q.frac {
		return false
	}
	return p.is(q.to, "evap", "sst", "evaporating", "suction") && (p.is(q.to, "sst", "evaporating") || p.is(q.to, "evap")) || p.is(q.from-1, "evap", "sst", "evaporating") || p.is(q.from-1, "temp") && p.is(q.from-2, "evap", "evaporating")
}
