package team

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/bot/reply"
	"coldcase/bot/talk"
)

// heard is one thing that came in, with who it is from.
type heard struct {
	id        string // in the record
	who       crew.Person
	typed     string
	at        time.Time
	channel   string
	thread    string // ts of the root, "" outside threads
	under     string // ts that an answer outside a case's thread stands under; "" in a direct message
	ephemeral bool   // the answer is for the writer alone
	addressed bool   // said to us
	files     []File
}

func (h heard) threadKey() string {
	if h.thread == "" {
		return ""
	}
	return h.channel + "/" + h.thread
}

// post works on something written.
func (t *Team) post(ctx context.Context, p Post) error {
	us, err := t.user(ctx)
	if err != nil {
		return err
	}
	if p.User == us {
		return nil
	}
	text, named := addressed(p.Text, us)
	h := heard{id: p.Key(), typed: strings.TrimSpace(Typed(text)), at: p.At(), channel: p.Channel, thread: p.Thread, addressed: named || p.DM, files: p.Files}
	if h.under = p.Thread; h.under == "" && !p.DM {
		h.under = p.TS
	}
	n, err := t.caseOf(ctx, h.threadKey())
	if err != nil {
		return err
	}
	file := ruleFile(p.Files)
	if !h.addressed && n == 0 && (file == nil || p.Channel != t.Account.Channel) {
		return nil // people among themselves
	}
	var known bool
	if h.who, known = t.people().ByChat(p.User); !known {
		return t.stranger(ctx, h, p.User)
	}
	if file != nil {
		return t.ruleFileCame(ctx, h, *file)
	}
	if h.addressed {
		if done, err := t.ownWord(ctx, h); done || err != nil {
			return err
		}
	}
	return t.conversation(ctx, h, n)
}

// caseOf is the case of a thread, 0 when it is none's.
func (t *Team) caseOf(ctx context.Context, thread string) (n caselog.Number, err error) {
	if thread == "" {
		return 0, nil
	}
	err = t.Store.View(ctx, func(tx caselog.Tx) error {
		n, err = tx.CaseOfThread(thread)
		return err
	})
	if errors.Is(err, caselog.ErrNoCase) {
		return 0, nil
	}
	return n, err
}

func (h heard) inbound() caselog.Inbound {
	return caselog.Inbound{Source: Source, ID: h.id, Person: h.who.Name, Text: h.typed, At: h.at, Thread: h.threadKey(), Overheard: !h.addressed}
}

// conversation hands words to the loop; n is the case of the thread.
func (t *Team) conversation(ctx context.Context, h heard, n caselog.Number) error {
	if h.typed == "" && len(h.files) > 0 {
		return t.wordless(ctx, h, n)
	}
	_, err := t.Handle(ctx, h.inbound(), func(tx caselog.Tx, a talk.Answer, text string) error {
		if n == 0 {
			p, err := tx.Person(h.who.Name)
			if err != nil {
				return err
			}
			return errors.Join(t.queuePhotos(tx, h, p.Current), t.answer(tx, h, a, text), t.queueDrawings(tx, h, a))
		}
		if err := t.queuePhotos(tx, h, n); err != nil {
			return err
		}
		if err := t.relay(tx, h, n, a, text); err != nil {
			return err
		}
		if m, ok := tx.(*mirrored); ok && m.answered(n) {
			return nil // it is on the case, and so in its thread
		}
		return t.answer(tx, h, a, text)
	})
	if err != nil && ctx.Err() == nil && !errors.Is(err, caselog.ErrAway) {
		return t.broke(ctx, h, n, err)
	}
	return err
}

// broke keeps words that our end could not work on, and says so.
func (t *Team) broke(ctx context.Context, h heard, n caselog.Number, cause error) error {
	err := t.only(ctx, h, func(tx caselog.Tx) (speech, error) {
		if n == 0 {
			return saying("Our end broke on that and it was not worked on. Send it again in other words."), nil
		}
		note := caselog.Entry{At: h.at, Kind: caselog.KindReply, By: us, Channel: Source, Text: "Could not be worked on: " + h.typed}
		return saying("Our end broke. Your words are kept but were not worked on. Send them again in other words."), tx.Append(n, []caselog.Entry{note})
	})
	if err != nil {
		return errors.Join(cause, err)
	}
	t.Log.Error("team chat: words could not be worked on; they are kept", "id", h.id, "err", cause)
	return nil
}

// answer queues what is said where it was asked.
func (t *Team) answer(tx caselog.Tx, h heard, a talk.Answer, text string) error {
	if text == "" {
		return nil
	}
	return t.say(tx, h, speech{Lines: reply.Lines(a)})
}

// say queues words for whoever is heard.
func (t *Team) say(tx caselog.Tx, h heard, s speech) error {
	s.Thread = h.under
	if h.ephemeral {
		s.User, s.Thread = h.who.Chat, h.thread
	}
	return t.queueSpeech(tx, h.channel, "slack/say/"+h.id, s)
}

func (t *Team) queueSpeech(tx caselog.Tx, channel, idem string, s speech) error {
	payload, err := asText(s)
	if err != nil {
		return err
	}
	return tx.Enqueue(caselog.Outgoing{Dest: destChat + channel, Kind: kindSay, Payload: payload, Idem: idem, Case: s.Case})
}

// only answers with words of ours and records it once.
func (t *Team) only(ctx context.Context, h heard, work func(caselog.Tx) (speech, error)) error {
	in := h.inbound()
	in.Text = "" // no message for a case
	_, err := t.Store.Receive(ctx, in, func(tx caselog.Tx) error {
		s, err := work(tx)
		if err != nil || len(s.Lines) == 0 {
			return err
		}
		return t.say(tx, h, s)
	})
	return err
}

// saying is a speech of plain lines.
func saying(lines ...string) speech {
	var s speech
	for _, l := range lines {
		s.Lines = append(s.Lines, reply.Line{Kind: reply.SaidLine, Text: l})
	}
	return s
}

// refusalEvery is how long a stranger waits for the next refusal.
const refusalEvery = 24 * time.Hour

// stranger refuses somebody who is not on the crew list, at most once a day and for
// their eyes alone. Nothing is kept and nothing passed on.
func (t *Team) stranger(ctx context.Context, h heard, user string) error {
	h.who = crew.Person{Chat: user}
	h.ephemeral = h.under != ""
	note := "slack/refused/" + user
	return t.only(ctx, h, func(tx caselog.Tx) (speech, error) {
		last, err := tx.Note(note)
		if err != nil {
			return speech{}, err
		}
		if at, err := time.Parse(time.RFC3339, last); err == nil && h.at.Sub(at) < refusalEvery {
			return speech{}, nil
		}
		if err := tx.SaveNote(note, h.at.UTC().Format(time.RFC3339)); err != nil {
			return speech{}, err
		}
		return saying("You are not on the crew list: that was neither kept nor passed on. A lead can add you by writing to me: add NAME @you +15550100 tech"), nil
	})
}

// edit notes that something was changed or taken away: what was read of it stands.
func (t *Team) edit(ctx context.Context, e Edit) error {
	who, known := t.people().ByChat(e.Post.User)
	n, err := t.caseOf(ctx, e.Post.ThreadKey())
	if err != nil || n == 0 || !known {
		return err
	}
	text := who.Name + " took a message away: “" + short(Typed(e.Before)) + "”. It stays on record."
	if e.Post.Text != "" {
		text = who.Name + " changed a message to “" + short(Typed(e.Post.Text)) + "”. What was read of it first stands; undo takes it back."
	}
	in := caselog.Inbound{Source: Source, ID: "edit/" + e.Post.Key() + "/" + e.EventTS, Person: who.Name, At: timeOf(e.EventTS)}
	_, err = t.Store.Receive(ctx, in, func(tx caselog.Tx) error {
		return tx.Append(n, []caselog.Entry{{At: in.At, Kind: caselog.KindReply, By: us, Channel: Source, Text: text}})
	})
	return err
}

const us = "coldcase" // who our entries are by

// short is a text in one line of bearable length.
func short(text string) string {
	const most = 120
	words := []rune(strings.Join(strings.Fields(text), " "))
	if len(words) > most {
		return string(words[:most]) + "…"
	}
	return string(words)
}

// work does a row that came in.
func (t *Team) work(ctx context.Context, o caselog.Outgoing) error {
	switch o.Kind {
	case kindPost:
		return working(ctx, o, t.post)
	case kindEdit:
		return working(ctx, o, t.edit)
	case kindPress:
		return working(ctx, o, t.pressed)
	}
	return fmt.Errorf("outbox row %d: kind %q", o.ID, o.Kind)
}

func working[T any](ctx context.Context, o caselog.Outgoing, do func(context.Context, T) error) error {
	var what T
	if err := json.Unmarshal([]byte(o.Payload), &what); err != nil {
		return &GivenUp{Err: fmt.Errorf("outbox row %d: %w", o.ID, err)}
	}
	return do(ctx, what)
}
