package rules

import (
	"math"
	"sort"
)

// Nats between the standings (trade-basis 5.6).
const (
	likelyFrom = 1.5
	aheadBy    = 0.7
	possibleIn = 2.0
)

// exclude applies the measurements that rule causes out, and the marks.
func (j *judge) exclude() {
	for i, w := range j.weights {
		marks := j.set.marksOf[i]
		w.marked = len(marks) == 0
		for _, m := range marks {
			w.marked = w.marked || m.When.truth(j.e) == True
		}
		for _, x := range j.set.exclusionsOf[i] {
			if x.When.truth(j.e) == True && !x.Unless.holds(j.e) {
				w.out = true
				w.Against = append([]Evidence{{Rule: "ruled-out", Text: "ruled out: " + x.Why, Weight: math.Inf(-1), Source: sourcesText(x.Sources)}}, w.Against...)
				break
			}
		}
	}
}

// rank orders the causes: what may lead first, by score.
func (j *judge) rank() {
	sort.SliceStable(j.weights, func(a, b int) bool { return before(j.weights[a], j.weights[b]) })
	j.modeBeforeRoot()
}

// before tells whether x stands ahead of y: what is ruled out last, and one with
// its own mark ahead of a stronger one without, when it is near.
func before(x, y *weighed) bool {
	if x.out != y.out {
		return y.out
	}
	if x.marked != y.marked && !x.out {
		lead, other := x, y
		if y.marked {
			lead, other = y, x
		}
		if lead.score >= aheadBy && lead.positive && lead.score+possibleIn > other.score {
			return lead == x
		}
	}
	return x.score > y.score
}

// modeBeforeRoot: what acts through another cause never takes its place once
// that one shows its mark.
func (j *judge) modeBeforeRoot() {
	root := j.weights[0].cause.Root
	if yields := &j.weights[0].cause.Yields; !yields.empty() && !yields.holds(j.e) {
		return
	}
	for i, w := range j.weights {
		if root != "" && w.cause.Name.Value == root && w.marked && !w.out && w.positive && w.score >= likelyFrom {
			copy(j.weights[1:i+1], j.weights[:i])
			j.weights[0] = w
			return
		}
	}
}

// causeStanding is the standing of the cause at place i.
func (j *judge) causeStanding(i int) string {
	w := j.weights[i]
	switch {
	case w.out || w.score <= -likelyFrom:
		return RuledOut
	case !w.positive:
		return Unlikely
	case i == 0 && w.score >= likelyFrom && w.score >= j.nextBest(i)+aheadBy && w.marked:
		return Likely
	case w.score >= aheadBy && w.score >= j.weights[0].score-possibleIn && (w.marked || w.score >= likelyFrom):
		return Possible
	}
	return Unlikely
}

// nextBest is the best score of the others.
func (j *judge) nextBest(i int) float64 {
	best := math.Inf(-1)
	for k, o := range j.weights {
		if k != i && !o.out {
			best = max(best, o.score)
		}
	}
	return best
}
