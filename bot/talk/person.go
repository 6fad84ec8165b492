package talk

import (
	"time"

	"coldcase/bot/casenumber"
)

// Incoming is one message as it came in.
type Incoming struct {
	By         string    `json:"by"`
	Channel    string    `json:"channel"`
	ProviderID string    `json:"provider_id,omitempty"`
	Text       string    `json:"text"`
	Lead       bool      `json:"lead,omitempty"` // may close another person's case
	At         time.Time `json:"at"`
}

// Person is what is kept about a sender between messages. The store keeps it in
// the same transaction as what the message caused.
type Person struct {
	Name    string            `json:"name"`
	Current casenumber.Number `json:"current,omitempty"` // 0: the next readings open a case
	Metric  *bool             `json:"metric,omitempty"`
	Held    []Incoming        `json:"held,omitempty"`    // wait for "same" or "new"
	Loose   []Incoming        `json:"loose,omitempty"`   // came before any case: filed on the next one
	Named   time.Time         `json:"named,omitzero"`    // when Current was chosen by its number, closed or not
	Closing bool              `json:"closing,omitempty"` // was asked what was fitted
	Greeted bool              `json:"greeted,omitempty"` // was told once whom this is for
	Last    *Answer           `json:"last,omitempty"`    // for "more"
}

// looseKept is how many messages without a case are kept for the next one.
const looseKept = 20

func (p Person) keep(in Incoming) Person {
	p.Loose = append(p.Loose[:len(p.Loose):len(p.Loose)], in)
	if over := len(p.Loose) - looseKept; over > 0 {
		p.Loose = p.Loose[over:]
	}
	return p
}
