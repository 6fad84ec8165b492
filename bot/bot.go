// Package bot is the loop: find the case of a message, step it, append what came
// of it, and hand the answer to the outside it came from.
package bot

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"coldcase/bot/caselog"
	"coldcase/bot/talk"
	"coldcase/refdata/vocab"
)

// Bot answers messages on a store.
type Bot struct {
	Store  caselog.Store
	Helper func() *talk.Helper // the words and rules in force
	// Render writes an answer for the outside that a message came from; its text is
	// kept on the case before it is shown.
	Render func(source string, a talk.Answer) string
	// Lead tells who may close another person's case; nil lets everybody.
	Lead func(person string) bool
	// Link is the address of a case's page; nil where no pages are shown.
	Link func(caselog.Tx, caselog.Number) (string, error)
	// Pictures are the drawings that a case has, in the units that somebody chose; nil
	// where none are drawn.
	Pictures func(t caselog.Tx, n caselog.Number, metric *bool) ([]talk.Picture, error)
}

// Handle records a message with everything that came of it, then returns what to
// say. A message that was seen before changes nothing; its text is "".
func (b *Bot) Handle(ctx context.Context, in caselog.Inbound) (text string, err error) {
	typed := talk.Incoming{By: in.Person, Channel: in.Source, ProviderID: in.ID, Text: in.Text, At: in.At, Lead: b.Lead == nil || b.Lead(in.Person)}
	in.Text = talk.Fit(in.Text)
	_, err = b.Store.Receive(ctx, in, func(t caselog.Tx) error {
		h := handling{bot: b, helper: b.Helper(), shelf: shelf{t}, in: typed, thread: in.Thread, overheard: in.Overheard}
		text, err = h.answer()
		return err
	})
	if err != nil {
		return "", fmt.Errorf("message %s: %w", in.ID, err)
	}
	return text, nil
}

// handling is one message on its way.
type handling struct {
	bot    *Bot
	helper *talk.Helper
	shelf  shelf
	in     talk.Incoming

	thread    string // of the team chat that it was written in
	overheard bool   // said to others there
}

func (h *handling) answer() (string, error) {
	if h.thread != "" {
		n, err := h.shelf.tx.CaseOfThread(h.thread)
		if err == nil {
			return h.inThread(n)
		}
		if !errors.Is(err, caselog.ErrNoCase) {
			return "", err
		}
	}
	p, err := h.shelf.person(h.in.By)
	if err != nil {
		return "", err
	}
	c, err := h.shelf.load(p.Current)
	if err != nil {
		return "", err
	}
	req, err := h.helper.Understand(c, p, h.in)
	if err != nil {
		return "", err
	}
	if h.overheard && req.Action == talk.File && req.Number == 0 && c.Open() && h.notForUs(req) {
		return "", h.note(c.Number)
	}
	return h.take(c, p, req, func(p talk.Person) talk.Person { return p })
}

// take does what was asked for and keeps it; kept is what is remembered of the
// sender after it.
func (h *handling) take(c talk.Case, p talk.Person, req talk.Request, kept func(talk.Person) talk.Person) (string, error) {
	c, req, err := h.caseFor(c, req)
	if err != nil {
		return "", err
	}
	earlier, err := h.earlier(c, req.Message.Facts)
	if err != nil {
		return "", err
	}
	turn, err := h.helper.Step(c, p, req, h.in, earlier)
	if err != nil {
		return "", err
	}
	turn.Person = kept(turn.Person)
	return h.keep(c, turn)
}

// caseFor takes the case that the request is for in hand: another one that it
// names, or a new one.
func (h *handling) caseFor(c talk.Case, req talk.Request) (talk.Case, talk.Request, error) {
	if req.Action == talk.Open || req.Action == talk.Restart {
		n, err := h.shelf.open(h.in)
		return talk.CaseOf(n, nil), req, err
	}
	if req.Number == 0 || req.Number == c.Number {
		return c, req, nil
	}
	other, err := h.shelf.load(req.Number)
	if errors.Is(err, caselog.ErrNoCase) {
		return c, req.NoSuchCase(), nil
	}
	return other, req, err
}

// earlier are the other cases of the unit that a message names.
func (h *handling) earlier(c talk.Case, f vocab.Facts) ([]string, error) {
	unit, site := f[vocab.Unit], f[vocab.Site]
	if unit == "" && site == "" {
		return nil, nil
	}
	b, err := c.Record()
	if err != nil {
		return nil, err
	}
	if unit == "" {
		unit = b.Record().Facts[vocab.Unit]
	}
	if site == "" {
		site = b.Record().Facts[vocab.Site]
	}
	return h.shelf.earlier(c.Number, unit, site)
}

// page tells where the page of a case is.
func (h *handling) page(c talk.Case) (string, error) {
	if h.bot.Link == nil {
		return "No case pages are shown here.", nil
	}
	at, err := h.bot.Link(h.shelf.tx, c.Number)
	if err != nil {
		return "", err
	}
	return "Its page: " + at, nil
}

// draw puts the pictures of a case into an answer, with what they show in words.
func (h *handling) draw(c talk.Case, turn *talk.Turn) error {
	if h.bot.Pictures == nil {
		turn.Answer.Said = append(turn.Answer.Said, "No pictures are drawn here.")
		return nil
	}
	all, err := h.bot.Pictures(h.shelf.tx, c.Number, turn.Person.Metric)
	if err != nil {
		return err
	}
	if len(all) == 0 {
		turn.Answer.Said = append(turn.Answer.Said, "Nothing to draw yet: the cycle needs the refrigerant and a pressure, a trend the same reading on two visits.")
		return nil
	}
	fetched := true
	for _, p := range all {
		turn.Answer.Said = append(turn.Answer.Said, p.Words)
		fetched = fetched && p.Address != ""
	}
	turn.Answer.Pictures = all
	if fetched || h.bot.Link == nil {
		return nil
	}
	where, err := h.page(c)
	turn.Answer.Said = append(turn.Answer.Said, where)
	return err
}

// keep appends the entries and the reply, and remembers the sender.
func (h *handling) keep(c talk.Case, turn talk.Turn) (string, error) {
	if turn.Answer.Page {
		where, err := h.page(c)
		if err != nil {
			return "", err
		}
		turn.Answer.Said = append(turn.Answer.Said, where)
	}
	if turn.Answer.Draw {
		turn.Answer.Draw = false // once
		if err := h.draw(c, &turn); err != nil {
			return "", err
		}
	}
	text := h.bot.Render(h.in.Channel, turn.Answer)
	if len(turn.Entries) > 0 {
		body, err := json.Marshal(turn.Answer)
		if err != nil {
			return "", fmt.Errorf("keep the answer: %w", err)
		}
		reply := caselog.Entry{At: h.in.At, Kind: caselog.KindReply, By: "coldcase", Channel: h.in.Channel, Text: text, Body: body}
		if err := h.shelf.append(c.Number, append(turn.Entries, reply), turn, h.in.At); err != nil {
			return "", err
		}
		c.Entries = slices.Concat(c.Entries, turn.Entries)
		if err := h.shelf.followUps(c, turn.Person.Name); err != nil {
			return "", err
		}
	}
	return text, h.shelf.remember(turn.Person)
}
