package sms

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/bot/talk"
	"coldcase/refdata/carrier"
)

// Source is the line's name in the record.
const Source = "sms"

// Kinds of what the line puts into the outbox, and where it is bound for.
const (
	KindText    = "text"    // a text to a phone: dest sms:+15550100
	KindPicture = "picture" // a picture to be fetched: dest media:SM…
	destText    = "sms:"
	destAgain   = "sms-again:" // tries to a phone that was out of reach hold nobody up
	destPicture = "media:"
)

// Line is the phone line on a casebook.
type Line struct {
	Store caselog.Store
	Crew  func() (crew.Crew, error)
	// Handle answers a message and runs then, with what to say, in its transaction.
	Handle func(ctx context.Context, in caselog.Inbound, then func(t caselog.Tx, a talk.Answer, text string) error) (seen bool, err error)
	// Tell puts a line for the leads into the team's channel, in the same
	// transaction; nil when there is no team chat.
	Tell func(t caselog.Tx, n caselog.Number, text string) error
	Log  *slog.Logger
}

// outText is the payload of a text.
type outText struct {
	Body     string   `json:"body"`
	Pictures []string `json:"pictures,omitempty"` // public addresses; the provider fetches them
	Try      int      `json:"try,omitempty"`      // after how many reports that the phone was out of reach
}

// Receive records a text once, with all that comes of it.
func (l *Line) Receive(ctx context.Context, t Text) (seen bool, err error) {
	people, err := l.Crew()
	if err != nil {
		l.Log.Error("crew file not read; the last good one stays in force", "err", err)
	}
	who, known := people.ByPhone(t.From)
	in := caselog.Inbound{Source: Source, ID: t.ID, Person: who.Name, Text: t.Body, At: t.At}
	switch {
	case t.Act != carrier.ActNone:
		return l.word(ctx, in, t, known)
	case !known:
		return l.stranger(ctx, in, t)
	case t.Body == "":
		return l.wordless(ctx, in, t)
	}
	if in.Overheard, err = l.forTheTeam(ctx, who, t); err != nil {
		return false, err
	}
	seen, err = l.Handle(ctx, in, func(tx caselog.Tx, a talk.Answer, say string) error {
		if err := l.queuePictures(tx, who.Name, t); err != nil {
			return err
		}
		return l.say(tx, who.Name, t.From, "reply/"+t.ID, outText{Body: say, Pictures: addresses(a)})
	})
	if err != nil && ctx.Err() == nil && !errors.Is(err, caselog.ErrAway) {
		return l.broke(ctx, in, t, err)
	}
	return seen, err
}

// broke keeps a message that our end could not work on, and says so: else the
// provider would bring it again and again. When the casebook is away it is right that
// the message comes again. The words are kept as a line of ours, since reading them is
// what may have failed.
func (l *Line) broke(ctx context.Context, in caselog.Inbound, t Text, cause error) (seen bool, err error) {
	seen, err = l.Store.Receive(ctx, in, func(tx caselog.Tx) error {
		if err := l.queuePictures(tx, in.Person, t); err != nil {
			return err
		}
		n, err := openCase(tx, in.Person)
		if err != nil {
			return err
		}
		say := "Our end broke on that text and it was not worked on. Send it again in a minute, in other words."
		if n != 0 {
			say = "Our end broke. Your text is kept but was not worked on: case " + n.String() + ". Send it again in other words."
		}
		if err := l.note(tx, n, t.At, "Could not be worked on: "+t.Body); err != nil {
			return err
		}
		return l.say(tx, in.Person, t.From, "reply/"+t.ID, outText{Body: say})
	})
	if err != nil {
		return seen, errors.Join(cause, err)
	}
	l.Log.Error("a text could not be worked on; it is kept", "message", t.ID, "err", cause)
	return seen, nil
}

// say queues a text to a phone; to one that has opted out nothing is ever queued,
// and the case says so.
func (l *Line) say(t caselog.Tx, person, phone, idem string, what outText) error {
	if what.Body == "" {
		return nil
	}
	n, err := currentCase(t, person)
	if err != nil {
		return err
	}
	return l.sayOf(t, n, phone, idem, what)
}

// addresses are of an answer's pictures that the provider can fetch.
func addresses(a talk.Answer) []string {
	var all []string
	for _, p := range a.Pictures {
		if p.Address != "" {
			all = append(all, p.Address)
		}
	}
	return all
}

// sayOf queues a text about a case.
func (l *Line) sayOf(t caselog.Tx, n caselog.Number, phone, idem string, what outText) error {
	silent, err := t.Note(silentNote(phone))
	if err != nil {
		return err
	}
	if silent != "" {
		return l.note(t, n, time.Now(), "Not sent: "+crew.Mask(phone)+" has opted out with STOP. START lets texts through again.")
	}
	for i, piece := range pieces(what.Body) {
		one := outText{Body: piece}
		if i == 0 {
			one.Pictures = what.Pictures
		}
		payload, err := json.Marshal(one)
		if err != nil {
			return fmt.Errorf("queue a text: %w", err)
		}
		o := caselog.Outgoing{Dest: destText + phone, Kind: KindText, Payload: string(payload), Idem: idem, Case: n}
		if i > 0 {
			o.Idem += fmt.Sprintf("/%d", i+1)
		}
		if err := t.Enqueue(o); err != nil {
			return err
		}
	}
	return nil
}

// pieces cuts what is longer than one message takes, at line ends where it can.
func pieces(text string) []string {
	var all []string
	for rest := []rune(text); ; {
		if len(rest) <= maxText {
			return append(all, string(rest))
		}
		cut := maxText
		for i := maxText - 1; i > maxText/2; i-- {
			if rest[i] == '\n' {
				cut = i
				break
			}
		}
		all = append(all, strings.TrimSpace(string(rest[:cut])))
		rest = []rune(strings.TrimSpace(string(rest[cut:])))
	}
}

func currentCase(t caselog.Tx, person string) (caselog.Number, error) {
	if person == "" {
		return 0, nil
	}
	p, err := t.Person(person)
	return p.Current, err
}

// note puts a line of ours on a case, when there is one.
func (l *Line) note(t caselog.Tx, n caselog.Number, at time.Time, text string) error {
	if n == 0 {
		return nil
	}
	return t.Append(n, []caselog.Entry{{At: at, Kind: caselog.KindReply, By: "coldcase", Channel: Source, Text: text}})
}

// tell reaches the leads: team chat when there is one, and the log.
func (l *Line) tell(t caselog.Tx, n caselog.Number, text string) error {
	l.Log.Warn("phone line", "case", n.String(), "what", text)
	if l.Tell == nil {
		return nil
	}
	return l.Tell(t, n, text)
}

func silentNote(phone string) string  { return "sms/silent/" + phone }
func refusedNote(phone string) string { return "sms/refused/" + phone }

// word keeps what the carriers act on by themselves: nothing is answered, since a
// text after STOP fails and START and HELP have their answer already.
func (l *Line) word(ctx context.Context, in caselog.Inbound, t Text, known bool) (bool, error) {
	in.Person = personOr(in.Person, t.From)
	return l.Store.Receive(ctx, in, func(tx caselog.Tx) error {
		what := ""
		switch t.Act {
		case carrier.ActStop:
			what = "opted out with STOP: nothing is sent to " + crew.Mask(t.From) + " until it texts START."
			if err := tx.SaveNote(silentNote(t.From), t.At.UTC().Format(time.RFC3339)); err != nil {
				return err
			}
		case carrier.ActStart:
			what = "opted in again with START: texts go to " + crew.Mask(t.From) + " again."
			if err := tx.SaveNote(silentNote(t.From), ""); err != nil {
				return err
			}
		}
		if !known || what == "" {
			return nil
		}
		n, err := currentCase(tx, in.Person)
		if err != nil {
			return err
		}
		if err := l.note(tx, n, t.At, in.Person+" "+what); err != nil {
			return err
		}
		return l.tell(tx, n, in.Person+" "+what)
	})
}

// personOr keeps messages of one stranger in order, too.
func personOr(person, phone string) string {
	if person == "" {
		return phone
	}
	return person
}

// refusalEvery is how long a stranger waits for the next refusal.
const refusalEvery = 24 * time.Hour

// stranger refuses an unknown number at most once a day. No case is opened, and the
// words are not kept.
func (l *Line) stranger(ctx context.Context, in caselog.Inbound, t Text) (bool, error) {
	in.Person, in.Text = t.From, ""
	return l.Store.Receive(ctx, in, func(tx caselog.Tx) error {
		last, err := tx.Note(refusedNote(t.From))
		if err != nil {
			return err
		}
		if at, err := time.Parse(time.RFC3339, last); err == nil && t.At.Sub(at) < refusalEvery {
			return nil
		}
		if err := tx.SaveNote(refusedNote(t.From), t.At.UTC().Format(time.RFC3339)); err != nil {
			return err
		}
		return l.say(tx, "", t.From, "refusal/"+t.ID, outText{Body: "This line is for a service crew and your number is not on its list. A lead can add it."})
	})
}
