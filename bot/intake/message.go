// Package intake reads one message: text in, readings, facts, findings and asks
// out. Pure: no clock, network or store.
package intake

import "coldcase/refdata/vocab"

// Context is what the case already knows; the zero value is a fresh case.
type Context struct {
	Asked       vocab.Key // what the helper asked for last: a bare number answers it
	AskedFact   vocab.Fact
	Refrigerant string
	Last        map[vocab.Key]vocab.Reading // last value of each key
	State       vocab.State                 // of the last message
	Pending     string                      // the number that the last message left open, as typed
}

// Message is what one text says.
type Message struct {
	Readings []Reading              `json:",omitempty"`
	Facts    vocab.Facts            `json:",omitempty"`
	Findings map[vocab.Finding]bool `json:",omitempty"`
	// Circumstances are kept for the rules; read --json writes none of them.
	Circumstances map[vocab.Circumstance]bool `json:",omitempty"`
	Asks          []Ask                       `json:",omitempty"`
	// Loose are the numbers of which it is asked what they are: each as the readings that
	// it could be.
	Loose     [][]vocab.Reading `json:",omitempty"`
	Unread    []string          `json:",omitempty"` // pieces that were not understood, as typed
	Corrected []vocab.Key       `json:",omitempty"` // earlier values that the sender took back ("scratch that")
	Question  *Question         `json:",omitempty"`
	Said      map[string]bool   `json:",omitempty"` // words that a question or a test turns on: "then stopped"
	Pending   string            `json:",omitempty"` // a number, as typed, that is in doubt for want of its name
	NewVisit  bool              `json:",omitempty"` // "next day", "one week": the words start a new visit
}

// Reading is one value with the state the words give it.
type Reading struct {
	vocab.Reading
	State    vocab.State
	Settling bool `json:",omitempty"` // pull-down, or the first 15 min after a start
}

// Ask is one thing to ask the sender: a key of readings.md, or WhichReading.
type Ask struct {
	Key string `json:"key"`
	Why string `json:"why"` // one line in the trade's words
}

// WhichReading is asked when a number could belong to several keys.
const WhichReading = "which_reading"

// Question is a request for a calculation: "size riser …", "accumulator for 38 lb",
// "is the heater ok".
type Question struct {
	About string    // size_riser, accumulator, flash_check, heater_check, … (calc/answer)
	Asks  bool      // it is said as a question, not in passing
	Own   bool      // its numbers are those of a plan; else the readings of the message are the case's
	Given []Reading // values that belong to the question only, not to the case
	// What the message says apart from the question: before it took any value.
	Read  []Reading `json:"-"`
	Asked []Ask     `json:"-"`
}
