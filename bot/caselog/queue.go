package caselog

import (
	"context"
	"time"
)

// State of an outgoing message.
type State string

// The states.
const (
	Ready  State = "ready"
	Leased State = "leased"
	Sent   State = "done"
	Dead   State = "dead" // given up; shown in cases and metrics
)

// Outgoing is one message to be sent. Rows of one Dest leave strictly in the order they came.
type Outgoing struct {
	ID      int64
	Dest    string // sms:+15550100, slack:CHANNEL
	Kind    string // for the sender to know what Payload is
	Payload string
	Idem    string    // unique name; "" gets one
	Due     time.Time // zero: at once
	Case    Number    // whose it is, 0 when none
	State   State
	Attempt int       // 1 at the first try
	First   time.Time // of the first try
	Err     string    // of the last try
}

// Queue is the worker's side of the outbox. Every call but Lease names the owner
// of the lease: who lost it changes nothing.
type Queue interface {
	// Lease takes up to n due rows, at most the oldest open one of each dest.
	Lease(ctx context.Context, owner string, now, until time.Time, n int) ([]Outgoing, error)
	// Done marks a row as sent; also runs in the same transaction (nil: nothing).
	Done(ctx context.Context, owner string, id int64, also func(Tx) error) error
	// Later gives a row back until due; counted: the try counts.
	Later(ctx context.Context, owner string, id int64, due time.Time, counted bool, why string) error
	// GiveUp makes a row dead, so that the rows behind it go on.
	GiveUp(ctx context.Context, owner string, id int64, why string, also func(Tx) error) error
	// Pace holds the dest's waiting rows back until then.
	Pace(ctx context.Context, dest string, until time.Time) error
	// Release gives all leases of the owner back.
	Release(ctx context.Context, owner string) error
	// TakeOver is called once before the first Lease. On SQLite it makes sure that
	// nobody else sends, and takes the leases of a killed process back.
	TakeOver(ctx context.Context) error
	// Wake signals, after a commit, that rows may wait. A signal can be lost: poll, too.
	Wake() <-chan struct{}
	// Counts of the rows that were not sent, by state.
	Counts(ctx context.Context) (map[State]int, error)
}
