package rules

import (
	"math"
	"slices"

	"coldcase/refdata/vocab"
)

// Weights of the words of evidence, in nats (trade-basis 5.1).
var strengths = map[string]float64{"strong_for": 1.5, "for": 0.7, "against": -0.7, "strong_against": -1.5}

// furtherSign is what each further sign of one group counts.
var furtherSign = [3]float64{1, 0.5, 0.25}

// saidNot is what a finding counts that was looked for and not found.
const saidNot = -0.5

// onAnother is what a number counts that was read on the machine fitted since: the
// conditions that killed the old one may be gone (trade-basis 5.1).
const onAnother = 0.5

// weighed is a cause while its evidence is gathered.
type weighed struct {
	cause    *CauseRule
	at       int // place of the cause in the rules
	score    float64
	primary  float64 // the score without secondary damage
	positive bool    // some evidence for it beyond its base rate and background
	out      bool
	marked   bool // it has its own mark, or needs none
	evidence []Evidence
	groups   []int  // of each piece of evidence
	follows  []bool // whether it is secondary damage
	For      []Evidence
	Against  []Evidence
}

// speech is what a sign says about one cause, made ready when loaded.
type speech struct {
	cause  int
	weight float64
	text   string
}

// weigh adds up the evidence.
func (j *judge) weigh() {
	kind := j.rec.Facts[vocab.CompressorType]
	j.weights = make([]*weighed, len(j.set.causes))
	for i, c := range j.set.causes {
		j.weights[i] = &weighed{cause: c, at: i, score: c.prior(kind), primary: c.prior(kind)}
	}
	doubt, fitted := j.is("refrigerant_in_doubt"), j.measuredOnAnother()
	for _, g := range j.set.signs {
		factor := g.holds(j.e)
		if factor == 0 || doubt && g.saturation {
			continue
		}
		if fitted && g.measured {
			factor *= onAnother
		}
		background := g.Background || g.Finding == "" && !j.told(vocab.MeansToAddGas) && j.marginal(&g.When)
		for i := range g.speech {
			j.weights[g.speech[i].cause].add(g, &g.speech[i], factor, background)
		}
	}
	for _, w := range j.weights {
		w.sum()
	}
}

// measuredOnAnother: a machine was changed, the old one's evidence is weighed, and what
// was measured is of the new one.
func (j *judge) measuredOnAnother() bool {
	if !j.told(vocab.CompressorChanged) || len(j.rec.Replaced.Findings)+len(j.rec.Replaced.Circumstances) == 0 {
		return false
	}
	ofOld, ofNew := false, false
	for _, o := range j.rec.Observations {
		if vocab.KeyOfMachine(o.Key) {
			ofOld, ofNew = ofOld || o.Replaced, ofNew || !o.Replaced
		}
	}
	return ofNew && !ofOld
}

// prior is the base rate for a type of compressor.
func (c *CauseRule) prior(kind string) float64 {
	if p, ok := c.ByType[kind]; ok {
		return p
	}
	return c.Prior
}

// holds is 1 for a sign that is there, half against for a finding said not to be,
// 0 for what was not looked at.
func (g *Sign) holds(e *env) float64 {
	if g.Unless.holds(e) {
		return 0
	}
	is := g.When.truth
	if g.finding != nil {
		is = g.finding
	}
	switch t := is(e); {
	case t == True:
		return 1
	case t == False && g.finding != nil:
		return saidNot
	}
	return 0
}

// add puts a sign's weight to a cause. A background sign, or one that is within
// what gauge and probe leave open, makes no cause possible by itself.
func (w *weighed) add(g *Sign, s *speech, factor float64, background bool) {
	text := s.text
	if factor < 0 {
		if s.weight < 0 || g.Background {
			return // a sign that is absent says nothing for what it would speak against; a background one says nothing at all
		}
		text = "no " + g.Title
	}
	ev := Evidence{Rule: g.ID.Value, Text: text, Weight: s.weight * factor, Source: g.source}
	w.positive = w.positive || ev.Weight > 0 && !background
	w.evidence, w.groups, w.follows = append(w.evidence, ev), append(w.groups, g.group), append(w.follows, g.Secondary)
}

// sum counts each group: the strongest fully, the second half, the rest a quarter,
// for and against each on its own.
func (w *weighed) sum() {
	order := make([]int, len(w.evidence))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return heavier(w.evidence[a], w.evidence[b])
	})
	for n, i := range order {
		ev := w.evidence[i]
		before, primary := w.ahead(order[:n], i)
		if !w.follows[i] {
			w.primary += ev.Weight * furtherSign[min(primary, len(furtherSign)-1)]
		}
		ev.Weight *= furtherSign[min(before, len(furtherSign)-1)]
		w.score += ev.Weight
		if ev.Weight > 0 {
			w.For = append(w.For, ev)
		} else {
			w.Against = append(w.Against, ev)
		}
	}
	slices.SortStableFunc(w.For, heavier)
	slices.SortStableFunc(w.Against, heavier)
}

// ahead counts the heavier signs of the same group and direction, and those of them
// that are primary.
func (w *weighed) ahead(heavier []int, i int) (all, primary int) {
	for _, k := range heavier {
		if w.groups[k] != w.groups[i] || (w.evidence[k].Weight > 0) != (w.evidence[i].Weight > 0) {
			continue
		}
		all++
		if !w.follows[k] {
			primary++
		}
	}
	return all, primary
}

// restrain keeps secondary damage from outvoting: while primary evidence makes a
// cause likely, no other comes nearer to it by what only followed.
func (j *judge) restrain() {
	var lead *weighed
	for _, w := range j.weights {
		if !w.out && w.marked && w.positive && w.primary >= likelyFrom && (lead == nil || w.primary > lead.primary) {
			lead = w
		}
	}
	for _, w := range j.weights {
		if lead != nil && w != lead {
			w.score = min(w.score, lead.score-(lead.primary-w.primary))
		}
	}
}

// heavier orders evidence by how much it weighs.
func heavier(a, b Evidence) int {
	switch x, y := math.Abs(a.Weight), math.Abs(b.Weight); {
	case x > y:
		return -1
	case x < y:
		return 1
	}
	return 0
}
