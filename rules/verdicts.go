package rules

import (
	"math"
	"slices"
	"sort"
	"strings"

	"coldcase/calc/derive"
	"coldcase/refdata/vocab"
)

// verdicts runs the judgement rules, worst first.
func (j *judge) verdicts() {
	for _, r := range j.set.rules {
		if r.Status != "retired" && r.When.truth(j.e) == True {
			j.out.Verdicts = append(j.out.Verdicts, j.verdict(r))
		}
	}
	rank := map[string]int{"stop": 0, "bad": 1, "watch": 2}
	sort.SliceStable(j.out.Verdicts, func(a, b int) bool {
		return rank[j.out.Verdicts[a].Severity] < rank[j.out.Verdicts[b].Severity]
	})
}

// verdict of a rule that fired. A number within its own uncertainty of the limit
// is mentioned, never more.
func (j *judge) verdict(r *Rule) Verdict {
	v := Verdict{Rule: r.ID.Value, Title: r.Title, Severity: severityVerdict(r.Severity), Why: r.Why, NextCheck: r.NextCheck, Sources: r.sources}
	v.Numbers = j.numbersOf(&r.When)
	if v.Severity != "watch" && j.marginal(&r.When) {
		v.Marginal = true
		v.Severity, v.Title = "watch", "Close to the limit: "+strings.ToLower(v.Title[:1])+v.Title[1:]
		v.Why = "It is within what gauge and probe leave open: read it again before acting on it."
	}
	return v
}

func severityVerdict(s string) string {
	switch s {
	case "danger":
		return "stop"
	case "caution":
		return "bad"
	}
	return "watch"
}

// numbersOf finds the computed numbers that a condition names.
func (j *judge) numbersOf(w *When) []derive.Number {
	var out []derive.Number
	for _, c := range w.cond {
		for _, p := range c.needs {
			if p.kind != number || j.e.last[p.at] == 0 {
				continue
			}
			n := j.res.Numbers[j.e.last[p.at]-1]
			if !slices.ContainsFunc(out, func(o derive.Number) bool { return o.Name == n.Name && o.Load == n.Load }) {
				out = append(out, n)
			}
		}
	}
	slices.SortFunc(out, func(a, b derive.Number) int { return strings.Compare(string(a.Name), string(b.Name)) })
	return out
}

// told are the circumstances that the conditions ask for.
func (w *When) told() []vocab.Circumstance {
	var out []vocab.Circumstance
	for _, c := range w.cond {
		out = append(out, c.told...)
	}
	return out
}

// marginal moves each number of a true condition by its own uncertainty, both
// ways: one that then falls silent rests on less than the instruments can tell.
func (j *judge) marginal(w *When) bool {
	for _, c := range w.cond {
		if c.holds(j.e) == True && !j.fallsSilent(c) {
			return false
		}
	}
	return true
}

func (j *judge) fallsSilent(c *condition) bool {
	for _, p := range c.needs {
		if p.kind != number || j.e.within[p.at] == 0 || math.IsNaN(j.e.numbers[p.at]) {
			continue
		}
		was, wide := j.e.numbers[p.at], j.e.within[p.at]
		for _, v := range [2]float64{was - wide, was + wide} {
			j.e.numbers[p.at] = v
			silent := c.holds(j.e) != True
			j.e.numbers[p.at] = was
			if silent {
				return true
			}
		}
	}
	return false
}
