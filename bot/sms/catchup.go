package sms

import (
	"context"
	"fmt"
	"strings"
	"time"

	api "github.com/twilio/twilio-go/rest/api/v2010"

	"coldcase/bot/caselog"
)

// pageSize is the most that the provider lists at once.
const pageSize = 1000

// Since lists the texts that came to our number after a time, oldest first, with
// links to their media.
func (c *Client) Since(ctx context.Context, after time.Time) ([]Text, error) {
	listed, err := c.list(ctx, (&api.ListMessageParams{}).SetTo(c.account.From), after)
	if err != nil {
		return nil, err
	}
	var all []Text
	for i := len(listed) - 1; i >= 0; i-- { // newest first in the list
		m := listed[i]
		t := Text{ID: word(m.Sid), From: word(m.From), Body: clean(word(m.Body)), At: sentAt(m)}
		if word(m.Direction) != "inbound" || !messageSID.MatchString(t.ID) || !phone.MatchString(t.From) || word(m.To) != c.account.From {
			continue
		}
		t.Act = act("", t.Body)
		if n := word(m.NumMedia); n != "" && n != "0" {
			if t.Media, err = c.mediaLinks(ctx, t.ID); err != nil {
				return nil, err
			}
		}
		all = append(all, t)
	}
	return all, nil
}

// SentBefore looks for a text of ours that an earlier, unanswered try did send.
func (c *Client) SentBefore(ctx context.Context, to, body string, first time.Time) (id string, found bool, err error) {
	const clocks = time.Minute // ours and the provider's may differ
	listed, err := c.list(ctx, (&api.ListMessageParams{}).SetTo(to).SetFrom(c.account.From), first.Add(-clocks))
	if err != nil {
		return "", false, err
	}
	for _, m := range listed {
		if word(m.Body) == body && messageSID.MatchString(word(m.Sid)) && !createdAt(m).Before(first.Add(-clocks)) {
			return *m.Sid, true, nil
		}
	}
	return "", false, nil
}

func (c *Client) list(ctx context.Context, p *api.ListMessageParams, after time.Time) ([]api.ApiV2010Message, error) {
	t := &trip{ctx: ctx, base: c.base, next: c.next}
	p.SetDateSentAfter(after.UTC()).SetPageSize(pageSize)
	listed, err := c.service(t).ListMessage(p)
	if err != nil {
		return nil, fmt.Errorf("list texts: %w", t.sendError(err))
	}
	return listed, nil
}

// mediaLinks are the links of a text's media, as the webhook would name them.
func (c *Client) mediaLinks(ctx context.Context, id string) ([]string, error) {
	t := &trip{ctx: ctx, base: c.base, next: c.next}
	listed, err := c.service(t).ListMedia(id, &api.ListMediaParams{})
	if err != nil {
		return nil, fmt.Errorf("list media of %s: %w", id, t.sendError(err))
	}
	var links []string
	for _, m := range listed {
		links = append(links, c.base.JoinPath(strings.TrimSuffix(word(m.Uri), ".json")).String())
	}
	return links, nil
}

func word(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

// sentAt is when a text came, else when it was made; zero when neither is told.
func sentAt(m api.ApiV2010Message) time.Time {
	if at, err := time.Parse(time.RFC1123Z, word(m.DateSent)); err == nil {
		return at.UTC()
	}
	return createdAt(m)
}

func createdAt(m api.ApiV2010Message) time.Time {
	at, err := time.Parse(time.RFC1123Z, word(m.DateCreated))
	if err != nil {
		return time.Time{}
	}
	return at.UTC()
}

// CatchUp records what came while nobody listened: at start and every few minutes.
// What is known already changes nothing.
func (d *Deliverer) CatchUp(ctx context.Context) (missed int, err error) {
	now := d.Now().UTC()
	from, err := d.caughtUpTo(ctx, now)
	if err != nil {
		return 0, err
	}
	texts, err := d.Client.Since(ctx, from)
	if err != nil {
		return 0, err
	}
	for _, t := range texts {
		if t.At.IsZero() {
			t.At = now
		}
		seen, err := d.Line.Receive(ctx, t)
		if err != nil {
			return missed, fmt.Errorf("catch up on %s: %w", t.ID, err)
		}
		if !seen {
			missed++
		}
	}
	return missed, d.Line.Store.Update(ctx, func(t caselog.Tx) error {
		return t.SaveNote(caughtUpNote, now.Format(time.RFC3339))
	})
}

const caughtUpNote = "sms/caught-up"

// caughtUpTo is the last time of all, less an hour: the provider's list may lag. A
// new casebook looks back an hour only.
func (d *Deliverer) caughtUpTo(ctx context.Context, now time.Time) (at time.Time, err error) {
	at = now
	err = d.Line.Store.View(ctx, func(t caselog.Tx) error {
		text, err := t.Note(caughtUpNote)
		if err != nil || text == "" {
			return err
		}
		at, err = time.Parse(time.RFC3339, text)
		return err
	})
	return at.Add(-time.Hour), err
}

// catchUpEvery bounds how late a message is when its webhook was lost.
const catchUpEvery = 3 * time.Minute

// KeepUp catches up until the context ends; trouble is logged and tried again.
func (d *Deliverer) KeepUp(ctx context.Context) {
	tick := time.NewTicker(catchUpEvery)
	defer tick.Stop()
	for {
		switch missed, err := d.CatchUp(ctx); {
		case err != nil && ctx.Err() == nil:
			d.Line.Log.Error("catching up on texts", "err", err)
		case missed > 0:
			d.Line.Log.Warn("caught up on texts that never reached the webhook", "count", missed)
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}
