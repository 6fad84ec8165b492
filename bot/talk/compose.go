package talk

import (
	"slices"
	"strings"

	"coldcase/bot/intake"
	"coldcase/bot/record"
	"coldcase/calc/derive"
	"coldcase/refdata/cautions"
	"coldcase/refdata/phrases"
	"coldcase/refdata/vocab"
	"coldcase/rules"
)

func label(key string) string { return phrases.Label(key) }

// compose says where the case stands, after what was read.
func (s *step) compose(v view) {
	a := &s.answer
	a.Case, a.Standing = s.c.Number.String(), v.j.Standing
	a.Place = place(v.rec.Facts)
	a.Earlier = s.earlier
	for _, m := range s.read {
		a.Read = append(a.Read, echoes(m)...)
		a.Said = append(a.Said, s.changed(m)...)
		a.Heard = append(a.Heard, Heard(m)...)
		a.Unread = append(a.Unread, m.Unread...)
	}
	a.Cautions = s.cautions(v.j)
	a.Findings = findings(v)
	a.Numbers = numberLines(v, s.before)
	s.mayRun(v)
	s.ask(v)
	a.Words = wordsFor(v.j)
	s.answerQuestions(v)
}

// nothingRead answers a message that has nothing for a case.
func (s *step) nothingRead(m intake.Message) {
	a := &s.answer
	a.Unread, a.Garbled = m.Unread, garbled(s.in.Text)
	a.Said = []string{"I found nothing to work with in that. Send readings or what you see, or ? for how."}
	if s.p.Current == 0 && !s.p.Greeted {
		a.Said = append(a.Said, example)
	}
	if a.Case != "" {
		a.Said = []string{"Kept with the case; no reading or finding in it. Send readings or what you see, or ? for how."}
	}
	if Clean(s.in.Text) == "" {
		a.Said = []string{"That came through empty. Send readings or what you see, or ? for how."}
	}
}

// changed says that a message puts another refrigerant in the place of the one the
// case had: a correction, a conversion, or the readings of another machine.
func (s *step) changed(m intake.Message) []string {
	now := m.Facts[vocab.Refrigerant]
	if s.was == "" || now == "" || now == s.was {
		return nil
	}
	return []string{now + " now, in place of " + s.was + ". Another machine? Send undo, then new, and that again."}
}

// Heard says the facts, findings and circumstances of a message in words, each once:
// a finding and a circumstance may have the same.
func Heard(m intake.Message) []string {
	var out []string
	say := func(words string) {
		if !slices.Contains(out, words) {
			out = append(out, words)
		}
	}
	for _, f := range vocab.AllFacts() {
		v, ok := m.Facts[f]
		switch {
		case !ok || f == vocab.Case || f == vocab.Unit || f == vocab.Site:
		case vocab.IsYesNo(f) && v == vocab.Yes:
			say(label(string(f)) + " fitted")
		case vocab.IsYesNo(f):
			say("no " + label(string(f)))
		case f == vocab.Application:
			say(v + " temp")
		default:
			say(strings.ReplaceAll(v, "_", " "))
		}
	}
	for _, f := range vocab.AllFindings() {
		switch yes, ok := m.Findings[f]; {
		case ok && yes:
			say(label(string(f)))
		case ok:
			say(label(string(f)) + ": no")
		}
	}
	for _, c := range vocab.AllCircumstances() {
		if m.Circumstances[c] {
			say(label(string(c)))
		}
	}
	return out
}

// cautions are those that hold now, each once; one sent in full on this case today
// is marked as known, unless the step it guards is announced just now.
func (s *step) cautions(j rules.Judgement) []Caution {
	known := s.c.warned(s.in.At)
	out := unlike(j.Cautions, func(t rules.Topic) bool { return known[t.Caution] && !slices.ContainsFunc(t.Told, s.announced) })
	if !s.p.Greeted && unsaid(out) < 2 { // it waits for a shorter answer
		s.p.Greeted = true
		out = append(out, general())
	}
	return out
}

// warnings are the cautions of the steps that a message announces, whichever case it is
// of: they can't wait until that is known.
func (s *step) warnings(m intake.Message) []Caution {
	b, err := s.c.Record()
	if err != nil {
		s.err = err
		return nil
	}
	alone := record.New()
	alone.Add(m, s.in.At)
	rec := alone.Record()
	if gas := b.Record().Facts[vocab.Refrigerant]; gas != "" && rec.Facts[vocab.Refrigerant] == "" {
		rec.Facts[vocab.Refrigerant] = gas
	}
	j := s.Rules.Judge(rec, derive.Numbers(rec))
	announced := func(c vocab.Circumstance) bool { return c.Announces() && m.Circumstances[c] }
	j.Cautions = slices.DeleteFunc(j.Cautions, func(t rules.Topic) bool { return !slices.ContainsFunc(t.Told, announced) })
	return unlike(j.Cautions, func(rules.Topic) bool { return false })
}

// unlike are cautions without those that say the same as one before; known tells which
// need not be said whole.
func unlike(all []rules.Topic, known func(rules.Topic) bool) []Caution {
	texts := map[string]bool{}
	var out []Caution
	for _, t := range all {
		if !texts[t.Text] {
			texts[t.Text] = true
			out = append(out, Caution{Label: label(t.Code), Code: t.Caution, Severity: t.Severity, Text: t.Text, Known: known(t)})
		}
	}
	return out
}

// announced: the tech says in this turn that a step is next.
func (s *step) announced(c vocab.Circumstance) bool {
	return c.Announces() && slices.ContainsFunc(s.read, func(m intake.Message) bool { return m.Circumstances[c] })
}

func unsaid(all []Caution) int {
	n := 0
	for _, c := range all {
		if !c.Known {
			n++
		}
	}
	return n
}

// general is said once to everybody, and on the help word.
func general() Caution {
	c := cautions.All()["general"]
	return Caution{Label: label(c.ID), Code: c.ID, Severity: c.Severity, Text: c.Text}
}

// findings are what there is to know, the worst first.
func findings(v view) []Finding {
	var out []Finding
	for i, w := range v.j.Verdicts {
		if !alike(v.j.Verdicts[:i], w) {
			out = append(out, Finding{Severity: w.Severity, Text: w.Title, Why: w.Why})
		}
	}
	for _, f := range v.j.Faults {
		out = append(out, Finding{Severity: "bad", Text: standingWord[f.Standing] + ": " + f.Title, Why: sentence(f.Why)})
	}
	for _, t := range v.creeps {
		out = append(out, Finding{Severity: "bad", Text: upper(strings.TrimSuffix(t.Say(v.rec.InMetric()), "."))})
	}
	if what, ok := blame(v); ok {
		out = append(out, what)
	}
	rank := map[string]int{"stop": 0, "cause": 1, "bad": 2, "ok": 3, "watch": 4}
	if v.j.Standing != "failed" {
		rank["cause"] = 2 // it runs: what is wrong now comes before what it may lead to
	}
	slices.SortStableFunc(out, func(a, b Finding) int { return rank[a.Severity] - rank[b.Severity] })
	if len(out) == 0 && judged(v.res) && len(v.res.Doubts) == 0 {
		out = append(out, Finding{Severity: "ok", Text: "Nothing wrong in what I have so far", Why: "Not enough yet to call it healthy."})
	}
	return out
}

// judged reports a number beyond the mere saturation temperatures.
func judged(res derive.Result) bool {
	return slices.ContainsFunc(res.Numbers, func(n derive.Number) bool {
		return n.Name != derive.SatSuctionTemp && n.Name != derive.SatDischargeTemp && n.Name != derive.SatLiquidTemp
	})
}

var standingWord = map[string]string{rules.Likely: "Likely", rules.Possible: "Maybe"}

// alike reports a milder verdict on a number that a worse one has judged already.
func alike(before []rules.Verdict, w rules.Verdict) bool {
	return slices.ContainsFunc(before, func(b rules.Verdict) bool {
		return slices.ContainsFunc(b.Numbers, func(n derive.Number) bool {
			return slices.ContainsFunc(w.Numbers, func(o derive.Number) bool { return n.Name == o.Name && n.Load == o.Load })
		})
	})
}

// blame says what took the machine down, or is about to, as sure as the evidence is.
func blame(v view) (Finding, bool) {
	j, of := v.j, ""
	if _, replaced := v.rec.OfTheMachineIn(); replaced && v.rec.Circumstances[vocab.CompressorChanged] {
		of = "What took the old one: "
	}
	if j.Standing == "healthy" {
		return Finding{Severity: "ok", Text: "Looks healthy", Why: "All that was judged is in range."}, true
	}
	var stands []rules.Cause
	for _, c := range j.Causes {
		if c.Name != "undetermined" && (c.Standing == rules.Likely || c.Standing == rules.Possible) {
			stands = append(stands, c)
		}
	}
	switch {
	case len(stands) > 0 && stands[0].Standing == rules.Likely:
		return Finding{Severity: "cause", Text: upper(of + "most likely " + stands[0].Title), Why: evidence(stands[0])}, true
	case len(stands) > 1:
		return Finding{Severity: "cause", Text: upper(of + "not settled: could be " + stands[0].Title + " or " + stands[1].Title), Why: evidence(stands[0])}, true
	case len(stands) == 1:
		return Finding{Severity: "cause", Text: upper(of + "not settled: could be " + stands[0].Title), Why: evidence(stands[0])}, true
	case j.Standing == "failed":
		return Finding{Severity: "cause", Text: "What killed it is not clear yet"}, true
	}
	return Finding{}, false
}

// evidence is the strongest that speaks for a cause, in a line.
func evidence(c rules.Cause) string {
	var parts []string
	for _, e := range c.For {
		if e.Weight > 0 && len(parts) < 2 {
			parts = append(parts, e.Text)
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return sentence(strings.Join(parts, "; "))
}

// sentence starts with a capital and ends with a full stop.
func sentence(s string) string {
	if s == "" || strings.HasSuffix(s, ".") || strings.HasSuffix(s, "?") {
		return upper(s)
	}
	return upper(s) + "."
}

// stayOut is the check of a release: nothing is measured meanwhile, so nothing is asked for.
const stayOut = "stay_out"

// ask chooses the one question or the one next check: what is in doubt comes
// first, then the step that tells most.
func (s *step) ask(v view) {
	a := &s.answer
	if v.j.NextCheck.Code == stayOut {
		a.Next = v.j.NextCheck.Text
		return
	}
	question := func(key, why string) { a.Asked, a.Question = key, why }
	var now []intake.Ask
	for _, m := range s.read {
		now = append(now, m.Asks...)
	}
	stop := len(v.j.Verdicts) > 0 && v.j.Verdicts[0].Severity == "stop"
	switch asks := v.j.Asks; {
	case len(now) > 0:
		question(now[0].Key, sentence(now[0].Why))
	case len(v.res.Doubts) > 0 && len(asks) > 0:
		question(asks[0].Key, asks[0].Why)
	case len(asks) > 0 && asks[0].Key == string(vocab.Refrigerant) && !stop:
		question(asks[0].Key, asks[0].Why)
	case v.j.Standing == "undetermined" && len(v.asks) > 0:
		question(v.asks[0].Key, v.asks[0].Why)
	case v.j.Standing == "undetermined" && len(asks) > 0:
		question(asks[0].Key, asks[0].Why)
	default:
		a.Next = next(v.j)
	}
	for _, m := range v.res.Missing {
		if v.j.Standing != "failed" && m.Why != a.Question {
			a.Missing = append(a.Missing, label(string(m.Name))+" (needs "+needs(m)+")")
		}
	}
}

// next is the next check; where all is in range but something only just, that is read
// again.
func next(j rules.Judgement) string {
	marginal := slices.ContainsFunc(j.Verdicts, func(v rules.Verdict) bool { return v.Marginal })
	if j.Standing == "healthy" && marginal {
		return "Read again what is close to the limit, over a full cycle. Nothing else to check now."
	}
	return j.NextCheck.Text
}

func needs(m derive.Missing) string {
	if m.Fact != "" {
		return label(string(m.Fact))
	}
	var out []string
	for _, k := range m.Keys {
		out = append(out, label(string(k)))
	}
	return strings.Join(out, " or ")
}

func wordsFor(j rules.Judgement) []string {
	if j.Standing == "healthy" || j.Standing == "undetermined" && len(j.Plan) == 0 {
		return []string{"more", "?"}
	}
	return []string{"why", "plan", "more", "?"}
}
