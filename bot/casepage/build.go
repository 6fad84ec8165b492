package casepage

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/talk"
	"coldcase/calc/cycle"
	"coldcase/calc/derive"
	"coldcase/calc/props"
	"coldcase/refdata/units"
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
}

// Tell works a case out by the words and rules in force.
func Tell(head caselog.Case, entries []caselog.Entry, h *talk.Helper) (Story, error) {
	s := Story{Head: head, Entries: entries}
	b, err := talk.Case{Number: head.Number, Entries: entries}.Record()
	if err != nil {
		return s, fmt.Errorf("case page: %w", err)
	}
	s.Record = b.Record()
	s.Numbers = derive.Numbers(s.Record)
	s.Judgement = h.Rules.Judge(s.Record, s.Numbers)
	return s, nil
}

// View puts the story into the words of the page.
func (s Story) View(token string, now time.Time, zone *time.Location) View {
	v := View{
		Case: s.Head.Number.String(), Token: token, Unit: s.Head.Unit, Site: s.Head.Site, Refrigerant: s.Head.Refrigerant,
		Opened: s.Head.Opened.In(zone), Standing: s.Judgement.Standing, RuleVersion: s.Judgement.Version, Printed: now.In(zone),
		NextCheck: s.Judgement.NextCheck.Text, Seq: len(s.Entries), Summary: s.summary(),
	}
	if !s.Head.Closed.IsZero() {
		v.Closed, v.Outcome = s.Head.Closed.In(zone), strings.ReplaceAll(s.Head.Cause, "_", " ")
	}
	s.fillFindings(&v)
	v.Visits, v.Numbers, v.Messages = s.visits(zone), s.numberRows(), s.messages(zone)
	_, v.HasCycle = s.Cycle()
	v.CycleText = s.cycleText()
	v.HasTrend, v.TrendText = s.trendText()
	return v
}

// summary says in a sentence or two where the case stands.
func (s Story) summary() string {
	for _, c := range s.Judgement.Causes {
		switch {
		case c.Name == "none_healthy":
			return "All that was read is in range."
		case c.Name == "undetermined":
			return "Too little is known, or it points different ways. The next check tells most."
		case c.Standing == rules.Likely:
			return "Likely " + c.Title + "."
		default:
			return "It points at " + c.Title + ", not yet for sure."
		}
	}
	return ""
}

func (s Story) fillFindings(v *View) {
	seen := map[string]bool{}
	source := func(text string) {
		if text != "" && !seen[text] {
			seen[text] = true
			v.Sources = append(v.Sources, text)
		}
	}
	for _, c := range s.Judgement.Cautions {
		if !slices.ContainsFunc(v.Cautions, func(l Line) bool { return l.Text == c.Text }) {
			v.Cautions = append(v.Cautions, Line{c.Severity, c.Text, c.Source})
			source(c.Source)
		}
	}
	for _, a := range s.Judgement.Asks {
		v.Asks = append(v.Asks, a.Why)
	}
	for _, x := range s.Judgement.Verdicts {
		v.Verdicts = append(v.Verdicts, Line{x.Severity, x.Title + ". " + x.Why, strings.Join(x.Sources, "; ")})
		source(strings.Join(x.Sources, "; "))
	}
	for _, f := range s.Judgement.Faults {
		v.Faults = append(v.Faults, Line{map[string]string{rules.Likely: "Likely:", rules.Possible: "Maybe:"}[f.Standing], f.Title + ", " + f.Why + ".", ""})
	}
	for _, t := range s.Judgement.Plan {
		v.Plan = append(v.Plan, Line{Text: t.Text})
	}
	for _, c := range s.Judgement.Causes {
		if c.Standing == rules.Likely || c.Standing == rules.Possible || c.Standing == rules.RuledOut && len(c.For) > 0 {
			v.Causes = append(v.Causes, CauseRow{Title: c.Title, Standing: strings.ReplaceAll(c.Standing, "_", " "), For: evidence(c.For), Against: evidence(c.Against)})
		}
	}
}

func evidence(all []rules.Evidence) []Line {
	var out []Line
	for _, e := range all {
		out = append(out, Line{Text: e.Text, Source: e.Source})
	}
	return out
}

// visits are the readings as typed, by visit; one that a later one of the same
// visit and state replaced is struck out.
func (s Story) visits(zone *time.Location) []Visit {
	var out []Visit
	all := s.Record.Observations
	for i, o := range all {
		if len(out) == 0 || out[len(out)-1].Number != o.Visit {
			out = append(out, Visit{Number: o.Visit, At: o.At.In(zone)})
		}
		row := ReadingRow{Name: nameOf(o.Key), Value: strconv.FormatFloat(o.Value, 'f', -1, 64) + " " + talk.UnitWord(o.Unit), State: string(o.State)}
		row.Replaced = slices.ContainsFunc(all[i+1:], func(l derive.Observation) bool {
			return l.Key == o.Key && l.Visit == o.Visit && l.State == o.State
		})
		row.Note = noteOf(o)
		v := &out[len(out)-1]
		v.Rows = append(v.Rows, row)
	}
	return out
}

func nameOf(k vocab.Key) string {
	d, _ := vocab.Define(k)
	return d.What
}

func noteOf(o derive.Observation) string {
	var notes []string
	if o.Assumed {
		notes = append(notes, "unit assumed")
	}
	if o.Approx {
		notes = append(notes, "approximate")
	}
	if o.Settling {
		notes = append(notes, "not settled yet")
	}
	return strings.Join(notes, ", ")
}

func (s Story) numberRows() []NumberRow {
	var out []NumberRow
	for _, n := range s.Numbers.Numbers {
		if n.Visit != s.Record.Visit {
			continue
		}
		name := strings.ReplaceAll(string(n.Name), "_", " ")
		if n.Load != "" {
			name += ", " + string(n.Load) + " load"
		}
		var from []string
		for _, k := range n.From {
			from = append(from, strings.ReplaceAll(string(k), "_", " "))
		}
		note := strings.Join(from, ", ")
		if n.Note != "" {
			note += "; " + n.Note
		}
		out = append(out, NumberRow{Name: name, Value: talk.Said(n.Value, n.Unit), Note: note})
	}
	return out
}

// messages are what was said in both directions; what was taken back stays, marked.
func (s Story) messages(zone *time.Location) []Message {
	gone := map[int]bool{}
	for _, e := range s.Entries {
		var b talk.CorrectionBody
		if e.Kind == caselog.KindCorrection && json.Unmarshal(e.Body, &b) == nil {
			gone[b.TakesBack] = true
		}
	}
	var out []Message
	for _, e := range s.Entries {
		switch e.Kind {
		case caselog.KindMessage, caselog.KindReply, caselog.KindCorrection, caselog.KindOutcome:
			if e.Text != "" {
				out = append(out, Message{At: e.At.In(zone), By: e.By, Channel: e.Channel, Text: e.Text, Ours: e.Kind == caselog.KindReply, TakenBack: gone[e.Seq]})
			}
		}
	}
	return out
}

// Cycle is what the pressure–enthalpy diagram can show of the last visit; ok is
// false without a refrigerant or a pressure.
func (s Story) Cycle() (c Cycle, ok bool) {
	f, err := props.Lookup(s.Record.Facts[vocab.Refrigerant])
	if err != nil {
		return c, false
	}
	last := map[vocab.Key]float64{}
	air, metric := seaLevel(), false
	for _, o := range s.Record.Observations {
		si, err := vocab.SI(o.Reading, air)
		if err != nil || o.Settling {
			continue
		}
		if o.Key == vocab.Altitude {
			if a, err := cycle.Air(units.Length(si)); err == nil {
				air = a
			}
		}
		if o.State == vocab.Running && o.Visit == s.Record.Visit {
			last[o.Key] = si
			metric = metric || o.Unit.Metric()
		}
	}
	c = Cycle{Fluid: f, Metric: metric}
	if p, has := last[vocab.SuctionPressure]; has {
		c.Suction = units.Gauge(p).Abs(air)
		c.CoilOut, c.Inlet = stateIf(f, last, vocab.EvapOutletTemp, c.Suction), stateIf(f, last, vocab.SuctionLineTemp, c.Suction)
	}
	if p, has := last[vocab.DischargePressure]; has {
		head := units.Gauge(p).Abs(air)
		c.Discharge, c.Liquid = stateIf(f, last, vocab.DischargeLineTemp, head), stateIf(f, last, vocab.LiquidLineTemp, head)
	}
	return c, c.Inlet != nil || c.CoilOut != nil || c.Liquid != nil || c.Discharge != nil
}

func seaLevel() units.Pressure {
	air, _ := cycle.Air(units.Feet(0))
	return air
}

func stateIf(f *props.Fluid, last map[vocab.Key]float64, k vocab.Key, p units.Pressure) *props.State {
	t, has := last[k]
	if !has {
		return nil
	}
	st, err := f.AtTP(units.Temperature(t), p)
	if err != nil {
		return nil
	}
	return &st
}

func (s Story) cycleText() string {
	var parts []string
	for _, n := range s.Numbers.Numbers {
		switch n.Name {
		case derive.SatSuctionTemp, derive.TotalSuperheat, derive.Subcooling, derive.CompressionRatio:
			if n.Visit == s.Record.Visit {
				parts = append(parts, strings.ReplaceAll(string(n.Name), "_", " ")+" "+talk.Said(n.Value, n.Unit))
			}
		}
	}
	return "Pressure-enthalpy diagram of " + s.Head.Refrigerant + " with the points that were read: " + strings.Join(parts, ", ")
}

// Trends are the numbers that a watch follows, over the visits.
func (s Story) Trends() []Series {
	superheat := Series{Name: "superheat at the compressor"}
	for _, n := range s.Numbers.Numbers {
		if n.Name == derive.TotalSuperheat && !n.Settling {
			superheat.add(s.timeOf(n.Visit), n.Value, talk.UnitWord(n.Unit))
		}
	}
	drop, amps := Series{Name: "suction filter drop"}, Series{Name: "amps, L1"}
	for _, o := range s.Record.Observations {
		switch o.Key {
		case vocab.SuctionFilterDrop:
			drop.add(o.At, o.Value, talk.UnitWord(o.Unit))
		case vocab.AmpsA:
			amps.add(o.At, o.Value, talk.UnitWord(o.Unit))
		}
	}
	return []Series{superheat, drop, amps}
}

func (s *Series) add(at time.Time, v float64, unit string) {
	s.At, s.Values, s.Unit = append(s.At, at), append(s.Values, v), unit
}

func (s Story) timeOf(visit int) time.Time {
	for _, o := range s.Record.Observations {
		if o.Visit == visit {
			return o.At
		}
	}
	return s.Head.Opened
}

func (s Story) trendText() (has bool, text string) {
	var parts []string
	for _, t := range s.Trends() {
		if n := len(t.Values); n > 1 {
			parts = append(parts, fmt.Sprintf("%s from %.1f to %.1f %s", t.Name, t.Values[0], t.Values[n-1], t.Unit))
		}
	}
	return len(parts) > 0, "Over the visits: " + strings.Join(parts, ", ")
}
