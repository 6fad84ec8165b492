package team

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/slack-go/slack"

	"coldcase/bot/caselog"
	"coldcase/bot/reply"
	"coldcase/bot/talk"
)

// open reads a case for its card or a line.
func (t *Team) open(ctx context.Context, n caselog.Number) (head caselog.Case, entries []caselog.Entry, link, shown string, err error) {
	err = t.Store.View(ctx, func(tx caselog.Tx) error {
		if head, err = tx.Case(n); err != nil {
			return err
		}
		if entries, err = tx.Entries(n); err != nil {
			return err
		}
		if shown, err = tx.Note(cardNote(n)); err != nil || t.Link == nil {
			return err
		}
		link, err = t.Link(tx, n)
		return err
	})
	return head, entries, link, shown, err
}

// cardNote keeps what a card says, so that one that would say the same is not sent:
// many entries at once make one update.
func cardNote(n caselog.Number) string { return "slack/card/" + n.String() }

// card opens the thread of a case, or brings its card up to date.
func (t *Team) card(ctx context.Context, o caselog.Outgoing) (also func(caselog.Tx) error, posted bool, err error) {
	var row cardRow
	if err := payloadOf(o, &row); err != nil {
		return nil, false, err
	}
	head, entries, link, shown, err := t.open(ctx, row.Case)
	if err != nil {
		return nil, false, err
	}
	c := cardOf(head, entries)
	c.Opened = c.Opened.In(t.zone())
	digest, err := digestOf(c.Blocks()) // without the link: each is good for another while
	c.Link = link
	m := message{text: c.Plain(), blocks: c.Blocks()}
	if err != nil || head.Thread != "" && digest == shown {
		return nil, false, err
	}
	channel, ts, _ := strings.Cut(head.Thread, "/")
	if head.Thread == "" {
		channel = t.Account.Channel
		if ts, err = t.once(ctx, o, channel, "", m); err != nil {
			return nil, false, err
		}
		return t.offering(row.Case, opened(row.Case, channel+"/"+ts, digest)), true, nil
	}
	if err := t.update(ctx, channel, ts, m); err != nil {
		return nil, false, err
	}
	return t.offering(row.Case, func(tx caselog.Tx) error { return tx.SaveNote(cardNote(row.Case), digest) }), true, nil
}

// offering keeps that a card was shown, and then what it has to show besides.
func (t *Team) offering(n caselog.Number, kept func(caselog.Tx) error) func(caselog.Tx) error {
	return func(tx caselog.Tx) error {
		if err := kept(tx); err != nil {
			return err
		}
		return t.offer(tx, n)
	}
}

func digestOf(blocks []slack.Block) (string, error) {
	text, err := json.Marshal(blocks)
	if err != nil {
		return "", fmt.Errorf("card: %w", err)
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8]), nil
}

func opened(n caselog.Number, thread, digest string) func(caselog.Tx) error {
	return func(tx caselog.Tx) error {
		head, err := tx.Case(n)
		if err != nil {
			return err
		}
		head.Thread = thread
		if err := tx.SaveCase(head); err != nil {
			return err
		}
		return tx.SaveNote(cardNote(n), digest)
	}
}

// update changes the card. One that somebody took away stays away; its thread goes
// on without it.
func (t *Team) update(ctx context.Context, channel, ts string, m message) error {
	_, _, _, err := t.client.UpdateMessageContext(ctx, channel, ts, m.options()[:2]...)
	switch codeOf(err) {
	case "message_not_found", "cant_update_message", "edit_window_closed":
		t.Log.Warn("a card can't be changed any more", "channel", channel, "ts", ts, "err", err)
		return nil
	}
	if err != nil {
		return fmt.Errorf("update a card: %w", err)
	}
	return nil
}

// errNoThread: the card was given up, so its lines have no place.
var errNoThread = errors.New("the case has no thread")

// line shows one entry in the thread of its case.
func (t *Team) line(ctx context.Context, o caselog.Outgoing) (also func(caselog.Tx) error, posted bool, err error) {
	var row lineRow
	if err := payloadOf(o, &row); err != nil {
		return nil, false, err
	}
	head, entries, _, _, err := t.open(ctx, row.Case)
	if err != nil {
		return nil, false, err
	}
	i := slices.IndexFunc(entries, func(e caselog.Entry) bool { return e.Seq == row.Seq })
	if i < 0 || head.Thread == "" {
		return nil, false, &GivenUp{Err: errNoThread}
	}
	channel, thread, _ := strings.Cut(head.Thread, "/")
	e := entries[i]
	if e.Kind == caselog.KindPhoto {
		return nil, true, t.showPhoto(ctx, o, channel, thread, e)
	}
	m := messageOf(e)
	m.alarm = row.Alarm
	_, err = t.once(ctx, o, channel, thread, m)
	return nil, true, err
}

// messageOf says an entry of a case.
func messageOf(e caselog.Entry) message {
	if e.Kind == caselog.KindMessage {
		return message{text: Escape(cut(e.By+": "+e.Text, mostPlain)), blocks: typedBlocks(e.By+way(e), e.Text)}
	}
	lines := linesOf(reply.SaidLine, strings.Split(e.Text, "\n"))
	var a talk.Answer
	if len(e.Body) > 0 && json.Unmarshal(e.Body, &a) == nil {
		if said := reply.Lines(a); len(said) > 0 && e.Kind == caselog.KindReply {
			lines = said
		}
	}
	return message{text: plain(lines), blocks: sections(lines)}
}

// way is how a message came, where that is not plain.
func way(e caselog.Entry) string {
	switch e.Channel {
	case "sms":
		return " by text"
	case Source:
		if strings.HasPrefix(e.ProviderID, "D") {
			return " in a direct message"
		}
		return ""
	case "":
		return ""
	}
	return " by " + e.Channel
}

// speak says what is not on a case, or not as an entry.
func (t *Team) speak(ctx context.Context, o caselog.Outgoing) (also func(caselog.Tx) error, posted bool, err error) {
	var s speech
	if err := payloadOf(o, &s); err != nil {
		return nil, false, err
	}
	channel, thread := strings.TrimPrefix(o.Dest, destChat), s.Thread
	if s.Case != 0 && thread == "" {
		head, _, _, _, err := t.open(ctx, s.Case)
		if err != nil {
			return nil, false, err
		}
		if head.Thread != "" {
			channel, thread, _ = strings.Cut(head.Thread, "/")
		}
	}
	m := s.message()
	if s.User != "" {
		return nil, true, t.whisper(ctx, o, channel, s, m)
	}
	_, err = t.once(ctx, o, channel, thread, m)
	return nil, true, err
}

// whisper shows words to one person in a channel; where that can't be, directly.
func (t *Team) whisper(ctx context.Context, o caselog.Outgoing, channel string, s speech, m message) error {
	options := m.options()
	if s.Thread != "" {
		options = append(options, slack.MsgOptionTS(s.Thread))
	}
	_, err := t.client.PostEphemeralContext(ctx, channel, s.User, options...)
	switch codeOf(err) {
	case "":
		return err
	case "channel_not_found", "not_in_channel", "user_not_in_channel", "is_archived":
		_, err = t.once(ctx, o, s.User, "", m)
	}
	return err
}

func (s speech) message() message {
	most := mostMessage
	if s.Typed != "" {
		most -= mostTyped
	}
	m := message{text: plain(s.Lines), blocks: sectionsWithin(s.Lines, most), alarm: s.Alarm}
	if s.Typed != "" {
		m.blocks = append(m.blocks, preformatted(s.Typed))
	}
	if len(s.Button) > 0 {
		m.blocks = append(m.blocks, s.buttons())
	}
	if s.Menu != nil {
		m.blocks = append(m.blocks, s.Menu.block())
	}
	return m
}

// mostTyped is how much is shown of text letter for letter.
const mostTyped = mostMessage / 2

// preformatted shows text letter for letter, such as a mistake under its line.
func preformatted(text string) slack.Block {
	return slack.NewRichTextBlock("", &slack.RichTextPreformatted{
		Type:     slack.RTEPreformatted,
		Elements: []slack.RichTextSectionElement{slack.NewRichTextSectionTextElement(cut(text, mostTyped), nil)},
	})
}

func (s speech) buttons() slack.Block {
	var all []slack.BlockElement
	for _, b := range s.Button {
		e := slack.NewButtonBlockElement(b.Action, b.Value, slack.NewTextBlockObject(slack.PlainTextType, b.Text, false, false))
		if b.Main {
			e = e.WithStyle(slack.StylePrimary)
		}
		all = append(all, e)
	}
	return slack.NewActionBlock("", all...)
}

func (m menu) block() slack.Block {
	var options []*slack.OptionBlockObject
	for i, c := range m.Choices {
		if i == mostOptions {
			break
		}
		options = append(options, slack.NewOptionBlockObject(cut(c.Value, mostOption), slack.NewTextBlockObject(slack.PlainTextType, cut(c.Text, mostOption), false, false), nil))
	}
	prompt := slack.NewTextBlockObject(slack.PlainTextType, cut(m.Prompt, mostOption), false, false)
	return slack.NewActionBlock("", slack.NewOptionsSelectBlockElement(slack.OptTypeStatic, prompt, m.Action, options...))
}
