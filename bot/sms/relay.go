package sms

import (
	"context"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
)

// Relay puts a text about a case on its way to somebody's phone, such as what a
// teammate wrote in its thread; picture is the public address of one, or "".
func (l *Line) Relay(t caselog.Tx, n caselog.Number, to crew.Person, idem, text, picture string) error {
	if err := t.SaveNote(relayedNote(to.Name), time.Now().UTC().Format(time.RFC3339)); err != nil {
		return err
	}
	what := outText{Body: text}
	if picture != "" {
		what.Pictures = []string{picture}
	}
	return l.sayOf(t, n, to.Phone, idem, what)
}

func relayedNote(person string) string { return "sms/relayed/" + person }

// toTeam is how long after a teammate's words a text without anything for the case
// is taken as the answer to them.
const toTeam = 2 * time.Hour

// forTheTeam: a teammate's words were passed on to this phone not long ago, so words
// that hold nothing for the case are for them; they stand in the thread as they are.
// A figure is always meant for us.
func (l *Line) forTheTeam(ctx context.Context, who crew.Person, t Text) (yes bool, err error) {
	if l.Tell == nil || strings.ContainsAny(t.Body, "0123456789") {
		return false, nil
	}
	err = l.Store.View(ctx, func(tx caselog.Tx) error {
		last, err := tx.Note(relayedNote(who.Name))
		at, bad := time.Parse(time.RFC3339, last)
		yes = bad == nil && t.At.Sub(at) < toTeam
		return err
	})
	return yes, err
}
