package rules

import (
	"slices"
	"sort"

	"coldcase/refdata/cautions"
	"coldcase/refdata/vocab"
)

// steps finds the next check and the plan.
func (j *judge) steps() {
	active := j.activeFor()
	if s := j.nextCheck(active); s != nil {
		j.out.NextCheck = Topic{Code: s.Topic.Value, Text: j.set.topics[s.Topic.Value]}
	}
	j.plan(active)
	j.plan(j.level())
}

// nextCheck is the first in the trade's order that applies. While no cause and no
// fault says where to look, one that is expected to tell clearly more goes ahead.
func (j *judge) nextCheck(active []string) (next *Step) {
	worth := 0.0
	for _, s := range j.set.checks {
		if !j.applies(s, active) {
			continue
		}
		if next == nil {
			if next = s; !slices.Contains(unguided, s.For) || !s.When.empty() {
				return next
			}
			worth = j.checkWorth(s)
		} else if w := j.checkWorth(s); w > clearly*worth {
			next, worth = s, w
		}
	}
	return next
}

// unguided are the kinds of case in which nothing says yet where to look.
var unguided = []string{"dead", "running"}

func (j *judge) checkWorth(s *Step) float64 {
	return j.worth(s.Topic.Value, j.set.effort(s.Topic.Value).Answers...)
}

func (j *judge) plan(active []string) {
	for _, s := range j.set.plan {
		if j.applies(s, active) && !hasTopic(j.out.Plan, s.Topic.Value) {
			j.out.Plan = append(j.out.Plan, Topic{Code: s.Topic.Value, Text: j.set.topics[s.Topic.Value]})
		}
	}
}

// level lists the causes that stand as good as level with the first, which the plan
// protects from as well.
func (j *judge) level() (names []string) {
	first := j.out.Causes[0]
	if j.treated() != first.Name {
		return nil
	}
	for _, c := range j.out.Causes[1:] {
		if c.Standing == Possible && c.Score > first.Score-aheadBy {
			names = append(names, c.Name)
		}
	}
	return names
}

func (j *judge) applies(s *Step, active []string) bool {
	return slices.Contains(active, s.For) && (s.When.empty() || s.When.truth(j.e) == True) && !s.Unless.holds(j.e)
}

func hasTopic(list []Topic, code string) bool {
	return slices.ContainsFunc(list, func(t Topic) bool { return t.Code == code })
}

// activeFor lists what steps may be for: the leading cause and any that is likely,
// the faults, and the kind of case.
func (j *judge) activeFor() []string {
	if j.out.Standing == healthy {
		return []string{"healthy"}
	}
	active := []string{"any"}
	if j.is("refrigerant_in_doubt") {
		return append(active, "refrigerant_in_doubt")
	}
	for _, f := range j.out.Faults {
		active = append(active, f.Name)
	}
	if c := j.treated(); c != "" {
		active = append(active, c)
	}
	if j.is("dead") {
		return append(active, "dead")
	}
	return append(active, "running")
}

// treated is the cause that the steps are for: the first that stands. A dead
// machine of unknown cause is looked at before any cause is treated.
func (j *judge) treated() string {
	first := j.out.Causes[0]
	if first.Name == undecided {
		if j.is("dead") {
			return ""
		}
		first = j.out.Causes[1]
	}
	if first.Standing == Likely || first.Standing == Possible && first.Score >= aheadBy {
		return first.Name
	}
	return ""
}

// cautions lists the warnings that hold, most severe first.
func (j *judge) cautions() {
	calm := j.out.Standing == healthy && !j.meansDanger()
	catalogue, added := cautions.All(), map[string]bool{}
	for _, rule := range j.set.cautions {
		c, ok := catalogue[rule.ID.Value]
		if !ok || added[c.ID] || calm && !rule.Always || !j.warns(rule) {
			continue
		}
		added[c.ID] = true
		for _, topic := range c.Topics {
			j.out.Cautions = append(j.out.Cautions, Topic{Code: topic, Text: c.Text, Caution: c.ID, Severity: c.Severity, Source: c.Source, Told: rule.When.told()})
		}
	}
	rank := map[string]int{"danger": 0, "warning": 1, "info": 2}
	sort.SliceStable(j.out.Cautions, func(a, b int) bool { return rank[j.out.Cautions[a].Severity] < rank[j.out.Cautions[b].Severity] })
}

// meansDanger: what the tech means to do is dangerous on a system in order too.
func (j *judge) meansDanger() bool {
	return slices.ContainsFunc(vocab.AllCircumstances(), func(c vocab.Circumstance) bool { return vocab.Dangerous(c) && j.told(c) })
}

// guards reports whether the step that a cause leads to is in sight: the cause is likely,
// or it stands first, or it has evidence enough to be.
func (j *judge) guards(names []string) bool {
	for i, c := range j.out.Causes {
		first := i == 0 || i == 1 && j.out.Causes[0].Name == undecided
		if c.stands() && slices.Contains(names, c.Name) && (first || c.Score >= likelyFrom) {
			return true
		}
	}
	return false
}

func (j *judge) warns(rule *CautionRule) bool {
	if rule.Unless.holds(j.e) {
		return false
	}
	return rule.When.holds(j.e) || j.guards(rule.Stand) || slices.Contains(rule.Check, j.out.NextCheck.Code)
}
