package sms

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	api "github.com/twilio/twilio-go/rest/api/v2010"
)

// pageSize is the most that the provider lists at once.
const pageSize = 1000

// Since lists the texts that came to our number after a time, oldest first. Which
// media they have is asked for by WithMedia: most of them are known already.
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
		t.Unlisted = word(m.NumMedia) != "" && word(m.NumMedia) != "0"
		all = append(all, t)
	}
	return all, nil
}

// WithMedia is a listed text with the links of its media.
func (c *Client) WithMedia(ctx context.Context, t Text) (Text, error) {
	if !t.Unlisted {
		return t, nil
	}
	links, err := c.mediaLinks(ctx, t.ID)
	t.Media, t.Unlisted = links, false
	return t, err
}

// SentBefore looks for texts of ours that an earlier, unanswered try may have sent:
// the ids of all with these words, oldest first.
func (c *Client) SentBefore(ctx context.Context, to, body string, first time.Time) (ids []string, err error) {
	const clocks = time.Minute // ours and the provider's may differ
	listed, err := c.list(ctx, (&api.ListMessageParams{}).SetTo(to).SetFrom(c.account.From), first.Add(-clocks))
	if err != nil {
		return nil, err
	}
	for _, m := range slices.Backward(listed) {
		if word(m.Body) == body && messageSID.MatchString(word(m.Sid)) && !createdAt(m).Before(first.Add(-clocks)) {
			ids = append(ids, *m.Sid)
		}
	}
	return ids, nil
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
