// Package casepage shows one case as a page: what happened, where it stands,
// the readings by visit, the cycle on a pressure–enthalpy diagram, trends over
// the visits, causes with evidence, the plan, photos, sources and every message
// in order. It reads well on a phone in sunlight and prints as a report.
package casepage

import "time"

// View is all that a case page says, already in words and in the reader's
// units: the template only lays it out. Times are in the site's time zone.
type View struct {
	Case        string // with check digit
	Token       string
	Nonce       string // lets the page's own script run
	Units       string // that the reader chose: us, metric, or "" for as typed
	Unit, Site  string
	Refrigerant string
	Machine     []Fact // what was said of the machine
	Opened      time.Time
	Closed      time.Time // zero while the case is open
	Standing    string    // healthy, suspect, failed, undetermined
	Summary     string    // one or two sentences: what it means
	Outcome     string    // confirmed cause and what was fitted
	Happened    []Happening
	Cautions    []Line
	NextCheck   string
	Asks        []string
	Verdicts    []Line
	Faults      []Line
	Creeps      []string
	Numbers     []NumberRow
	Causes      []CauseRow
	Unlikely    []CauseRow // folded away on a screen
	Plan        []Line
	Visits      []Visit
	Photos      []Photo
	Messages    []Message
	Sources     []string
	CycleText   string // the diagram in words, for who can't see it; "" without one
	TrendText   string
	TrendHeight int // of the picture, in its own pixels
	RuleVersion string
	Printed     time.Time
	Opens       time.Time // until then does the reader's link open
	Seq         int       // of the last entry, for the live update
}

// Jump is a link to a part of the page.
type Jump struct{ ID, Name string }

// Jumps lists the parts that the page has.
func (v View) Jumps() []Jump {
	var out []Jump
	for _, j := range []struct {
		Jump
		has bool
	}{
		{Jump{"happened", "What happened"}, len(v.Happened) > 0},
		{Jump{"next", "Next"}, true},
		{Jump{"plan", "Plan"}, len(v.Plan) > 0},
		{Jump{"causes", "Causes"}, len(v.Causes)+len(v.Unlikely) > 0},
		{Jump{"numbers", "Numbers"}, len(v.Numbers) > 0},
		{Jump{"cycle", "Cycle"}, v.CycleText != ""},
		{Jump{"trend", "Trend"}, v.TrendText != ""},
		{Jump{"visits", "Readings"}, len(v.Visits) > 0},
		{Jump{"photos", "Photos"}, len(v.Photos) > 0},
		{Jump{"messages", "Messages"}, true},
	} {
		if j.has {
			out = append(out, j.Jump)
		}
	}
	return out
}

// Fact is one thing that was said of the machine.
type Fact struct{ Name, Value string }

// Happening is what was seen or told at one time, readings aside.
type Happening struct {
	At       time.Time
	By, Text string
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
	Name    string // in the trade's words
	What    string // in anybody's; at rest, unit assumed, approximate
	Value   string // the last of the visit
	Earlier string // those that it replaced, "" when none
}

// NumberRow is one computed number of the visit that is judged.
type NumberRow struct {
	Name, Value string
	Spread      string // that the instruments leave, either way
	From        string // the readings it rests on
	Note        string // what was assumed on the way
}

// CauseRow is a cause with the evidence on both sides.
type CauseRow struct {
	Title, Standing string
	For, Against    []Line
}

// Photo is a picture that came with a message.
type Photo struct {
	Sum   string // names its bytes
	At    time.Time
	By    string
	Words string // of the message that it came with
}

// Message is one text in or out. A long case has a thousand, so what the template
// would have to work out for each is here in words.
type Message struct {
	Who       string // and over which channel
	When      string
	Ours      bool
	Text      string
	TakenBack bool
}
