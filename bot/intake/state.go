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
		if p.standsAt(k) || slices.Contains(p.even, k) && !p.heard("running") {
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
