// Package bot is the loop: find the case of a message, step it, append what came
// of it, and hand the answer to the outside it came from.
package bot

import (
	"context"
	"fmt"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
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
}

// Handle records a message with everything that came of it, then returns what to
// say. A message that was seen before changes nothing; its text is "".
func (b *Bot) Handle(ctx context.Context, in caselog.Inbound) (text string, err error) {
	_, err = b.Store.Receive(ctx, in, func(t caselog.Tx) error {
		h := &handling{bot: b, helper: b.Helper(), tx: t, in: in}
		if h.person, err = t.Person(in.Person); err != nil {
			return err
		}
		if err := h.message(in.Text); err != nil {
			return err
		}
		text = h.text
		return t.SavePerson(h.person)
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
	tx     caselog.Tx
	in     caselog.Inbound
	person caselog.Person
	text   string
}

// message does a word or files a message.
func (h *handling) message(text string) error {
	if word, rest, ok := talk.Word(text); ok {
		return h.word(word, rest)
	}
	if h.person.Holding != "" {
		return h.say(talk.Answer{Notice: []string{"Same job, or a new one? Type same or new."}}, nil)
	}
	return h.file(text)
}

const quietSpell = 12 * time.Hour

// file finds the case of a message and steps it.
func (h *handling) file(text string) error {
	m := h.helper.Reader.Read(text, talk.ContextOf(h.person))
	c, named, err := h.findCase(m.Facts)
	if err != nil {
		return err
	}
	if c == nil {
		if !talk.Opens(m) {
			return h.say(talk.Chat(m), nil)
		}
		return h.open(text, m.Facts)
	}
	if !named && h.in.At.Sub(c.Head.LastAt) > quietSpell && talk.Opens(m) {
		h.person.Holding = text
		return h.say(talk.Answer{Notice: []string{fmt.Sprintf("Same job as case %s%s? Type same or new.", c.Head.Number, placeOf(c.Head))}}, nil)
	}
	return h.step(c, text)
}

func placeOf(c caselog.Case) string {
	if c.Unit == "" && c.Site == "" {
		return ""
	}
	return " (" + talk.Where(c.Unit, c.Site) + ")"
}

// findCase is the case that a message names, or its sender's current one. nil: a
// new one. named: the message itself said which.
func (h *handling) findCase(f vocab.Facts) (c *talk.Case, named bool, err error) {
	n := h.person.Current
	if text := f[vocab.Case]; text != "" {
		if n, err = casenumber.Parse(text); err != nil {
			return nil, false, err
		}
		named = true
	}
	if h.person.Wants == "new" && !named {
		return nil, false, nil
	}
	if n == 0 {
		return nil, false, nil
	}
	head, err := h.tx.Case(n)
	if err != nil {
		return nil, false, err
	}
	if !head.Closed.IsZero() && !named {
		return nil, false, nil
	}
	if u := f[vocab.Unit]; u != "" && head.Unit != "" {
		named = named || talk.SameName(u, head.Unit)
	}
	c, err = h.load(head)
	return c, named, err
}

func (h *handling) load(head caselog.Case) (*talk.Case, error) {
	entries, err := h.tx.Entries(head.Number)
	if err != nil {
		return nil, err
	}
	return &talk.Case{Head: head, Entries: entries}, nil
}

// open starts a case with its first message.
func (h *handling) open(text string, f vocab.Facts) error {
	head := caselog.Case{Opened: h.in.At, LastAt: h.in.At, OpenedBy: h.in.Person, Site: f[vocab.Site], Unit: f[vocab.Unit], Refrigerant: f[vocab.Refrigerant]}
	c := &talk.Case{}
	if head.Unit != "" {
		for e, err := range h.tx.Find(caselog.Filter{Unit: head.Unit, Site: head.Site}) {
			if err != nil {
				return err
			}
			c.Earlier = append(c.Earlier, e)
		}
	}
	n, err := h.tx.Open(head)
	if err != nil {
		return err
	}
	head.Number = n
	c.Head, h.person.Current, h.person.Wants = head, n, ""
	return h.step(c, text)
}

// step files a message on a case and keeps the answer there.
func (h *handling) step(c *talk.Case, text string) error {
	in := h.in
	in.Text = text
	turn, err := h.helper.Step(c, in, h.person)
	if err != nil {
		return err
	}
	h.person.Current, h.person.Asked, h.person.Holding = c.Head.Number, turn.Asked, ""
	updateHead(&c.Head, turn.Read.Facts, in.At)
	if err := h.tx.SaveCase(c.Head); err != nil {
		return err
	}
	return h.say(turn.Answer, turn.Entries)
}

func updateHead(head *caselog.Case, f vocab.Facts, at time.Time) {
	head.LastAt = at
	for fact, to := range map[vocab.Fact]*string{vocab.Site: &head.Site, vocab.Unit: &head.Unit, vocab.Refrigerant: &head.Refrigerant} {
		if v := f[fact]; v != "" {
			*to = v
		}
	}
}

// say keeps the entries and the reply on the case, then hands the text out.
func (h *handling) say(a talk.Answer, entries []caselog.Entry) error {
	h.text = h.bot.Render(h.in.Source, a)
	if a.Case == "" {
		return nil
	}
	n, err := casenumber.Parse(a.Case)
	if err != nil {
		return err
	}
	entries = append(entries, caselog.Entry{At: h.in.At, Kind: caselog.KindReply, By: "coldcase", Channel: h.in.Source, Text: h.text})
	return h.tx.Append(n, entries)
}
