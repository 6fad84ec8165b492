// Package casepage shows one case as a page: what happened, where it stands,
// the readings by visit, the cycle on a pressure–enthalpy diagram, trends over
// the visits, causes with evidence, the plan, sources and every message
// in order. It reads well on a phone in sunlight and prints as a report.
package casepage

import "time"

// View is all that a case page says, already in words and in the reader's
// units: the template only lays it out. Times are in the site's time zone.
type View struct {
	Case        string // with check digit
	Token       string
	Unit, Site  string
	Refrigerant string
	Opened      time.Time
	Closed      time.Time // zero while the case is open
	Outcome     string    // confirmed cause and what was fitted
	Standing    string    // healthy, suspect, failed, undetermined
	Summary     string    // one or two sentences: what happened and what it means
	Cautions    []Line
	NextCheck   string
	Asks        []string
	Visits      []Visit
	Numbers     []NumberRow
	Verdicts    []Line
	Causes      []CauseRow
	Faults      []Line
	Plan        []Line
	Messages    []Message
	Sources     []string
	HasCycle    bool
	HasTrend    bool
	CycleText   string // the diagram in words, for who can't see it
	TrendText   string
	RuleVersion string
	Printed     time.Time
	Seq         int // of the last entry, for the live update
}

// Line is a sentence with what it rests on.
type Line struct{ Severity, Text, Source string }

// Visit is one time on site and what was read then.
type Visit struct {
	Number int
	At     time.Time
	Rows   []ReadingRow
}

// ReadingRow is one reading as it was typed.
type ReadingRow struct {
	Name, Value string
	State       string // running, standing
	Note        string // unit assumed, approximate, replaced
	Replaced    bool
}

// NumberRow is one computed number of the visit that is judged.
type NumberRow struct{ Name, Value, Note string }

// CauseRow is a cause with the evidence on both sides.
type CauseRow struct {
	Title, Standing string
	For, Against    []Line
}

// Message is one text in or out.
type Message struct {
	At              time.Time
	By, Channel     string
	Text            string
	Ours, TakenBack bool
}
