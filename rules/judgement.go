// Package rules loads, checks and runs the rule files that lead techs write, and
// judges a case by them.
package rules

import (
	"coldcase/calc/derive"
	"coldcase/refdata/vocab"
)

// Judgement is where a case stands (interfaces.md, replay --json).
type Judgement struct {
	Standing  string    // healthy, suspect, failed, undetermined
	Causes    []Cause   // ordered, first the leader
	Excluded  []string  // the causes ruled out
	Faults    []Fault   // likely or possible only
	Verdicts  []Verdict // judgement rules that fired, worst first
	Cautions  []Topic   // those that hold now, most severe first
	Asks      []Ask     // what is missing or in doubt, best first
	NextCheck Topic
	Plan      []Topic // ordered
	Version   string  // of the rule packs that judged
}

// Cause is one thing that may have taken the compressor down.
type Cause struct {
	Name     string
	Title    string  // in words
	Standing string  // likely, possible, unlikely, ruled_out
	Chance   float64 // exp(score) over the sum; 0 when ruled out
	Score    float64 // log-odds, nats
	For      []Evidence
	Against  []Evidence
}

// Evidence is one sign and what it weighs for one cause.
type Evidence struct {
	Rule   string  // id
	Text   string  // the sign and its mechanism, in one line
	Weight float64 // nats after grouping; 0 where another of its group counted already
	Source string
}

// Fault is something wrong with the system.
type Fault struct {
	Name     string
	Title    string
	Standing string // likely, possible
	Why      string
}

// Verdict is a judgement rule that fired on a number.
type Verdict struct {
	Rule      string
	Title     string
	Severity  string // watch, bad, stop
	Marginal  bool   // within the uncertainty of its number: a watch, whatever the rule says
	NextCheck string // topic code, "" when the rule names none
	Why       string
	Numbers   []derive.Number
	Sources   []string
}

// Topic is a caution, check or plan step: its code and its words.
type Topic struct {
	Code     string
	Text     string
	Caution  string // of a caution: its id in the catalogue; several may share a topic
	Severity string // of a caution: danger, warning, info
	Source   string
	Told     []vocab.Circumstance // of a caution: what its condition asks whether it was told
}

// Ask is one thing to ask for; Key is a key of readings.md, or which_reading.
type Ask struct {
	Key string
	Why string
}
