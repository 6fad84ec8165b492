package casepage

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/intake"
	"coldcase/bot/talk"
	"coldcase/bot/watch"
	"coldcase/calc/derive"
	"coldcase/refdata/followup"
	"coldcase/refdata/phrases"
	"coldcase/refdata/vocab"
	"coldcase/rules"
)

// Story is a case with everything that follows from its entries.
type Story struct {
	Head      caselog.Case
	Entries   []caselog.Entry
	Record    derive.Record
	Numbers   derive.Result
	Judgement rules.Judgement
	Creeps    []watch.Trend

	told      []told       // what was seen and told, readings aside
	takenBack map[int]bool // seqs of the messages that were undone
	watch     followup.Setting
	read      talk.Case // the entries, decoded once
}

// Recall gathers what stands on a case. metric is the reader's choice of units for
// what is computed; nil follows what was typed.
func Recall(head caselog.Case, entries []caselog.Entry, metric *bool) (Story, error) {
	s := Story{Head: head, Entries: entries, takenBack: undone(entries), read: talk.CaseOf(head.Number, entries)}
	known := vocab.Facts{}
	b, err := s.read.RecordEach(func(e caselog.Entry, m intake.Message) {
		m.Facts = news(m.Facts, known)
		if heard := talk.Heard(m); len(heard) > 0 {
			s.told = append(s.told, told{e, heard})
		}
	})
	if err != nil {
		return s, fmt.Errorf("case page: %w", err)
	}
	if metric != nil {
		b.SetMetric(*metric)
	}
	s.Record = b.Record()
	return s, nil
}

// news are the facts of a message that were not known: people say the refrigerant again
// with every reading.
func news(said, known vocab.Facts) vocab.Facts {
	fresh := vocab.Facts{}
	for f, value := range said {
		if known[f] != value {
			fresh[f], known[f] = value, value
		}
	}
	return fresh
}

// Tell works a case out by the words and rules in force.
func (s Story) Tell(h *talk.Helper) (Story, error) {
	var err error
	if s.watch, err = followup.BuiltIn(); err != nil {
		return s, fmt.Errorf("case page: %w", err)
	}
	s.Numbers = derive.Numbers(s.Record)
	s.Judgement = h.Rules.Judge(s.Record, s.Numbers)
	s.Creeps, s.Judgement.Standing = s.read.Creeps(s.Record, s.Numbers, s.Judgement, s.watch)
	return s, nil
}

// View puts the story into the words of the page.
func (s Story) View(now time.Time, zone *time.Location) View {
	facts := s.Record.Facts
	v := View{
		Case: s.Head.Number.String(), Unit: s.Head.Unit, Site: s.Head.Site, Refrigerant: s.Head.Refrigerant, Machine: machine(facts),
		Opened: s.Head.Opened.In(zone), Standing: s.Judgement.Standing, RuleVersion: s.Judgement.Version, Printed: now.In(zone),
		NextCheck: s.Judgement.NextCheck.Text, Seq: s.Head.Entries, Summary: s.summary(),
	}
	if !s.Head.Closed.IsZero() {
		v.Closed, v.Outcome = s.Head.Closed.In(zone), s.outcome()
	}
	s.fillFindings(&v)
	v.Visits, v.Numbers = s.visits(zone), s.numberRows()
	v.Happened, v.Photos, v.Messages = s.happened(zone), s.photos(zone), s.messages(zone)
	if c, ok := s.Cycle(); ok {
		v.CycleText = s.cycleText(c)
	}
	v.TrendText, v.TrendHeight = s.trendText()
	return v
}

// machine is what was said of the machine besides its name and its refrigerant.
func machine(f vocab.Facts) []Fact {
	var out []Fact
	for _, k := range vocab.AllFacts() {
		value, ok := f[k]
		switch {
		case !ok || k == vocab.Unit || k == vocab.Site || k == vocab.Case || k == vocab.Refrigerant:
		case k == vocab.Application:
			out = append(out, Fact{"Application", value + " temperature"})
		default:
			out = append(out, Fact{upper(phrases.Label(string(k))), strings.ReplaceAll(value, "_", " ")})
		}
	}
	return out
}

// summary says in a sentence or two what the case comes to.
func (s Story) summary() string {
	if said := s.blame(); said != "" {
		return said
	}
	for _, c := range s.Judgement.Causes {
		switch {
		case c.Name == "none_healthy" && len(s.Creeps) > 0:
			return "All that was read is in range, but it moves the wrong way from visit to visit."
		case c.Name == "none_healthy":
			return "All that was read is in range."
		case c.Name == "undetermined":
			return "Too little is known, or it points different ways. The next check tells most."
		case c.Standing == rules.Likely:
			return "Most likely cause: " + c.Title + "."
		default:
			return "It points at " + c.Title + ", not for sure yet."
		}
	}
	return ""
}

// blame tells the cause of the old compressor's end apart from the new one's standing;
// "" when none was changed or no cause stands.
func (s Story) blame() string {
	i := slices.IndexFunc(s.Judgement.Causes, func(c rules.Cause) bool { return c.Name != "undetermined" && c.Name != "none_healthy" })
	if !s.Record.Circumstances[vocab.CompressorChanged] || i < 0 {
		return ""
	}
	cause, now := s.Judgement.Causes[i], ""
	if len(s.Creeps) > 0 {
		now = " Since the change it moves the wrong way from visit to visit: see what the numbers say."
	}
	switch cause.Standing {
	case rules.Likely:
		return "What took the old compressor: most likely " + cause.Title + "." + now
	case rules.Possible:
		return "What took the old compressor is not for sure: it points at " + cause.Title + "." + now
	}
	return ""
}

// outcome is the cause that was confirmed and what was fitted, as it was logged.
func (s Story) outcome() string {
	var said []string
	for _, e := range s.Entries {
		if e.Kind == caselog.KindOutcome && e.Text != "" {
			said = append(said, fit(e))
		}
	}
	return strings.Join(said, ". ")
}

// mostAsks is how much is asked for at once: the best first.
const mostAsks = 5

func (s Story) fillFindings(v *View) {
	var sources citations
	for _, c := range s.Judgement.Cautions {
		if !slices.ContainsFunc(v.Cautions, func(l Line) bool { return l.Text == c.Text }) {
			v.Cautions = append(v.Cautions, Line{c.Severity, c.Text, c.Source})
		}
		sources.add(c.Source)
	}
	for i, a := range s.Judgement.Asks {
		if i < mostAsks {
			v.Asks = append(v.Asks, a.Why)
		}
	}
	for _, x := range s.Judgement.Verdicts {
		v.Verdicts = append(v.Verdicts, Line{x.Severity, x.Title + ". " + x.Why, cited(strings.Join(x.Sources, "; "))})
		sources.add(x.Sources...)
	}
	for _, f := range s.Judgement.Faults {
		v.Faults = append(v.Faults, Line{f.Standing, f.Title + ", " + f.Why + ".", ""})
	}
	for _, t := range s.Creeps {
		v.Creeps = append(v.Creeps, upper(t.Say(s.Record.InMetric())))
	}
	for _, t := range s.Judgement.Plan {
		v.Plan = append(v.Plan, Line{Text: t.Text, Source: t.Source})
		sources.add(t.Source)
	}
	for _, c := range s.Judgement.Causes {
		if len(c.For) == 0 && c.Standing != rules.Likely && c.Standing != rules.Possible || len(c.For)+len(c.Against) == 0 {
			continue
		}
		row := CauseRow{Title: upper(c.Title), Standing: strings.ReplaceAll(c.Standing, "_", " "), For: evidence(c.For, &sources), Against: evidence(c.Against, &sources)}
		if c.Standing == rules.Likely || c.Standing == rules.Possible {
			v.Causes = append(v.Causes, row)
		} else {
			v.Unlikely = append(v.Unlikely, row)
		}
	}
	v.Sources = sources
}

// citations are the sources of all that the page says, each once.
type citations []string

func (c *citations) add(all ...string) {
	for _, text := range all {
		for one := range strings.SplitSeq(text, "; ") {
			if commonPractice(one) {
				one = "Common practice of the trade, or a rule of our own, where no other source is named."
			}
			if one != "" && !slices.Contains(*c, one) {
				*c = append(*c, one)
			}
		}
	}
}

// cited is a source worth naming beside a sentence; common practice is named once, at
// the end.
func cited(source string) string {
	if commonPractice(source) {
		return ""
	}
	return source
}

// commonPractice: a rule says so, or that it is our own, and where we wrote it down.
func commonPractice(source string) bool {
	return strings.HasPrefix(source, "common practice") || source == "own" || strings.HasPrefix(source, "own ")
}

func evidence(all []rules.Evidence, sources *citations) []Line {
	var out []Line
	for _, e := range all {
		out = append(out, Line{Text: e.Text, Source: cited(e.Source)})
		sources.add(e.Source)
	}
	return out
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
