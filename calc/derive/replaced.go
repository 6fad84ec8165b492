package derive

import (
	"maps"

	"coldcase/refdata/vocab"
)

// Replaced is what is told of a compressor that has been replaced: evidence of what
// killed it, and nothing about the one that is in now.
type Replaced struct {
	Findings      map[vocab.Finding]bool
	Circumstances map[vocab.Circumstance]bool
}

// OfTheMachineIn is the record without what is told of a replaced compressor; false
// when there is nothing to leave out.
func (r Record) OfTheMachineIn() (Record, bool) {
	kept := make([]Observation, 0, len(r.Observations))
	for _, o := range r.Observations {
		if !o.Replaced {
			kept = append(kept, o)
		}
	}
	if len(kept) == len(r.Observations) && len(r.Replaced.Findings)+len(r.Replaced.Circumstances) == 0 {
		return r, false
	}
	r.Observations = kept
	r.Findings = maps.Clone(r.Findings)
	maps.DeleteFunc(r.Findings, func(f vocab.Finding, _ bool) bool { return r.Replaced.Findings[f] })
	r.Circumstances = maps.Clone(r.Circumstances)
	maps.DeleteFunc(r.Circumstances, func(c vocab.Circumstance, _ bool) bool { return r.Replaced.Circumstances[c] })
	return r, true
}
