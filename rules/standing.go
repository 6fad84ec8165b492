package rules

import (
	"math"
	"slices"

	"coldcase/calc/derive"
	"coldcase/refdata/vocab"
)

// faults names what is wrong with the system. While the refrigerant is in doubt
// no number tells, and only the doubt itself is named.
func (j *judge) faults() {
	doubt := j.is("refrigerant_in_doubt")
	title := "gauges swapped"
	if doubt {
		title = "the wrong refrigerant"
	}
	for _, d := range j.res.Doubts {
		if d.Fault != "" {
			j.out.Faults = append(j.out.Faults, Fault{Name: d.Fault, Title: title, Standing: Possible, Why: d.Why})
		}
	}
	if doubt {
		return
	}
	for _, f := range j.set.faults {
		if f.When.truth(j.e) == True && !j.hasFault(f.Fault.Value) {
			j.out.Faults = append(j.out.Faults, Fault{Name: f.Fault.Value, Title: f.Title, Standing: f.Standing, Why: f.Why})
		}
	}
}

func (j *judge) hasFault(name string) bool {
	return slices.ContainsFunc(j.out.Faults, func(f Fault) bool { return f.Name == name })
}

// standing of the case: the first that fits (trade-basis 5.6).
func (j *judge) standing() {
	switch {
	case j.is("dead"):
		j.out.Standing = failed
	case j.pointsAtTrouble():
		j.out.Standing = suspect
	case j.judgedEnough() && !j.inQuestion() && !j.is("complaint"):
		j.out.Standing = healthy
		j.e.setTruth("healthy", true)
	default:
		j.out.Standing = undecided
	}
}

// inQuestion: a value is in doubt, or a number could be one with which the machine is
// not in order.
func (j *judge) inQuestion() bool {
	if len(j.res.Doubts)+len(j.rec.InQuestion) > 0 {
		return true
	}
	sound := j.rec
	sound.Loose = nil
	for _, could := range j.rec.Loose {
		for _, r := range could {
			sound.Observations = append(slices.Clip(j.rec.Observations), derive.Observation{Reading: r, State: vocab.Running, Visit: j.rec.Visit})
			if j.set.Judge(sound, derive.Numbers(sound)).Standing != healthy {
				return true
			}
		}
	}
	return false
}

func (j *judge) pointsAtTrouble() bool {
	if len(j.out.Faults) > 0 || j.creeps() {
		return true
	}
	for i := range j.weights {
		if s := j.causeStanding(i); s == Likely || s == Possible {
			return true
		}
	}
	return slices.ContainsFunc(j.out.Verdicts, func(v Verdict) bool { return v.Severity != "watch" })
}

func (j *judge) creeps() bool {
	limit := j.e.book.limits
	fell, ok := j.e.number("total_superheat_change_dF")
	now, _ := j.e.number("total_superheat_dF")
	rise, okRise := j.e.number("suction_filter_drop_change_psi")
	return ok && fell <= -limit["superheat_creep_dF"]*2 && now < limit["watch_superheat_dF"] || okRise && rise >= limit["filter_creep_psi"]
}

// judgedEnough holds that a superheat and one high-side number were judged.
func (j *judge) judgedEnough() bool {
	has := func(names ...string) bool {
		return slices.ContainsFunc(names, func(n string) bool { _, ok := j.e.number(n); return ok })
	}
	return j.rec.Facts[vocab.Refrigerant] != "" && has("total_superheat_dF", "evap_superheat_dF") && has("subcooling_dF", "compression_ratio", "condensing_split_dF")
}

// causes writes the ordered list, led by none_healthy or undetermined where that
// is the answer.
func (j *judge) causes() {
	switch {
	case j.out.Standing == healthy:
		j.out.Causes = append(j.out.Causes, Cause{Name: noneCause, Title: "nothing wrong", Standing: Likely, Chance: 1})
	case j.unsettled():
		j.out.Causes = append(j.out.Causes, Cause{Name: undecided, Title: "not settled", Standing: Possible})
	}
	total := j.chanceTotal()
	for i, w := range j.weights {
		c := Cause{Name: w.cause.Name.Value, Title: w.cause.Title, Standing: j.causeStanding(i), Score: w.score, For: w.For, Against: w.Against}
		if j.out.Standing == healthy && c.stands() {
			c.Standing = Unlikely
		}
		switch {
		case c.Standing == RuledOut:
			j.out.Excluded = append(j.out.Excluded, c.Name)
		case j.out.Standing != healthy: // else none of them has a share in what is wrong
			c.Chance = math.Exp(w.score) / total
		}
		j.out.Causes = append(j.out.Causes, c)
	}
}

// chanceTotal is the sum that the causes that are not ruled out share.
func (j *judge) chanceTotal() float64 {
	total := 0.0
	for i, w := range j.weights {
		if j.causeStanding(i) != RuledOut {
			total += math.Exp(w.score)
		}
	}
	return total
}

// unsettled: no cause may be named first.
func (j *judge) unsettled() bool {
	lead := j.weights[0]
	return j.out.Standing == undecided || lead.out || !lead.positive || lead.score < likelyFrom || !lead.marked || j.is("refrigerant_in_doubt")
}

// stands: it is likely or possible.
func (c Cause) stands() bool { return c.Standing == Likely || c.Standing == Possible }

// stands reports whether one of the causes is likely or possible.
func (j *judge) stands(names []string) bool {
	return slices.ContainsFunc(j.out.Causes, func(c Cause) bool { return c.stands() && slices.Contains(names, c.Name) })
}
