package sms

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/refdata/carrier"
)

// track is what is known of a text that the provider took.
type track struct {
	Case  caselog.Number `json:"case"`
	To    string         `json:"to"`
	Text  outText        `json:"text"`
	Idem  string         `json:"idem"`
	State string         `json:"state"`
	Code  int            `json:"code,omitempty"`
}

func trackNote(id string) string { return "sms/message/" + id }

func tracked(t caselog.Tx, id string) (track, error) {
	var k track
	text, err := t.Note(trackNote(id))
	if err != nil || text == "" {
		return k, err
	}
	if err := json.Unmarshal([]byte(text), &k); err != nil {
		return k, fmt.Errorf("what is known of %s: %w", id, err)
	}
	return k, nil
}

func saveTrack(t caselog.Tx, id string, k track) error {
	text, err := json.Marshal(k)
	if err != nil {
		return fmt.Errorf("what is known of %s: %w", id, err)
	}
	return t.SaveNote(trackNote(id), string(text))
}

// remember ties the provider's id to the row that it was sent for. A report may
// have come before.
func remember(t caselog.Tx, id string, k track) error {
	before, err := tracked(t, id)
	if err != nil {
		return err
	}
	k.State, k.Code = before.State, before.Code
	if k.State == "" {
		k.State = "queued"
	}
	if err := saveTrack(t, id, k); err != nil {
		return err
	}
	if s := (Status{ID: id, To: k.To, State: k.State, Code: k.Code}); s.Failed() && before.To == "" {
		return undelivered(t, s, k, time.Now())
	}
	return nil
}

// againAfter are the waits for a phone that is off or out of reach.
var againAfter = []time.Duration{time.Minute, 5 * time.Minute, 30 * time.Minute}

// Report records a status report once. Reports come in any order and more than
// once: a text only moves forward.
func (l *Line) Report(ctx context.Context, s Status) (seen bool, err error) {
	now := time.Now().UTC()
	in := caselog.Inbound{Source: "sms/status", ID: s.Key(), Person: "", At: now}
	return l.Store.Receive(ctx, in, func(t caselog.Tx) error {
		k, err := tracked(t, s.ID)
		if err != nil || Rank(s.State) <= Rank(k.State) {
			return err
		}
		k.State, k.Code = s.State, s.Code
		if err := saveTrack(t, s.ID, k); err != nil || !s.Failed() || k.To == "" {
			return err
		}
		if err := undelivered(t, s, k, now); err != nil {
			return err
		}
		c, _ := carrier.CodeOf(s.Code)
		if c.Do == carrier.Unreachable && k.Text.Try < len(againAfter) || k.Text.maybeThePictures(s.Code) {
			return nil // it is tried again
		}
		return l.tell(t, k.Case, undeliveredText(s))
	})
}

func undeliveredText(s Status) string {
	return "Not delivered to " + crew.Mask(s.To) + ": " + reason(s.Code) + "."
}

// undelivered does what a failed text asks for: once more later, silence, and a
// line on the case.
func undelivered(t caselog.Tx, s Status, k track, now time.Time) error {
	text := undeliveredText(s)
	c, _ := carrier.CodeOf(s.Code)
	switch {
	case c.Do == carrier.Silent:
		if err := t.SaveNote(silentNote(s.To), now.UTC().Format(time.RFC3339)); err != nil {
			return err
		}
	case k.Text.maybeThePictures(s.Code):
		payload, err := json.Marshal(k.Text.wordsAlone())
		if err != nil {
			return fmt.Errorf("in words: %w", err)
		}
		if err := t.Enqueue(caselog.Outgoing{Dest: destAgain + s.To, Kind: KindText, Payload: string(payload), Idem: k.Idem + "/words", Case: k.Case}); err != nil {
			return err
		}
		text += " Sent again in words, without the picture."
	case (c.Do == carrier.Unreachable || c.Do == carrier.Later) && k.Text.Try < len(againAfter):
		again := k.Text
		again.Try++
		wait := againAfter[again.Try-1]
		payload, err := json.Marshal(again)
		if err != nil {
			return fmt.Errorf("once more: %w", err)
		}
		err = t.Enqueue(caselog.Outgoing{Dest: destAgain + s.To, Kind: KindText, Payload: string(payload), Idem: fmt.Sprintf("%s/again%d", k.Idem, again.Try), Due: now.Add(wait), Case: k.Case})
		if err != nil {
			return err
		}
		text += " Tried again in " + wait.String() + "."
	}
	if k.Case == 0 {
		return nil
	}
	return t.Append(k.Case, []caselog.Entry{{At: now, Kind: caselog.KindReply, By: "coldcase", Channel: Source, Text: text}})
}
