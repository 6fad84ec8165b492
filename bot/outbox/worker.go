// Package outbox sends what the casebook has queued: it leases, sends and settles
// each row, at least once and in order within each destination.
package outbox

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"sync"
	"time"

	"coldcase/bot/caselog"
)

// Sender sends one message. nil is the provider's yes; *Delayed and *Permanent
// say more; any other error is tried again.
type Sender interface {
	Send(ctx context.Context, o caselog.Outgoing) (Receipt, error)
}

// Receipt is what the provider gave back.
type Receipt struct {
	Also  func(caselog.Tx) error // runs in the transaction that marks the row sent; may be nil
	Pause time.Duration          // before the next row of the same destination
}

// Delayed: the provider said when to come back (429). The try does not count.
type Delayed struct {
	After time.Duration
	Err   error
}

func (e *Delayed) Error() string { return fmt.Sprintf("come back after %s: %v", e.After, e.Err) }
func (e *Delayed) Unwrap() error { return e.Err }

// Permanent: no try will ever succeed.
type Permanent struct{ Err error }

func (e *Permanent) Error() string { return e.Err.Error() }
func (e *Permanent) Unwrap() error { return e.Err }

// Worker sends for one process. Several processes may run one each.
type Worker struct {
	Queue  caselog.Queue
	Sender Sender
	Owner  string // unique among the processes
	Log    *slog.Logger
	// OnDead queues whatever tells people of a message that was given up, in the same transaction.
	OnDead func(caselog.Tx, caselog.Outgoing, error) error

	Lease  time.Duration // how long a killed process keeps a row from the others; 0: 30 s
	GiveUp time.Duration // without luck; 0: 15 min
	Poll   time.Duration // a wake may be lost, a row may not; 0: 0.5 s
	Grace  time.Duration // for sends under way when stopped; 0: 10 s
	Clock  func() time.Time

	busy chan struct{} // a token for each send under way
}

const atOnce = 8 // sends under way

func (w *Worker) defaults() {
	set := func(d *time.Duration, to time.Duration) {
		if *d == 0 {
			*d = to
		}
	}
	set(&w.Lease, 30*time.Second)
	set(&w.GiveUp, 15*time.Minute)
	set(&w.Poll, 500*time.Millisecond)
	set(&w.Grace, 10*time.Second)
	if w.Clock == nil {
		w.Clock = time.Now
	}
	if w.Log == nil {
		w.Log = slog.New(slog.DiscardHandler)
	}
	w.busy = make(chan struct{}, atOnce)
}

// Run sends until ctx ends, then finishes what is under way and gives its leases back.
func (w *Worker) Run(ctx context.Context) error {
	w.defaults()
	if err := w.Queue.TakeOver(ctx); err != nil {
		return err
	}
	// A send that has begun outlives ctx by the grace.
	sending, cancel := context.WithCancel(context.WithoutCancel(ctx))
	defer cancel()
	freed, under := make(chan struct{}, 1), &sync.WaitGroup{}
	for ctx.Err() == nil {
		if !w.leaseAndSend(ctx, sending, under, freed) {
			w.wait(ctx, freed)
		}
	}
	stop := time.AfterFunc(w.Grace, cancel)
	under.Wait()
	stop.Stop()
	return w.Queue.Release(context.WithoutCancel(ctx), w.Owner)
}

// leaseAndSend reports whether there may be more to lease at once.
func (w *Worker) leaseAndSend(ctx, sending context.Context, under *sync.WaitGroup, freed chan<- struct{}) bool {
	room := cap(w.busy) - len(w.busy)
	if room == 0 {
		return false
	}
	now := w.Clock()
	rows, err := w.Queue.Lease(ctx, w.Owner, now, now.Add(w.Lease), room)
	if err != nil {
		if ctx.Err() == nil {
			w.Log.Error("outbox: lease", "error", err)
		}
		return false
	}
	for _, o := range rows {
		w.busy <- struct{}{}
		under.Go(func() {
			w.send(sending, o)
			<-w.busy
			select {
			case freed <- struct{}{}:
			default:
			}
		})
	}
	return len(rows) == room && len(w.busy) < cap(w.busy)
}

func (w *Worker) wait(ctx context.Context, freed <-chan struct{}) {
	poll := time.NewTimer(w.Poll)
	defer poll.Stop()
	select {
	case <-ctx.Done():
	case <-freed:
	case <-w.Queue.Wake():
	case <-poll.C:
	}
}

// send never outlives its lease, settling included: after that the row may be somebody else's.
func (w *Worker) send(ctx context.Context, o caselog.Outgoing) {
	trying, cancel := context.WithTimeout(ctx, w.Lease*2/3)
	defer cancel()
	receipt, err := w.Sender.Send(trying, o)
	if e := w.settle(context.WithoutCancel(ctx), o, receipt, err); e != nil {
		w.Log.Error("outbox: settle", "id", o.ID, "kind", o.Kind, "error", e)
	}
}

func (w *Worker) settle(ctx context.Context, o caselog.Outgoing, r Receipt, err error) error {
	now := w.Clock()
	var delayed *Delayed
	var permanent *Permanent
	switch {
	case err == nil:
		e := w.Queue.Done(ctx, w.Owner, o.ID, r.Also)
		if e == nil && r.Pause > 0 {
			e = w.Queue.Pace(ctx, o.Dest, now.Add(r.Pause))
		}
		return e
	case errors.As(err, &delayed):
		return w.Queue.Later(ctx, w.Owner, o.ID, now.Add(delayed.After), false, err.Error())
	case errors.As(err, &permanent) || now.Sub(o.First) >= w.GiveUp:
		w.Log.Error("outbox: given up", "id", o.ID, "kind", o.Kind, "case", o.Case.String(), "attempt", o.Attempt, "error", err)
		return w.Queue.GiveUp(ctx, w.Owner, o.ID, err.Error(), w.tell(o, err))
	}
	return w.Queue.Later(ctx, w.Owner, o.ID, now.Add(Backoff(o.Attempt, now.Sub(o.First))), true, err.Error())
}

func (w *Worker) tell(o caselog.Outgoing, err error) func(caselog.Tx) error {
	if w.OnDead == nil {
		return nil
	}
	return func(t caselog.Tx) error { return w.OnDead(t, o, err) }
}

const (
	firstWait  = 250 * time.Millisecond
	shortWait  = 5 * time.Second // longest in the first minutes: the head of a dest holds the rest back
	shortSpell = 5 * time.Minute
	longWait   = time.Minute
)

// Backoff is the wait after a failed attempt; age is the time since the first one.
// The upper half of it is random, so that replicas don't come back together.
func Backoff(attempt int, age time.Duration) time.Duration {
	most := shortWait
	if age > shortSpell {
		most = longWait
	}
	wait := most
	if doublings := max(attempt-1, 0); doublings < 10 {
		wait = min(firstWait<<doublings, most)
	}
	return wait/2 + rand.N(wait/2+1)
}
