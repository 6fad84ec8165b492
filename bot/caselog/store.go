package caselog

import (
	"context"
	"errors"
	"iter"
	"time"

	"coldcase/bot/casenumber"
)

// Case is the head of a case; its story is its entries.
type Case struct {
	Number      casenumber.Number
	Opened      time.Time
	Closed      time.Time // zero while open
	OpenedBy    string
	Site, Unit  string // as typed
	Refrigerant string
	Cause       string // confirmed at closing
	LastAt      time.Time
}

// Inbound is one message from outside, under its provider's id.
type Inbound struct {
	Source string // sms, slack, terminal, page
	ID     string // unique within the source
	Person string // crew name or terminal user
	Text   string
	At     time.Time
}

// Person is what the helper keeps of somebody who writes.
type Person struct {
	Name    string
	Current casenumber.Number // 0 when none
	Metric  *bool             // choice of units; nil follows what is typed
	More    string            // rest of the last reply
	Asked   string            // key that was asked for last
	Holding string            // message that waits for "same" or "new"
	Wants   string            // "new" when the next readings open a case
}

// Outgoing is a message to be sent, in order within its destination.
type Outgoing struct {
	ID      int64
	Dest    string // "sms:+1…", "slack:C…"
	Kind    string
	Payload string
	Idem    string // a second one of the same key is not queued
	Due     time.Time
	Attempt int
}

// Filter selects cases; zero fields select all.
type Filter struct {
	Unit, Refrigerant, Cause, Site string
	Since                          time.Time
}

// ErrNoCase says that no case has the number.
var ErrNoCase = errors.New("no such case")

// Store keeps cases, people, and what is to be sent.
type Store interface {
	// Receive records a message and runs work in the same transaction. It reports
	// seen, and runs nothing, when the source and id were recorded before.
	Receive(ctx context.Context, in Inbound, work func(Tx) error) (seen bool, err error)
	Update(ctx context.Context, work func(Tx) error) error
	View(ctx context.Context, work func(Tx) error) error
	// Backup copies an embedded store to a new file while it runs.
	Backup(ctx context.Context, file string) error
	Close() error
}

// Tx is one transaction.
type Tx interface {
	Open(c Case) (casenumber.Number, error)
	Case(n casenumber.Number) (Case, error)
	SaveCase(c Case) error
	// Append adds entries; their Seq is set to 1, 2, 3 … without holes.
	Append(n casenumber.Number, entries []Entry) error
	Entries(n casenumber.Number) ([]Entry, error)
	Person(name string) (Person, error)
	SavePerson(p Person) error
	Find(f Filter) iter.Seq2[Case, error]
	Enqueue(o Outgoing) error
	// Forget replaces a person's name in every record.
	Forget(name, by string) (int, error)
}
