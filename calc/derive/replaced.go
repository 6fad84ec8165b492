package derive

import (
	"maps"

	"coldcase/refdata/vocab"
)

// Replaced is what is told of a compressor that has been replaced, or of what was put
// right since: evidence of what killed it, and nothing about the machine as it is now.
type Replaced struct {
	Findings      map[vocab.Finding]bool // whether it was seen
	Circumstances map[vocab.Circumstance]bool
}

// OfTheMachineIn is the record without what was replaced or put right; false
// when there is nothing to leave out.
func (rec Record) OfTheMachineIn() (Record, bool) {
	kept := make([]Observation, 0, len(rec.Observations))
	for _, o := range rec.Observations {
		if !o.Replaced {
			kept = append(kept, o)
		}
	}
	if len(kept) == len(rec.Observations) && len(rec.Replaced.Findings)+len(rec.Replaced.Circumstances) == 0 {
		return rec, false
	}
	rec.Observations = kept
	rec.Findings = maps.Clone(rec.Findings)
	maps.DeleteFunc(rec.Findings, func(f vocab.Finding, _ bool) bool { _, gone := rec.Replaced.Findings[f]; return gone })
	rec.Circumstances = maps.Clone(rec.Circumstances)
	maps.DeleteFunc(rec.Circumstances, func(c vocab.Circumstance, _ bool) bool { return rec.Replaced.Circumstances[c] })
	return rec, true
}
