// Package talk is the conversation: a case and a message in, new entries and an
// answer out. Pure: it holds no clock, network or store.
package talk

import (
	"coldcase/calc/derive"
	"coldcase/refdata/vocab"
	"coldcase/rules"
)

// Answer is what the helper says, as data: every outside says it in its own form.
// Order is fixed: case and what was read, cautions, the worst finding, the numbers
// under it, one question or the one next check, how to get more.
type Answer struct {
	Case          string   // case number; "" when no case is concerned
	Opened        bool     // this message opened it
	Where         string   // unit and site
	Notice        []string // plain sentences that come first: a wrong number, an undo, a greeting
	Read          []Echo
	Facts         []string
	Findings      []string
	Cautions      []rules.Topic
	Standing      string
	Verdicts      []rules.Verdict
	Lead          *rules.Cause // the leading cause, when one is likely or possible
	Faults        []rules.Fault
	Numbers       []NumberLine
	Question      string
	NextCheck     string
	NotUnderstood []string
	Sections      []Section // of why, plan, watch, how
	Earlier       []string  // earlier cases of the unit
	Hint          string    // how to get more
}

// Echo is one reading as it was understood.
type Echo struct {
	vocab.Reading
	Name string // in the trade's words
}

// NumberLine is one computed number in words.
type NumberLine struct {
	derive.Number
	Title string
	Judge string // how it stands: a few words, "" when not judged
}

// Section is a titled list.
type Section struct {
	Title string
	Lines []string
}
