package watch

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/refdata/followup"
	"coldcase/refdata/phrases"
	"coldcase/refdata/vocab"
)

// Watcher fires what is due, once over all replicas and restarts.
type Watcher struct {
	Store   caselog.Store
	Setting followup.Setting
	Zone    func(site, person string) string // of the site, else of who is reminded
	// Say queues the message in the transaction that marks the visit, under a name
	// that is never queued twice.
	Say   func(caselog.Tx, Notice) error
	Clock func() time.Time
	Log   *slog.Logger
	Every time.Duration // 0: a minute
}

// Run ticks until ctx ends.
func (w *Watcher) Run(ctx context.Context) {
	every := w.Every
	if every == 0 {
		every = time.Minute
	}
	tick := time.NewTicker(every)
	defer tick.Stop()
	for {
		if err := w.Tick(ctx); err != nil && ctx.Err() == nil && w.Log != nil {
			w.Log.Error("watch", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

const us = "coldcase" // who our entries are by

// Notice is what somebody is to be told of a visit.
type Notice struct {
	Act   Act
	Visit caselog.Visit
	Case  caselog.Case
	Place *time.Location // of the site's clock
	Idem  string         // names the message
}

// Text is for the person who is reminded, or for the team. The case is to be named
// with the readings: by then it is closed, mostly, or another one is in hand.
func (n Notice) Text() string {
	number := n.Case.Number.String()
	where := "Case " + number
	if place := strings.Trim(n.Case.Unit+" @ "+n.Case.Site, " @"); place != "" {
		where += " (" + place + ")"
	}
	if n.Act == Tell {
		return fmt.Sprintf("%s: follow-up visit %d of %s is overdue, it was due %s.", where, n.Visit.Visit, n.Visit.Person, n.Visit.Due.In(n.Place).Format("Mon 2 Jan"))
	}
	return fmt.Sprintf("%s: follow-up visit %d is due. Begin with case %s and send %s.", where, n.Visit.Visit, number, Wanted(n.Visit.Wanted))
}

// Wanted names the readings of a visit in the words of the trade.
func Wanted(keys []string) string {
	var out []string
	for _, k := range keys {
		switch vocab.Finding(k) {
		case vocab.OilLevelNormal:
			out = append(out, "oil level")
		case vocab.OilAcid:
			out = append(out, "acid test")
		default:
			out = append(out, strings.TrimSuffix(phrases.Label(k), " 1"))
		}
	}
	return strings.Join(out, ", ")
}

// Tick does what is due now. One bad visit does not hold the others up.
func (w *Watcher) Tick(ctx context.Context) error {
	now := w.Clock()
	due, trouble, err := w.due(ctx, now)
	if err != nil {
		return err
	}
	for _, v := range due {
		trouble = errors.Join(trouble, w.visit(ctx, v, now))
	}
	return trouble
}

// due are the visits that something is to be done about; trouble is with single ones.
func (w *Watcher) due(ctx context.Context, now time.Time) (due []caselog.Visit, trouble, err error) {
	err = w.Store.View(ctx, func(t caselog.Tx) error {
		open, err := t.OpenVisits()
		for _, v := range open {
			if now.Before(v.Due) {
				break // soonest first
			}
			c, err := t.Case(v.Case)
			if err != nil {
				return err
			}
			acts, bad := Due(v, now, w.Zone(c.Site, v.Person), w.Setting)
			if trouble = errors.Join(trouble, bad); len(acts) > 0 {
				due = append(due, v)
			}
		}
		return err
	})
	return due, trouble, err
}

// visit reads the visit again under the lock of its case: another replica may have been quicker.
func (w *Watcher) visit(ctx context.Context, seen caselog.Visit, now time.Time) error {
	return w.Store.Update(ctx, func(t caselog.Tx) error {
		c, err := t.Case(seen.Case)
		if err != nil {
			return err
		}
		visits, err := t.Visits(seen.Case)
		if err != nil {
			return err
		}
		for _, v := range visits {
			if v.Visit == seen.Visit {
				return w.act(t, v, c, now)
			}
		}
		return nil
	})
}

func (w *Watcher) act(t caselog.Tx, v caselog.Visit, c caselog.Case, now time.Time) error {
	zone := w.Zone(c.Site, v.Person)
	acts, err := Due(v, now, zone, w.Setting)
	if err != nil {
		return err
	}
	place, err := clock(v, zone)
	if err != nil {
		return err
	}
	for _, act := range acts {
		if act == Remind {
			v.Reminded = now
		} else {
			v.Overdue = now
		}
		n := Notice{Act: act, Visit: v, Case: c, Place: place, Idem: fmt.Sprintf("watch/%d/%d/%s", v.Case, v.Visit, act)}
		if err := w.Say(t, n); err != nil {
			return err
		}
		said := caselog.Entry{At: now, Kind: caselog.KindVisit, By: us, Text: n.Text()}
		if err := t.Append(v.Case, []caselog.Entry{said}); err != nil {
			return err
		}
	}
	return t.SaveVisit(v)
}
