package rules

import (
	"slices"

	"coldcase/calc/derive"
	"coldcase/refdata/vocab"
)

// Standing of causes and cases.
const (
	Likely    = "likely"
	Possible  = "possible"
	Unlikely  = "unlikely"
	RuledOut  = "ruled_out"
	noneCause = "none_healthy"
	undecided = "undetermined"
	healthy   = "healthy"
	suspect   = "suspect"
	failed    = "failed"
)

// Judge says where a case stands: verdicts on its numbers, causes by their
// log-odds, faults, what to ask, to check and to do. The causes are those of what was
// told of any compressor of the case; all else is of the one that is in now. While none
// has died, what was put right brings no cause up any more.
func (s *Set) Judge(rec derive.Record, res derive.Result) Judgement {
	now, replaced := rec.OfTheMachineIn()
	j := s.begin(rec, res)
	if replaced && !j.is("dead") && !j.told(vocab.CompressorChanged) {
		j, replaced = s.begin(now, derive.Numbers(now)), false
	}
	j.weigh()
	j.exclude()
	j.restrain()
	j.rank()
	if replaced {
		weights := j.weights
		j = s.begin(now, derive.Numbers(now))
		j.weights = weights
	}
	j.verdicts()
	j.faults()
	j.standing()
	j.causes()
	j.asks()
	j.steps()
	j.cautions()
	return j.out
}

func (s *Set) begin(rec derive.Record, res derive.Result) *judge {
	j := &judge{set: s, rec: rec, res: res, e: newEnv(rec, res), out: Judgement{Version: s.version}}
	j.circumstances()
	return j
}

// judge is one judgement while it is made.
type judge struct {
	set     *Set
	rec     derive.Record
	res     derive.Result
	e       *env
	out     Judgement
	weights []*weighed
	chances []float64 // of the causes in the order of the rules, once asked for
}

func (j *judge) told(cs ...vocab.Circumstance) bool {
	return slices.ContainsFunc(cs, func(c vocab.Circumstance) bool { return j.rec.Circumstances[c] })
}

func (j *judge) seen(fs ...vocab.Finding) bool {
	return slices.ContainsFunc(fs, func(f vocab.Finding) bool { return j.rec.Findings[f] })
}

// is reads how the case stands, as expressions see it.
func (j *judge) is(name string) bool { return j.e.truth(name) == True }

// circumstances sets what the expressions know of the judgement itself.
func (j *judge) circumstances() {
	opened := j.opened()
	j.e.setTruth("opened", opened)
	j.e.setTruth("dead", j.dead(opened))
	j.e.setTruth("burnout", j.burnout())
	j.e.setTruth("complaint", j.complaint())
	j.e.setTruth("healthy", false)
	j.e.setTruth("refrigerant_in_doubt", slices.ContainsFunc(j.res.Doubts, func(d derive.Doubt) bool { return d.Fact == vocab.Refrigerant }))
	rise, ok := j.e.number("pumpdown_rise_psi")
	j.e.setTruth("refills", ok && rise > 5 || j.seen(vocab.SolenoidLeaking) || j.told(vocab.RestartsWithNoCall))
}

// opened: it was taken apart, or what is told can only be seen inside.
func (j *judge) opened() bool {
	for f, yes := range j.rec.Findings {
		if yes && vocab.SeenInside(f) {
			return true
		}
	}
	return j.told(vocab.OpenedUp, vocab.ScrollBroken)
}

func (j *judge) dead(opened bool) bool {
	gone := j.told(vocab.Dead, vocab.TripsAtOnce, vocab.Humming) || opened || j.is(string(vocab.Grounded)) || j.seen(vocab.OpenWinding, vocab.LockedRotor)
	return gone && !j.told(vocab.CompressorChanged)
}

// burnout: a motor burnt, or its acid was found, on this system, whichever machine is
// in now: what it left is still there until it is cleaned up.
func (j *judge) burnout() bool {
	for _, f := range []vocab.Finding{vocab.Grounded, vocab.OilAcid, vocab.WindingSpotBurn, vocab.WindingEvenBurn, vocab.WindingSinglePhaseBurn} {
		if j.seen(f) || j.rec.Replaced.Findings[f] {
			return true
		}
	}
	return j.is(string(vocab.Grounded))
}

// complaint: there is trouble that no number shows.
func (j *judge) complaint() bool {
	for f, yes := range j.rec.Findings {
		if yes && vocab.SpeaksOfTrouble(f) {
			return true
		}
	}
	for c, yes := range j.rec.Circumstances {
		if yes && vocab.TellsOfTrouble(c) && !j.settled(c) {
			return true
		}
	}
	return false
}

// settled: a box that was warm is no complaint any more once its air is as near the
// coil as it should be.
func (j *judge) settled(c vocab.Circumstance) bool {
	td, ok := j.e.number("evap_td_dF")
	return c == vocab.BoxWarm && ok && td <= j.e.book.limits["td_walk_in_dF"]
}
