// Package caselog is the append-only record of cases and the Store interface
// that the engines below it (sqlite, postgres) keep.
package caselog

import (
	"encoding/json"
	"time"
)

// Kind of an entry (interfaces.md, case N --json).
type Kind string

// The kinds.
const (
	KindMessage    Kind = "message"
	KindReading    Kind = "reading"
	KindCorrection Kind = "correction"
	KindJudgement  Kind = "judgement"
	KindReply      Kind = "reply"
	KindVisit      Kind = "visit"
	KindPhoto      Kind = "photo"
	KindOutcome    Kind = "outcome"
)

// Entry is one line of a case. Nothing on it is ever edited or lost.
type Entry struct {
	Seq        int             `json:"seq"` // 1, 2, 3 … within the case, no holes
	At         time.Time       `json:"at"`
	Kind       Kind            `json:"kind"`
	By         string          `json:"by,omitempty"`      // crew name, or "coldcase"
	Channel    string          `json:"channel,omitempty"` // sms, slack, terminal, page
	ProviderID string          `json:"provider_id,omitempty"`
	Text       string          `json:"text,omitempty"`
	Body       json.RawMessage `json:"body,omitempty"` // the structured form of this kind, below
}
