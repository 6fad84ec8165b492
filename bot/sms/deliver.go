package sms

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"sync/atomic"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/refdata/carrier"
)

// Deliverer takes the line's rows from the outbox to the provider.
type Deliverer struct {
	Line   *Line
	Client *Client
	Count  *Counters
	Now    func() time.Time
	barred atomic.Bool
}

// Ready is nil unless the provider refuses our credentials.
func (d *Deliverer) Ready() error {
	if d.barred.Load() {
		return errors.New("the SMS provider refuses our credentials")
	}
	return nil
}

// GivenUp is a row that will never go; Also says so on the case.
type GivenUp struct {
	Also func(caselog.Tx) error
	Err  error
}

func (g *GivenUp) Error() string { return g.Err.Error() }
func (g *GivenUp) Unwrap() error { return g.Err }

// Deliver does one row. also belongs in the transaction that marks it as done.
// A *GivenUp is final; with any other error the row is tried again.
func (d *Deliverer) Deliver(ctx context.Context, o caselog.Outgoing) (also func(caselog.Tx) error, err error) {
	if o.Kind == KindPicture {
		return d.picture(ctx, o)
	}
	also, err = d.text(ctx, o)
	result := "sent"
	var gone *GivenUp
	switch {
	case errors.As(err, &gone):
		result = "dead"
	case err != nil:
		result = "later"
	}
	d.Count.Sent.WithLabelValues(result).Inc()
	return also, err
}

// Expired says on the case that a row ran out of time; the outbox calls it when it
// gives a row up by itself.
func (d *Deliverer) Expired(o caselog.Outgoing) func(caselog.Tx) error {
	if o.Kind == KindPicture {
		return func(t caselog.Tx) error {
			return d.Line.LostPicture(t, o.Payload, errors.New("out of time"))
		}
	}
	return d.notSent(o, "the provider did not take it in time", false)
}

func (d *Deliverer) picture(ctx context.Context, o caselog.Outgoing) (func(caselog.Tx) error, error) {
	also, err := d.Line.KeepPicture(ctx, d.Client, o.Payload)
	var p *PictureError
	if errors.As(err, &p) && !p.Again {
		return nil, &GivenUp{Err: err, Also: func(t caselog.Tx) error { return d.Line.LostPicture(t, o.Payload, err) }}
	}
	return also, err
}

// phoneOf the row's dest.
func phoneOf(dest string) string {
	_, phone, _ := strings.Cut(dest, ":")
	return phone
}

func (d *Deliverer) text(ctx context.Context, o caselog.Outgoing) (func(caselog.Tx) error, error) {
	var out outText
	if err := json.Unmarshal([]byte(o.Payload), &out); err != nil {
		return nil, &GivenUp{Err: fmt.Errorf("outbox row %d: %w", o.ID, err)}
	}
	to := phoneOf(o.Dest)
	silent, err := d.silent(ctx, to)
	if err != nil {
		return nil, err
	}
	if silent {
		return nil, &GivenUp{Err: errors.New("opted out"), Also: d.notSent(o, "the number has opted out with STOP", false)}
	}
	id, err := d.once(ctx, o, to, out)
	var e *SendError
	lost := errors.As(err, &e) && e.Do == carrier.Alarm && out.maybeThePictures(e.Code)
	if lost {
		out = out.wordsAlone()
		id, err = d.once(ctx, o, to, out)
	}
	if err != nil {
		return nil, d.trouble(o, to, err)
	}
	d.barred.Store(false)
	return func(t caselog.Tx) error {
		if err := remember(t, id, track{Case: o.Case, To: to, Text: out, Idem: o.Idem}); err != nil || !lost {
			return err
		}
		return d.Line.note(t, o.Case, d.Now(), "Sent to "+crew.Mask(to)+" in words, without the picture: "+reason(e.Code)+".")
	}, nil
}

// maybeThePictures: the provider's table has no other meaning for a code, so what is
// wrong may be the pictures: not to be fetched, or a phone that takes none.
func (out outText) maybeThePictures(code int) bool {
	_, known := carrier.CodeOf(code)
	return len(out.Pictures) > 0 && !known
}

// wordsAlone is a text whose pictures can't go along: its words say what they show.
func (out outText) wordsAlone() outText {
	return outText{Body: out.Body + "\nThe picture could not be sent.", Try: out.Try}
}

func (d *Deliverer) silent(ctx context.Context, phone string) (yes bool, err error) {
	err = d.Line.Store.View(ctx, func(t caselog.Tx) error {
		note, err := t.Note(silentNote(phone))
		yes = note != ""
		return err
	})
	return yes, err
}

// once sends, unless an earlier try whose answer was lost did.
func (d *Deliverer) once(ctx context.Context, o caselog.Outgoing, to string, out outText) (string, error) {
	if o.Attempt > 1 && !o.First.IsZero() {
		ids, err := d.Client.SentBefore(ctx, to, out.Body, o.First)
		if err != nil {
			return "", err
		}
		if id, err := d.unclaimed(ctx, ids, o.Idem); err != nil || id != "" {
			return id, err
		}
	}
	return d.Client.Send(ctx, to, out.Body, out.Pictures...)
}

// unclaimed is the first of the texts that was not sent for another row: the same
// words may well be said twice within a minute.
func (d *Deliverer) unclaimed(ctx context.Context, ids []string, idem string) (id string, err error) {
	err = d.Line.Store.View(ctx, func(t caselog.Tx) error {
		for _, one := range ids {
			k, err := tracked(t, one)
			if err != nil {
				return err
			}
			if k.Idem == "" || k.Idem == idem {
				id = one
				return nil
			}
		}
		return nil
	})
	return id, err
}

// trouble is what becomes of a text that was not taken.
func (d *Deliverer) trouble(o caselog.Outgoing, to string, err error) error {
	var e *SendError
	if !errors.As(err, &e) {
		return err
	}
	d.barred.Store(e.Do == carrier.Stop)
	why := reason(e.Code)
	switch e.Do {
	case carrier.Later, carrier.Stop, carrier.Unreachable:
		return e
	case carrier.Silent:
		return &GivenUp{Err: e, Also: func(t caselog.Tx) error {
			if err := t.SaveNote(silentNote(to), d.Now().UTC().Format(time.RFC3339)); err != nil {
				return err
			}
			return d.notSent(o, why, true)(t)
		}}
	}
	return &GivenUp{Err: e, Also: d.notSent(o, why, true)}
}

// RetryAfter is how long the provider wants to be left alone, 0 when it did not
// say; counted tells whether the try counts.
func (e *SendError) RetryAfter() (pause time.Duration, counted bool) {
	const whileBarred = time.Minute
	switch {
	case e.Do == carrier.Stop:
		return max(e.After, whileBarred), false
	case e.Status == 429:
		return max(e.After, time.Second), false
	}
	return e.After, true
}

func reason(code int) string {
	if c, ok := carrier.CodeOf(code); ok {
		return fmt.Sprintf("%s (%d)", c.Why, code)
	}
	return fmt.Sprintf("the provider gave code %d", code)
}

// notSent says on the case, and to the leads when they can act on it, that a text
// did not go.
func (d *Deliverer) notSent(o caselog.Outgoing, why string, alarm bool) func(caselog.Tx) error {
	return func(t caselog.Tx) error {
		text := "Not sent to " + crew.Mask(phoneOf(o.Dest)) + ": " + why + "."
		if err := d.Line.note(t, o.Case, d.Now(), text); err != nil || !alarm {
			return err
		}
		return d.Line.tell(t, o.Case, text)
	}
}
