package sms

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"coldcase/bot/caselog"
)

// wanted is the payload of a picture to be fetched.
type wanted struct {
	Link   string         `json:"link"`
	ID     string         `json:"id"` // of the message
	Person string         `json:"person"`
	Case   caselog.Number `json:"case"`
	At     time.Time      `json:"at"`
}

// queuePictures has a message's pictures fetched after its transaction; those that
// came before any case go to the next one.
func (l *Line) queuePictures(t caselog.Tx, person string, m Text) error {
	n, err := openCase(t, person)
	if err != nil {
		return err
	}
	if err := l.fileWaiting(t, person, n); err != nil {
		return err
	}
	for i, link := range m.Media {
		payload, err := json.Marshal(wanted{Link: link, ID: m.ID, Person: person, Case: n, At: m.At})
		if err != nil {
			return fmt.Errorf("queue a picture: %w", err)
		}
		err = t.Enqueue(caselog.Outgoing{Dest: destPicture + m.ID, Kind: KindPicture, Payload: string(payload), Idem: fmt.Sprintf("picture/%s/%d", m.ID, i), Case: n})
		if err != nil {
			return err
		}
	}
	return nil
}

// openCase is the case that a photo of somebody's belongs to, 0 when none is open.
func openCase(t caselog.Tx, person string) (caselog.Number, error) {
	n, err := currentCase(t, person)
	if err != nil || n == 0 {
		return 0, err
	}
	c, err := t.Case(n)
	if err != nil || !c.Closed.IsZero() {
		return 0, err
	}
	return n, nil
}

func askedNote(person string) string   { return "sms/photo-asked/" + person }
func waitingNote(person string) string { return "sms/photos-waiting/" + person }

// askAgain is how long further wordless photos count as of the same question.
const askAgain = 10 * time.Minute

// wordless keeps photos that came without words and asks once what they show. A
// message with neither is kept and not answered.
func (l *Line) wordless(ctx context.Context, in caselog.Inbound, t Text) (bool, error) {
	return l.Store.Receive(ctx, in, func(tx caselog.Tx) error {
		if len(t.Media) == 0 {
			return nil
		}
		if err := l.queuePictures(tx, in.Person, t); err != nil {
			return err
		}
		last, err := tx.Note(askedNote(in.Person))
		if err != nil {
			return err
		}
		if at, err := time.Parse(time.RFC3339, last); err == nil && t.At.Sub(at) < askAgain {
			return nil
		}
		if err := tx.SaveNote(askedNote(in.Person), t.At.UTC().Format(time.RFC3339)); err != nil {
			return err
		}
		return l.askAboutPhoto(tx, in.Person, t)
	})
}

func (l *Line) askAboutPhoto(tx caselog.Tx, person string, t Text) error {
	n, err := openCase(tx, person)
	if err != nil {
		return err
	}
	question := "Photo kept. What does it show, and which unit is it?"
	if n != 0 {
		question = "Case " + n.String() + ". Photo kept. What does it show?"
	}
	if err := l.note(tx, n, t.At, question); err != nil {
		return err
	}
	return l.say(tx, person, t.From, "photo/"+t.ID, outText{Body: question})
}

// KeepPicture fetches a picture and gives what puts it on its case.
func (l *Line) KeepPicture(ctx context.Context, c *Client, payload string) (func(caselog.Tx) error, error) {
	var w wanted
	if err := json.Unmarshal([]byte(payload), &w); err != nil {
		return nil, &PictureError{Why: "not to be had", Err: err}
	}
	p, err := c.Fetch(ctx, w.Link)
	if err != nil {
		return nil, err
	}
	return func(t caselog.Tx) error {
		sum, err := t.SaveMedia(caselog.Media{Type: p.Type, Bytes: p.Bytes})
		if err != nil {
			return err
		}
		return l.filePhoto(t, w, caselog.PhotoBody{SHA256: sum, Type: p.Type})
	}, nil
}

// filePhoto puts a photo on its case, else on its sender's current one, else it
// waits for the next.
func (l *Line) filePhoto(t caselog.Tx, w wanted, body caselog.PhotoBody) error {
	n := w.Case
	if n == 0 {
		var err error
		if n, err = openCase(t, w.Person); err != nil {
			return err
		}
	}
	text, err := json.Marshal(body)
	if err != nil {
		return fmt.Errorf("photo: %w", err)
	}
	e := caselog.Entry{At: w.At, Kind: caselog.KindPhoto, By: w.Person, Channel: Source, ProviderID: w.ID, Body: text}
	if n != 0 {
		return t.Append(n, []caselog.Entry{e})
	}
	waiting, err := waitingPhotos(t, w.Person)
	if err != nil {
		return err
	}
	return saveWaiting(t, w.Person, append(waiting, e))
}

func waitingPhotos(t caselog.Tx, person string) ([]caselog.Entry, error) {
	text, err := t.Note(waitingNote(person))
	if err != nil || text == "" {
		return nil, err
	}
	var all []caselog.Entry
	if err := json.Unmarshal([]byte(text), &all); err != nil {
		return nil, fmt.Errorf("photos that wait: %w", err)
	}
	return all, nil
}

func saveWaiting(t caselog.Tx, person string, all []caselog.Entry) error {
	if len(all) == 0 {
		return t.SaveNote(waitingNote(person), "")
	}
	text, err := json.Marshal(all)
	if err != nil {
		return fmt.Errorf("photos that wait: %w", err)
	}
	return t.SaveNote(waitingNote(person), string(text))
}

// fileWaiting puts photos that came before the case on it.
func (l *Line) fileWaiting(t caselog.Tx, person string, n caselog.Number) error {
	waiting, err := waitingPhotos(t, person)
	if err != nil || n == 0 || len(waiting) == 0 {
		return err
	}
	if err := t.Append(n, waiting); err != nil {
		return err
	}
	return saveWaiting(t, person, nil)
}

// LostPicture says on the case that a picture could not be kept.
func (l *Line) LostPicture(t caselog.Tx, payload string, err error) error {
	var w wanted
	if readable := json.Unmarshal([]byte(payload), &w) == nil; !readable {
		return nil // whose it was can't be known, and an error here would only bring it back
	}
	why := "not to be had"
	var p *PictureError
	if errors.As(err, &p) {
		why = p.Why
	}
	n := w.Case
	if n == 0 {
		if n, err = openCase(t, w.Person); err != nil {
			return err
		}
	}
	text := "A photo of " + w.Person + "'s was not kept: " + why + "."
	if err := l.note(t, n, w.At, text); err != nil {
		return err
	}
	return l.tell(t, n, text)
}
