package rules

import (
	"math"
	"slices"
	"sort"
	"strings"

	"coldcase/calc/derive"
	"coldcase/refdata/cautions"
	"coldcase/refdata/phrases"
	"coldcase/refdata/vocab"
)

// Standing of causes.
const (
	Likely     = "likely"
	Possible   = "possible"
	Unlikely   = "unlikely"
	RuledOut   = "ruled_out"
	noneCause  = "none_healthy"
	undecided  = "undetermined"
	healthy    = "healthy"
	suspect    = "suspect"
	failed     = "failed"
	likelyFrom = 1.5 // nats (trade-basis 5.6)
	aheadBy    = 0.7
	possibleIn = 2.0
)

// Judge says where a case stands: verdicts on its numbers, causes by their
// log-odds, faults, what to ask, to check and to do.
func (s *Set) Judge(rec derive.Record, res derive.Result) Judgement {
	j := &judge{set: s, rec: rec, res: res, e: newEnv(rec, res), out: Judgement{Version: s.version}}
	j.circumstances()
	j.verdicts()
	j.weigh()
	j.exclude()
	j.rank()
	j.faults()
	j.standing()
	j.causes()
	j.asks()
	j.steps()
	j.cautions()
	return j.out
}

type judge struct {
	set     *Set
	rec     derive.Record
	res     derive.Result
	e       *env
	out     Judgement
	weights []*weighed
}

// weighed is a cause while its evidence is gathered.
type weighed struct {
	cause    *CauseRule
	score    float64
	positive bool // some evidence for it beyond its base rate and background
	out      bool
	outWhy   string
	marked   bool // it has its own mark, or needs none
	groups   map[string][]Evidence
	For      []Evidence
	Against  []Evidence
}

// circumstances sets what the expressions know of the judgement itself.
func (j *judge) circumstances() {
	said := func(cs ...vocab.Circumstance) bool {
		return slices.ContainsFunc(cs, func(c vocab.Circumstance) bool { return j.rec.Circumstances[c] })
	}
	seen := func(fs ...vocab.Finding) bool {
		return slices.ContainsFunc(fs, func(f vocab.Finding) bool { return j.rec.Findings[f] })
	}
	broken := seen(vocab.ReedBrokenSuction, vocab.ReedBrokenDischarge, vocab.ReedBroken, vocab.ValvePlateDamaged, vocab.HeadGasketBlown, vocab.PistonDamaged, vocab.RodBroken)
	opened := said(vocab.OpenedUp) || broken || seen(vocab.RodsWornEvenly, vocab.RodsWornProgressive, vocab.BearingWorn, vocab.CrankScored, vocab.PistonScored, vocab.WindingSpotBurn, vocab.WindingEvenBurn, vocab.WindingSinglePhaseBurn)
	grounded := j.e.values[string(vocab.Grounded)] == true
	gone := said(vocab.Dead, vocab.TripsAtOnce, vocab.Humming) || opened || grounded || seen(vocab.OpenWinding, vocab.LockedRotor)
	j.e.values["opened"] = opened
	j.e.values["dead"] = gone && !said(vocab.CompressorChanged)
	j.e.values["complaint"] = said(vocab.Trips, vocab.KnockAtLoadUp, vocab.BangAfterDefrost, vocab.StartTroubleOnly, vocab.OilAddedAndGone, vocab.OilSafetyTrips, vocab.VoltsSag, vocab.HighHeadTrip) || seen(vocab.NoisyStart)
	if said(vocab.CompressorChanged) {
		j.e.values["complaint"] = false // it was the old machine's
	}
	j.e.values["healthy"] = false
	doubt := false
	for _, d := range j.res.Doubts {
		doubt = doubt || d.Fact == vocab.Refrigerant
	}
	j.e.values["refrigerant_in_doubt"] = doubt
	rise, ok := j.e.number("pumpdown_rise_psi")
	j.e.values["refills"] = ok && rise > 5 || seen(vocab.SolenoidLeaking) || said(vocab.RestartsWithNoCall)
}

// verdicts runs the judgement rules. A number within its own uncertainty of the
// limit is mentioned, never more.
func (j *judge) verdicts() {
	for _, r := range j.set.rules {
		if r.Status == "retired" || r.When.truth(j.e) != True {
			continue
		}
		v := Verdict{Rule: r.ID.Value, Title: r.Title, Severity: severityVerdict(r.Severity), Why: r.Why, NextCheck: r.NextCheck}
		for _, src := range r.Sources {
			v.Sources = append(v.Sources, src.String())
		}
		v.Numbers = j.numbersOf(r)
		if v.Severity != "watch" && j.marginal(&r.When) {
			v.Severity, v.Why = "watch", v.Why+" It is within what gauge and probe leave open."
		}
		j.out.Verdicts = append(j.out.Verdicts, v)
	}
	rank := map[string]int{"stop": 0, "bad": 1, "watch": 2}
	sort.SliceStable(j.out.Verdicts, func(a, b int) bool {
		return rank[j.out.Verdicts[a].Severity] < rank[j.out.Verdicts[b].Severity]
	})
}

// numbersOf finds the computed numbers that a rule names.
func (j *judge) numbersOf(r *Rule) []derive.Number {
	var out []derive.Number
	for _, c := range r.When.cond {
		for _, name := range c.needs {
			n, ok := j.e.last[bases[name]]
			if ok && !slices.ContainsFunc(out, func(o derive.Number) bool { return o.Name == n.Name && o.Load == n.Load }) {
				out = append(out, n)
			}
		}
	}
	slices.SortFunc(out, func(a, b derive.Number) int { return strings.Compare(string(a.Name), string(b.Name)) })
	return out
}

// marginal moves each number of the rule by its own uncertainty, both ways: a
// rule that then falls silent rests on less than the instruments can tell.
func (j *judge) marginal(w *When) bool {
	for _, c := range w.cond {
		if c.truth(j.e) != True {
			continue
		}
		if !j.fallsSilent(c) {
			return false
		}
	}
	return true
}

func (j *judge) fallsSilent(c *condition) bool {
	for _, name := range c.needs {
		wide, ok := j.e.within[bases[name]]
		was, is := j.e.number(name)
		if !ok || !is || wide == 0 {
			continue
		}
		if strings.HasSuffix(name, "_dK") || strings.HasSuffix(name, "_C") {
			wide /= 1.8
		}
		for _, v := range []float64{was - wide, was + wide} {
			j.e.values[name] = v
			silent := c.truth(j.e) != True
			j.e.values[name] = was
			if silent {
				return true
			}
		}
	}
	return false
}

// bases maps the name of a computed number in an expression to its key among the
// last numbers: total_superheat_dK to total_superheat.
var bases = func() map[string]string {
	m := map[string]string{}
	for n, u := range numberUnits {
		for _, s := range u {
			m[suffixed(string(n), s)] = string(n)
		}
	}
	for _, name := range []string{"riser_velocity_full", "riser_velocity_min", "suction_velocity_full"} {
		m[name+"_fpm"], m[name+"_m_s"] = name, name
	}
	return m
}()

// weigh adds up the evidence: signs of one group count once fully, then half,
// then a quarter.
func (j *judge) weigh() {
	kind := j.rec.Facts[vocab.CompressorType]
	for _, c := range j.set.causes {
		prior := c.Prior
		if p, ok := c.ByType[kind]; ok {
			prior = p
		}
		j.weights = append(j.weights, &weighed{cause: c, score: prior, groups: map[string][]Evidence{}})
	}
	doubt := j.e.values["refrigerant_in_doubt"] == true
	for _, g := range j.set.signs {
		factor := g.holds(j.e)
		if factor == 0 || doubt && g.Finding == "" && g.needsSaturation() {
			continue
		}
		background := g.Background || g.Finding == "" && !j.rec.Circumstances[vocab.MeansToAddGas] && j.marginal(&g.When)
		for _, w := range j.weights {
			saying, ok := g.Says[w.cause.Name.Value]
			if !ok {
				continue
			}
			j.add(w, g, saying, factor, background)
		}
	}
	for _, w := range j.weights {
		w.sum()
	}
}

// holds is 1 for a sign that is there, -0.5 for a finding said not to be, 0 for
// what was not looked at.
func (g *Sign) holds(e *env) float64 {
	if !g.Unless.empty() && g.Unless.truth(e) == True {
		return 0
	}
	if g.Finding != "" {
		yes, said := e.values[g.Finding].(bool)
		switch {
		case !said:
			return 0
		case yes:
			return 1
		}
		return -0.5
	}
	if g.When.truth(e) == True {
		return 1
	}
	return 0
}

func (g *Sign) needsSaturation() bool {
	for _, c := range g.When.cond {
		for _, n := range c.needs {
			if strings.Contains(n, "superheat") || strings.Contains(n, "subcooling") || strings.Contains(n, "split") || strings.Contains(n, "oil_return") || strings.Contains(n, "flash") {
				return true
			}
		}
	}
	return false
}

// add puts a sign's weight to a cause. A background sign, or one that is within
// what gauge and probe leave open, makes no cause possible by itself.
func (j *judge) add(w *weighed, g *Sign, s Saying, factor float64, background bool) {
	weight := strengths[s.Strength]
	text := g.Title + ": " + s.Because
	if factor < 0 {
		if weight < 0 {
			return // a sign that is absent says nothing for what it would speak against
		}
		text = "no " + g.Title
	}
	ev := Evidence{Rule: g.ID.Value, Text: text, Weight: weight * factor, Source: sourcesText(g.Sources)}
	if ev.Weight > 0 && !background {
		w.positive = true
	}
	group := g.Group
	if group == "" {
		group = g.ID.Value
	}
	w.groups[group] = append(w.groups[group], ev)
}

// sum counts each group: the strongest fully, the second half, the rest a quarter,
// for and against each on its own.
func (w *weighed) sum() {
	names := make([]string, 0, len(w.groups))
	for name := range w.groups {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		list := w.groups[name]
		sort.SliceStable(list, func(a, b int) bool { return math.Abs(list[a].Weight) > math.Abs(list[b].Weight) })
		up, down := 0, 0
		for _, ev := range list {
			n := &up
			if ev.Weight < 0 {
				n = &down
			}
			ev.Weight *= []float64{1, 0.5, 0.25}[min(*n, 2)]
			*n++
			w.score += ev.Weight
			if ev.Weight > 0 {
				w.For = append(w.For, ev)
			} else {
				w.Against = append(w.Against, ev)
			}
		}
	}
	byWeight := func(list []Evidence) {
		sort.SliceStable(list, func(a, b int) bool { return math.Abs(list[a].Weight) > math.Abs(list[b].Weight) })
	}
	byWeight(w.For)
	byWeight(w.Against)
}

// exclude applies the measurements that rule causes out, and the marks.
func (j *judge) exclude() {
	for _, w := range j.weights {
		name := w.cause.Name.Value
		w.marked = true
		for _, m := range j.set.marks {
			if m.Cause.Value == name {
				w.marked = m.When.truth(j.e) == True
			}
		}
		for _, x := range j.set.ruledOut {
			if x.Cause.Value != name || x.When.truth(j.e) != True || !x.Unless.empty() && x.Unless.truth(j.e) == True {
				continue
			}
			w.out, w.outWhy = true, x.Why
			w.Against = append([]Evidence{{Rule: "ruled-out", Text: "ruled out: " + x.Why, Weight: math.Inf(-1), Source: sourcesText(x.Sources)}}, w.Against...)
			break
		}
	}
}

// rank orders the causes: what may lead first, by score.
func (j *judge) rank() {
	class := func(w *weighed) int {
		switch {
		case w.out:
			return 2
		case !w.marked:
			return 1
		}
		return 0
	}
	sort.SliceStable(j.weights, func(a, b int) bool {
		x, y := j.weights[a], j.weights[b]
		if class(x) != class(y) && (class(x) == 2 || class(y) == 2) {
			return class(x) < class(y)
		}
		if x.marked != y.marked && !x.out && !y.out {
			lead, other := x, y
			if y.marked {
				lead, other = y, x
			}
			if lead.score >= aheadBy && lead.positive && lead.score+possibleIn > other.score {
				return lead == x
			}
		}
		return x.score > y.score
	})
	j.modeBeforeRoot()
}

// modeBeforeRoot: what acts through another cause never takes its place once
// that one shows its mark.
func (j *judge) modeBeforeRoot() {
	root := j.weights[0].cause.Root
	for i, w := range j.weights {
		if root != "" && w.cause.Name.Value == root && w.marked && !w.out && w.positive && w.score >= likelyFrom {
			copy(j.weights[1:i+1], j.weights[:i])
			j.weights[0] = w
			return
		}
	}
}

func (j *judge) faults() {
	if j.e.values["refrigerant_in_doubt"] == true {
		for _, d := range j.res.Doubts {
			if d.Fault != "" {
				j.out.Faults = append(j.out.Faults, Fault{Name: d.Fault, Title: "maybe the wrong refrigerant", Standing: Possible, Why: d.Why})
			}
		}
		return
	}
	for _, d := range j.res.Doubts {
		if d.Fault != "" {
			j.out.Faults = append(j.out.Faults, Fault{Name: d.Fault, Title: "gauges maybe swapped", Standing: Possible, Why: d.Why})
		}
	}
	for _, f := range j.set.faults {
		if f.When.truth(j.e) != True || slices.ContainsFunc(j.out.Faults, func(o Fault) bool { return o.Name == f.Fault.Value }) {
			continue
		}
		j.out.Faults = append(j.out.Faults, Fault{Name: f.Fault.Value, Title: f.Title, Standing: f.Standing, Why: f.Why})
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
	}
	next := math.Inf(-1)
	for k, o := range j.weights {
		if k != i && !o.out {
			next = max(next, o.score)
		}
	}
	first := j.weights[0].score
	switch {
	case i == 0 && w.score >= likelyFrom && w.score >= next+aheadBy && w.marked:
		return Likely
	case w.score >= aheadBy && w.score >= first-possibleIn && (w.marked || w.score >= likelyFrom):
		return Possible
	}
	return Unlikely
}

func (j *judge) standing() {
	bad := slices.ContainsFunc(j.out.Verdicts, func(v Verdict) bool { return v.Severity != "watch" })
	pointed := len(j.out.Faults) > 0
	for i := range j.weights {
		s := j.causeStanding(i)
		pointed = pointed || s == Likely || s == Possible
	}
	creeps := j.creeps()
	switch {
	case j.e.values["dead"] == true:
		j.out.Standing = failed
	case bad || pointed || creeps:
		j.out.Standing = suspect
	case j.judgedEnough() && len(j.res.Doubts) == 0 && j.e.values["complaint"] != true:
		j.out.Standing = healthy
		j.e.values["healthy"] = true
	default:
		j.out.Standing = undecided
	}
}

func (j *judge) creeps() bool {
	fell, ok := j.e.number("total_superheat_change_dF")
	now, _ := j.e.number("total_superheat_dF")
	rise, okRise := j.e.number("suction_filter_drop_change_psi")
	return ok && fell <= -limitTable["superheat_creep_dF"]*2 && now < limitTable["watch_superheat_dF"] || okRise && rise >= limitTable["filter_creep_psi"]
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
	total := 0.0
	for _, w := range j.weights {
		if !w.out {
			total += math.Exp(w.score)
		}
	}
	lead := j.weights[0]
	switch {
	case j.out.Standing == healthy:
		j.out.Causes = append(j.out.Causes, Cause{Name: noneCause, Title: "nothing wrong", Standing: Likely, Chance: 1})
	case j.out.Standing == undecided, lead.out, !lead.positive, lead.score < likelyFrom, !lead.marked, j.e.values["refrigerant_in_doubt"] == true:
		j.out.Causes = append(j.out.Causes, Cause{Name: undecided, Title: "not settled", Standing: Possible})
	}
	for i, w := range j.weights {
		c := Cause{Name: w.cause.Name.Value, Title: w.cause.Title, Standing: j.causeStanding(i), Score: w.score, For: w.For, Against: w.Against}
		if j.out.Standing == healthy && (c.Standing == Likely || c.Standing == Possible) {
			c.Standing = Unlikely
		}
		if !w.out && c.Standing != RuledOut {
			c.Chance = math.Exp(w.score) / total
		} else {
			j.out.Excluded = append(j.out.Excluded, c.Name)
		}
		j.out.Causes = append(j.out.Causes, c)
	}
}

// stands reports whether one of the causes is likely or possible.
func (j *judge) stands(names []string) bool {
	return slices.ContainsFunc(j.out.Causes, func(c Cause) bool {
		return slices.Contains(names, c.Name) && (c.Standing == Likely || c.Standing == Possible)
	})
}

// asks puts doubts first, then what the rules want to know and don't.
func (j *judge) asks() {
	add := func(key, why string) {
		if !slices.ContainsFunc(j.out.Asks, func(a Ask) bool { return a.Key == key }) {
			j.out.Asks = append(j.out.Asks, Ask{Key: key, Why: why})
		}
	}
	for _, d := range j.res.Doubts {
		if d.Fact != "" {
			add(string(d.Fact), d.Why)
		} else {
			add(string(d.Key), d.Why)
		}
	}
	for _, m := range j.res.Missing {
		if m.Fact != "" {
			add(string(m.Fact), m.Why)
		}
	}
	if j.out.Standing == healthy {
		return // nothing more is wanted of a system in order
	}
	for _, a := range j.set.asks {
		if !(a.When.empty() || a.When.truth(j.e) == True) || len(a.Stand) > 0 && !j.stands(a.Stand) {
			continue
		}
		for _, key := range a.Keys {
			if !j.isKnown(key.Value) {
				add(key.Value, j.whyAsk(key.Value))
			}
		}
	}
}

func (j *judge) whyAsk(key string) string {
	for _, m := range j.res.Missing {
		for _, k := range m.Keys {
			if string(k) == key {
				return m.Why
			}
		}
	}
	return phrases.Ask(key)
}

// isKnown reports whether a key was read, stated or seen; a stated superheat
// stands for its line.
func (j *judge) isKnown(key string) bool {
	for _, o := range j.rec.Observations {
		if string(o.Key) == key || o.Key == vocab.Superheat && (key == string(vocab.EvapOutletTemp) || key == string(vocab.SuctionLineTemp)) || o.Key == vocab.Subcooling && key == string(vocab.LiquidLineTemp) {
			return true
		}
	}
	if _, ok := j.rec.Facts[vocab.Fact(key)]; ok {
		return true
	}
	_, known := j.e.values[key].(bool)
	return known
}

// steps finds the next check and the plan.
func (j *judge) steps() {
	active := j.activeFor()
	applies := func(s *Step) bool {
		return slices.Contains(active, s.For) && (s.When.empty() || s.When.truth(j.e) == True) && (s.Unless.empty() || s.Unless.truth(j.e) != True)
	}
	for _, s := range j.set.checks {
		if applies(s) {
			j.out.NextCheck = Topic{Code: s.Topic.Value, Text: j.set.topics[s.Topic.Value]}
			break
		}
	}
	for _, s := range j.set.plan {
		if applies(s) && !slices.ContainsFunc(j.out.Plan, func(t Topic) bool { return t.Code == s.Topic.Value }) {
			j.out.Plan = append(j.out.Plan, Topic{Code: s.Topic.Value, Text: j.set.topics[s.Topic.Value]})
		}
	}
}

// activeFor lists what steps may be for: the leading cause and any that is likely,
// the faults, and the kind of case.
func (j *judge) activeFor() []string {
	if j.out.Standing == healthy {
		return []string{"healthy"}
	}
	active := []string{"any"}
	if j.e.values["refrigerant_in_doubt"] == true {
		return append(active, "refrigerant_in_doubt")
	}
	for _, f := range j.out.Faults {
		active = append(active, f.Name)
	}
	unsettled := j.e.values["dead"] == true && j.out.Causes[0].Name == undecided
	for _, c := range j.out.Causes {
		if unsettled {
			break // a dead machine of unknown cause is looked at before any cause is treated
		}
		if c.Name != undecided {
			if c.Standing == Likely || c.Standing == Possible && c.Score >= aheadBy {
				active = append(active, c.Name)
			}
			break
		}
	}
	if j.e.values["dead"] == true {
		return append(active, "dead")
	}
	return append(active, "running")
}

func (j *judge) cautions() {
	if j.out.Standing == healthy && !slices.ContainsFunc(vocab.AllCircumstances(), func(c vocab.Circumstance) bool { return vocab.Dangerous(c) && j.rec.Circumstances[c] }) {
		return
	}
	catalogue := cautions.All()
	added := map[string]bool{}
	for _, rule := range j.set.cautions {
		if !rule.Unless.empty() && rule.Unless.truth(j.e) == True {
			continue
		}
		told := !rule.When.empty() && rule.When.truth(j.e) == True
		if !told && !j.stands(rule.Stand) && !slices.Contains(rule.Check, j.out.NextCheck.Code) {
			continue
		}
		c, ok := catalogue[rule.ID.Value]
		if !ok || added[c.ID] {
			continue
		}
		added[c.ID] = true
		for _, topic := range c.Topics {
			j.out.Cautions = append(j.out.Cautions, Topic{Code: topic, Text: c.Text, Caution: c.ID, Severity: c.Severity, Source: c.Source})
		}
	}
	rank := map[string]int{"danger": 0, "warning": 1, "info": 2}
	sort.SliceStable(j.out.Cautions, func(a, b int) bool { return rank[j.out.Cautions[a].Severity] < rank[j.out.Cautions[b].Severity] })
}
