package team

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
	"coldcase/bot/reply"
)

// pressID begins the record's id of what was pressed; a post's is its channel and ts.
const pressID = "press/"

const minute = time.Minute

func timeOfMillis(ms int64) time.Time { return time.UnixMilli(ms).UTC() }

// pressed works on a button, a choice or the slash command.
func (t *Team) pressed(ctx context.Context, p Press) error {
	h := heard{id: pressID + p.ID, typed: strings.TrimSpace(Typed(p.Value)), at: timeOfMillis(p.At), channel: p.Channel, addressed: true}
	var known bool
	if h.who, known = t.people().ByChat(p.User); !known {
		h.under, h.thread = p.Channel, p.Thread
		return t.stranger(ctx, h, p.User)
	}
	h.ephemeral = true
	if p.Action == "" { // the slash command
		if done, err := t.ownWord(ctx, h); done || err != nil {
			return err
		}
		return t.conversation(ctx, h, 0)
	}
	h.thread = p.Thread
	n, err := t.caseOf(ctx, h.threadKey())
	if err == nil && n == 0 && ofACase(p.Action) {
		err = t.tooSoon(ctx, h.typed)
	}
	if err != nil {
		return err
	}
	switch p.Action {
	case actWhy, actPlan:
		h.typed = p.Action
		return t.onCase(ctx, h, n)
	case actCause:
		number, words, _ := strings.Cut(h.typed, " ")
		if of, wrong := casenumber.Parse(number); wrong != nil || of != n {
			n = 0 // a menu that lies in another thread
		}
		h.typed = "close " + words
		return t.onCase(ctx, h, n)
	case actTake:
		return t.take(ctx, h, n)
	case actClose:
		return t.askCause(ctx, h, n)
	}
	return t.rulePressed(ctx, h, p)
}

// ofACase: the button or choice names a case; those under rule files do not.
func ofACase(action string) bool {
	return slices.Contains([]string{actWhy, actPlan, actTake, actClose, actCause}, action)
}

// errTooSoon: the card stands in the channel and its thread is not on record yet, as
// when we were killed in between. The press is worked on once it is.
var errTooSoon = errors.New("the thread of the case is not on record yet")

// tooSoon looks whether the case that a button names has yet to get its thread.
func (t *Team) tooSoon(ctx context.Context, value string) error {
	number, _, _ := strings.Cut(value, " ")
	n, _ := casenumber.Parse(number) // 0, which no case has, for what is none
	return t.Store.View(ctx, func(tx caselog.Tx) error {
		switch head, err := tx.Case(n); {
		case errors.Is(err, caselog.ErrNoCase):
			return nil
		case err != nil:
			return err
		case head.Thread == "":
			return errTooSoon
		}
		return nil
	})
}

// onCase takes a press as the word that it stands for, typed in the case's thread.
func (t *Team) onCase(ctx context.Context, h heard, n caselog.Number) error {
	if n == 0 {
		return nil // a button outside a case's thread
	}
	return t.conversation(ctx, h, n)
}

// take makes a case the one in hand of who took it, and says so on it.
func (t *Team) take(ctx context.Context, h heard, n caselog.Number) error {
	if n == 0 {
		return nil
	}
	in := h.inbound()
	in.Text, in.Thread = "", ""
	_, err := t.Store.Receive(ctx, in, func(tx caselog.Tx) error {
		if err := t.TakeInHand(tx, h.who.Name, n, h.at); err != nil {
			return err
		}
		text := h.who.Name + " has taken case " + n.String() + "."
		body, err := asText(tookBody{Took: h.who.Name})
		if err != nil {
			return err
		}
		err = tx.Append(n, []caselog.Entry{{At: h.at, Kind: caselog.KindReply, By: us, Channel: Source, Text: text, Body: []byte(body)}})
		if err != nil || t.Relay == nil {
			return err
		}
		phones, err := t.phones(tx, n, h.who.Name)
		if err != nil {
			return err
		}
		for _, to := range phones {
			if err := t.Relay(tx, n, to, "relay/"+h.id+"/"+to.Name, reply.ToGSM(text), ""); err != nil {
				return err
			}
		}
		return nil
	})
	return err
}

// askCause shows the causes to close a case with, to whoever pressed.
func (t *Team) askCause(ctx context.Context, h heard, n caselog.Number) error {
	if n == 0 {
		return nil
	}
	return t.only(ctx, h, func(tx caselog.Tx) (speech, error) {
		entries, err := tx.Entries(n)
		if err != nil {
			return speech{}, err
		}
		s := saying("What was it? Pick the confirmed cause, or write in the thread: close CAUSE, and what was fitted.")
		s.Menu = causeMenu(n, t.Causes(), entries)
		return s, nil
	})
}
