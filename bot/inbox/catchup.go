// Package inbox fetches what the providers could not deliver while we were away.
package inbox

import (
	"context"
	"fmt"
	"log/slog"
	"time"

	"coldcase/bot/caselog"
)

// CatchUp lists a provider's messages at start and every few minutes, and hands
// them to the same door as the webhooks: those that are known change nothing.
type CatchUp struct {
	Store  caselog.Store
	Source string                                                                // sms, slack
	List   func(ctx context.Context, since time.Time) ([]caselog.Inbound, error) // oldest first
	Handle func(ctx context.Context, in caselog.Inbound) error
	Every  time.Duration   // 0: 5 min
	Again  <-chan struct{} // a signal catches up at once; nil never comes
	Clock  func() time.Time
	Log    *slog.Logger
}

const (
	overlap  = time.Hour        // listed again each time: providers' clocks and delays differ
	farthest = 24 * time.Hour   // of the first run on an empty store
	soon     = 15 * time.Second // after trouble
)

// Run catches up until ctx ends. Trouble is logged and tried again next time.
func (c *CatchUp) Run(ctx context.Context) {
	every := c.Every
	if every == 0 {
		every = 5 * time.Minute
	}
	for {
		wait := every
		if err := c.Once(ctx); err != nil && ctx.Err() == nil {
			wait = min(soon, every)
			if c.Log != nil {
				c.Log.Warn("catch up", "source", c.Source, "error", err)
			}
		}
		select {
		case <-ctx.Done():
			return
		case <-c.Again:
		case <-time.After(wait):
		}
	}
}

// Once lists and handles what came since the last time that went well.
func (c *CatchUp) Once(ctx context.Context) error {
	now, key := c.Clock(), "caught up/"+c.Source
	since := now.Add(-farthest)
	if err := c.Store.View(ctx, func(t caselog.Tx) error {
		last, err := t.Note(key)
		if at, e := time.Parse(time.RFC3339, last); e == nil {
			since = at.Add(-overlap)
		}
		return err
	}); err != nil {
		return err
	}
	found, err := c.List(ctx, since)
	if err != nil {
		return fmt.Errorf("list messages since %s: %w", since.Format(time.RFC3339), err)
	}
	fresh, err := c.unknown(ctx, found)
	if err != nil {
		return err
	}
	for _, in := range fresh {
		if err := c.Handle(ctx, in); err != nil {
			return err
		}
	}
	return c.Store.Update(ctx, func(t caselog.Tx) error { return t.SaveNote(key, now.UTC().Format(time.RFC3339)) })
}

// unknown leaves out what is recorded already, mostly all of it: no transaction is
// spent on those. What a webhook brings meanwhile is met again and changes nothing.
func (c *CatchUp) unknown(ctx context.Context, found []caselog.Inbound) (fresh []caselog.Inbound, err error) {
	err = c.Store.View(ctx, func(t caselog.Tx) error {
		for _, in := range found {
			known, err := t.Received(in.Source, in.ID)
			if err != nil {
				return err
			}
			if !known {
				fresh = append(fresh, in)
			}
		}
		return nil
	})
	return fresh, err
}
