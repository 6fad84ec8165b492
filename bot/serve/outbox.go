package serve

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"coldcase/bot/caselog"
	"coldcase/bot/outbox"
)

// carrierOf sends the rows of the dests that begin with its word, and says on the
// case when one is given up.
type carrierOf interface {
	outbox.Sender
	OnDead(caselog.Tx, caselog.Outgoing, error) error
}

// carriers routes a row by the word before the colon of its dest.
type carriers map[string]carrierOf

func (c carriers) of(o caselog.Outgoing) (carrierOf, error) {
	word, _, _ := strings.Cut(o.Dest, ":")
	if to, ok := c[word]; ok {
		return to, nil
	}
	return nil, fmt.Errorf("nothing here sends to %s", word)
}

// Send waits with rows that no outside of this process takes: one that is switched
// on again will.
func (c carriers) Send(ctx context.Context, o caselog.Outgoing) (outbox.Receipt, error) {
	to, err := c.of(o)
	if err != nil {
		return outbox.Receipt{}, &outbox.Delayed{After: time.Minute, Err: err}
	}
	return to.Send(ctx, o)
}

func (c carriers) OnDead(t caselog.Tx, o caselog.Outgoing, err error) error {
	if to, none := c.of(o); none == nil {
		return to.OnDead(t, o, err)
	}
	return nil // its outside is no longer served: nobody is left to tell
}

// Outbox sends what the casebook queues, through the outsides that are plugged in.
func (s *Server) Outbox(store caselog.Store, owner string) error {
	worker := &outbox.Worker{Queue: store, Sender: s.carriers, OnDead: s.carriers.OnDead, Owner: owner, Log: s.Log, Lease: s.Lease}
	var stopped atomic.Bool
	s.Ready("outbox", func() error {
		if stopped.Load() {
			return errors.New("nothing is sent")
		}
		return nil
	})
	s.Ready("database", func() error { return reachable(store) })
	s.Work(func(ctx context.Context) {
		if err := worker.Run(ctx); err != nil && !errors.Is(err, context.Canceled) { // stopped before it began
			stopped.Store(true)
			s.Log.Error("the outbox stopped", "err", err)
		}
	})
	if err := s.Metrics.Register(&backlog{store}); err != nil {
		return fmt.Errorf("metrics: %w", err)
	}
	return nil
}

// askWithin is the patience of a health check.
const askWithin = 2 * time.Second

func reachable(store caselog.Store) error {
	ctx, stop := context.WithTimeout(context.Background(), askWithin)
	defer stop()
	if _, err := store.Counts(ctx); err != nil {
		return errors.New("not reached")
	}
	return nil
}

// backlog is the outbox by state, counted when it is asked for.
type backlog struct{ store caselog.Store }

var backlogDesc = prometheus.NewDesc("coldcase_outbox_rows", "Outgoing messages that were not sent, by state.", []string{"state"}, nil)

// Describe names the metric.
func (b *backlog) Describe(ch chan<- *prometheus.Desc) { ch <- backlogDesc }

// Collect counts.
func (b *backlog) Collect(ch chan<- prometheus.Metric) {
	ctx, stop := context.WithTimeout(context.Background(), askWithin)
	defer stop()
	counts, err := b.store.Counts(ctx)
	if err != nil {
		ch <- prometheus.NewInvalidMetric(backlogDesc, err)
		return
	}
	for _, state := range []caselog.State{caselog.Ready, caselog.Leased, caselog.Dead} {
		ch <- prometheus.MustNewConstMetric(backlogDesc, prometheus.GaugeValue, float64(counts[state]), string(state))
	}
}
