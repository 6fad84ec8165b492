package service

import (
	"fmt"

	"coldcase/refdata/cleanup"
)

// Sample findings of the oil and the suction stub after a failure.
type OilSample struct {
	Acid        bool // kit positive
	StrongAcid  bool // acid number above 0.05, or the kit's strong color
	Carbon      bool // at the suction stub or in the drier
	BurntWiring bool // a winding burnt or grounded, or a burnt smell
}

// Cleanup classes a failure by its sample and gives the steps of its clean-up.
//
//	carbon or strong acid: severe · acid or burnt winding: mild · else mechanical
//
// In:     sample
// Out:    class and steps in order
// Range:  any sample
// Error:  of the embedded table
// Within: the kit
// Source: trade-basis 6.1 (common practice; acid number 0.05 from US Army TM 5-4120-285-15, seen)
func Cleanup(s OilSample) (cleanup.Class, []cleanup.Step, error) {
	class := cleanup.Mechanical
	switch {
	case s.Carbon || s.StrongAcid:
		class = cleanup.Severe
	case s.Acid || s.BurntWiring:
		class = cleanup.Mild
	}
	steps, err := cleanup.Steps(class)
	if err != nil {
		return class, nil, fmt.Errorf("clean-up: %w", err)
	}
	return class, steps, nil
}
