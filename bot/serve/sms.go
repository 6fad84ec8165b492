package serve

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/bot/inbox"
	"coldcase/bot/outbox"
	"coldcase/bot/sms"
	"coldcase/bot/team"
)

// SMS plugs the phone line in.
func (s *Server) SMS(a sms.Account, b *bot.Bot, people *crew.File) error {
	if err := a.Check(); err != nil {
		return err
	}
	count, err := sms.NewCounters(s.Metrics)
	if err != nil {
		return fmt.Errorf("metrics: %w", err)
	}
	client, err := sms.NewClient(a, nil)
	if err != nil {
		return err
	}
	line := &sms.Line{Store: b.Store, Crew: people.Now, Handle: b.HandleAnswer, Log: s.Log}
	if s.team != nil {
		line.Tell, s.team.Relay = team.Tell, line.Relay
	}
	d := &sms.Deliverer{Line: line, Client: client, Count: count, Now: time.Now}
	hook := &sms.Webhook{Account: a, Receive: line.Receive, Report: line.Report, Now: func() time.Time { return time.Now().UTC() }, Log: s.Log, Count: count}
	s.Route(hook.Routes)
	s.Ready("sms", d.Ready)
	for _, word := range []string{"sms", "sms-again", "media"} {
		s.carriers[word] = phoneLine{d}
	}
	s.Work((&inbox.CatchUp{
		Store: b.Store, Source: sms.Source, Clock: time.Now, Log: s.Log,
		List: func(ctx context.Context, since time.Time) ([]caselog.Inbound, error) {
			return missed(ctx, client, since)
		},
		Handle: func(ctx context.Context, in caselog.Inbound) error { return takeMissed(ctx, client, line, in) },
	}).Run)
	return s.watch(b.Store, people, s.reminding(people, line.Watch))
}

// missed lists the provider's texts in the form of the inbox; what only the line
// knows of a text travels in Form.
func missed(ctx context.Context, client *sms.Client, since time.Time) ([]caselog.Inbound, error) {
	texts, err := client.Since(ctx, since)
	if err != nil {
		return nil, err
	}
	var all []caselog.Inbound
	for _, t := range texts {
		form, err := json.Marshal(t)
		if err != nil {
			return nil, fmt.Errorf("text %s: %w", t.ID, err)
		}
		all = append(all, caselog.Inbound{Source: sms.Source, ID: t.ID, Text: t.Body, At: t.At, Form: form})
	}
	return all, nil
}

func takeMissed(ctx context.Context, client *sms.Client, line *sms.Line, in caselog.Inbound) error {
	var t sms.Text
	if err := json.Unmarshal(in.Form, &t); err != nil {
		return fmt.Errorf("text %s: %w", in.ID, err)
	}
	t, err := client.WithMedia(ctx, t)
	if err != nil {
		return err
	}
	seen, err := line.Receive(ctx, t)
	if err == nil && !seen {
		line.Log.Warn("a text that never reached the webhook was caught up", "message", t.ID)
	}
	return err
}

// phoneLine is the line as the outbox knows it.
type phoneLine struct{ d *sms.Deliverer }

func (p phoneLine) Send(ctx context.Context, o caselog.Outgoing) (outbox.Receipt, error) {
	also, err := p.d.Deliver(ctx, o)
	var gone *sms.GivenUp
	var wait *sms.SendError
	switch {
	case errors.As(err, &gone):
		return outbox.Receipt{}, &outbox.Permanent{Err: err}
	case errors.As(err, &wait):
		if after, counted := wait.RetryAfter(); !counted {
			return outbox.Receipt{}, &outbox.Delayed{After: after, Err: err}
		}
	}
	return outbox.Receipt{Also: also}, err
}

// OnDead says on the case why a row never went.
func (p phoneLine) OnDead(t caselog.Tx, o caselog.Outgoing, err error) error {
	var gone *sms.GivenUp
	if !errors.As(err, &gone) {
		return p.d.Expired(o)(t)
	}
	if gone.Also == nil {
		return nil
	}
	return gone.Also(t)
}
