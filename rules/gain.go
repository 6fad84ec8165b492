package rules

import (
	"math"
	"slices"
)

// How telling a thing not yet known is (trade-basis 5.2 asks for the check that
// tells most; figures own).
const (
	seenByChance = 0.15 // how often a sign shows that says nothing for or against a cause
	mostSeen     = 0.95 // all signs of one reading together
	onTheWay     = 3    // minutes that any look costs
)

// Effort is what it takes to find something out.
type Effort struct {
	What    Text     `yaml:"what"` // a reading, fact or finding to ask for, or a check
	Minutes float64  `yaml:"minutes"`
	Hazard  string   `yaml:"hazard"`  // none, care, danger
	Running bool     `yaml:"running"` // only a machine that runs shows it
	Answers []string `yaml:"answers"` // what a check settles

	origin
}

// hazards divide the gain: what can hurt has to tell more.
var hazards = map[string]float64{"": 1, "none": 1, "care": 1.2, "danger": 1.6}

// usual is the effort of what has none written.
var usual = &Effort{Minutes: 5}

func (s *Set) effort(what string) *Effort {
	if e, ok := s.effortOf[what]; ok {
		return e
	}
	return usual
}

// worth is what an answer about these keys is expected to tell of the causes, in
// nats, by the minute and the hazard of getting it.
func (j *judge) worth(what string, keys ...string) float64 {
	e := j.set.effort(what)
	if e.Running && j.is("dead") {
		return 0
	}
	return j.gain(keys) / ((e.Minutes + onTheWay) * hazards[e.Hazard])
}

// gain is the expected drop in entropy over the causes when the keys become known.
// Their open signs are taken as so many outcomes, and none of them as one more.
func (j *judge) gain(keys []string) float64 {
	if j.chances == nil {
		j.chances = j.posterior()
	}
	var rows [][]float64
	var counted []*Sign
	for _, key := range keys {
		for _, g := range j.set.signsOf[key] {
			if share := g.open(j.e, keys); share > 0 && !slices.Contains(counted, g) {
				counted = append(counted, g)
				rows = append(rows, blend(j.chances, g.likelihood, share))
			}
		}
	}
	return information(j.chances, rows)
}

// blend is what a sign tells when it becomes known only so often.
func blend(p, likelihood []float64, share float64) []float64 {
	if share == 1 {
		return likelihood
	}
	mean := 0.0
	for c := range p {
		mean += p[c] * likelihood[c]
	}
	out := make([]float64, len(p))
	for c := range p {
		out[c] = share*likelihood[c] + (1-share)*mean
	}
	return out
}

// posterior is the chance of each cause, in the order of the rules.
func (j *judge) posterior() []float64 {
	p, total := make([]float64, len(j.set.causes)), 0.0
	for _, w := range j.weights {
		if !w.out {
			p[w.at] = math.Exp(w.score)
			total += p[w.at]
		}
	}
	for i := range p {
		p[i] /= max(total, math.SmallestNonzeroFloat64)
	}
	return p
}

// information of outcomes whose likelihoods given each cause are the rows; what
// they leave of 1 is the outcome that none shows.
func information(p []float64, rows [][]float64) float64 {
	if len(rows) == 0 {
		return 0
	}
	none, scale := make([]float64, len(p)), make([]float64, len(p))
	for c := range p {
		sum := 0.0
		for _, row := range rows {
			sum += row[c]
		}
		scale[c] = min(1, mostSeen/max(sum, mostSeen))
		none[c] = 1 - sum*scale[c]
	}
	left := conditional(p, none, nil)
	for _, row := range rows {
		left += conditional(p, row, scale)
	}
	return max(entropy(p)-left, 0)
}

// conditional is the chance of an outcome times the entropy that it leaves.
func conditional(p, likelihood, scale []float64) float64 {
	total, sum := 0.0, 0.0
	for c := range p {
		x := p[c] * likelihood[c]
		if scale != nil {
			x *= scale[c]
		}
		if x > 0 {
			total += x
			sum += x * math.Log(x)
		}
	}
	if total == 0 {
		return 0
	}
	return total*math.Log(total) - sum
}

func entropy(p []float64) float64 {
	h := 0.0
	for _, x := range p {
		if x > 0 {
			h -= x * math.Log(x)
		}
	}
	return h
}

// open tells how far keys would settle a sign that is not known: fully, or in part
// when others lack too.
func (g *Sign) open(e *env, keys []string) float64 {
	if g.finding != nil {
		if g.finding(e) == Unknown {
			return 1
		}
		return 0
	}
	if g.When.truth(e) != Unknown {
		return 0
	}
	most := 0.0
	for _, c := range g.When.cond {
		if c.holds(e) == Unknown {
			most = max(most, c.settledBy(e, keys))
		}
	}
	return most
}

// settledBy is the share of what a condition lacks that the keys would give.
func (c *condition) settledBy(e *env, keys []string) float64 {
	lacking, found := 0.0, 0.0
	for _, p := range c.needs {
		if e.knows(p) || p.info.Ask == "" {
			continue
		}
		lacking++
		if slices.Contains(keys, p.info.Ask) {
			found++
		}
	}
	return found / max(lacking, 1)
}

// linkGain makes ready what gains are worked out from.
func (s *Set) linkGain() {
	s.effortOf, s.signsOf = map[string]*Effort{}, map[string][]*Sign{}
	for _, e := range s.efforts {
		s.effortOf[e.What.Value] = e
	}
	for _, g := range s.signs {
		g.likelihood = make([]float64, len(s.causes))
		for i := range g.likelihood {
			g.likelihood[i] = seenByChance
		}
		for _, says := range g.speech {
			g.likelihood[says.cause] = seenByChance * math.Exp(says.weight)
		}
		for _, key := range g.asks() {
			s.signsOf[key] = append(s.signsOf[key], g)
		}
	}
}

// asks are the keys that settle a sign.
func (g *Sign) asks() []string {
	if g.Finding != "" {
		return []string{g.Finding}
	}
	var keys []string
	for _, c := range g.When.cond {
		for _, p := range c.needs {
			if p.info.Ask != "" && !slices.Contains(keys, p.info.Ask) {
				keys = append(keys, p.info.Ask)
			}
		}
	}
	return keys
}

func (e *Effort) identity() (Text, bool) { return e.What, true }

// effort holds an entry about finding out.
func (c *checking) effort(e Effort) {
	names := slices.Concat(askable(), c.topics)
	c.known(e.What, "reading, fact, finding or check", e.What.Value, names)
	for _, key := range e.Answers {
		c.known(e.What, "reading, fact or finding", key, askable())
	}
	if _, ok := hazards[e.Hazard]; !ok {
		c.say(e.What, "hazard is none, care or danger")
	}
	if e.Minutes <= 0 || e.Minutes > 24*60 {
		c.say(e.What, "minutes: want more than 0 and less than a day")
	}
}
