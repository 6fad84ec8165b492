package team

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/slack-go/slack"

	"coldcase/bot/caselog"
	"coldcase/bot/talk"
)

// drawingRow is the payload of a drawing of a case.
type drawingRow struct {
	Case    caselog.Number `json:"case"`
	Name    string         `json:"name"`
	Channel string         `json:"channel,omitempty"` // where it was asked for; "" is the case's thread
	Thread  string         `json:"thread,omitempty"`
}

// drawingsOf are the pictures that a reply of ours goes with, by name.
func drawingsOf(e caselog.Entry) []string {
	var a talk.Answer
	if e.Kind != caselog.KindReply || !bytes.Contains(e.Body, []byte(`"pictures":`)) || json.Unmarshal(e.Body, &a) != nil || a.Full {
		return nil
	}
	return namesOf(a)
}

func namesOf(a talk.Answer) []string {
	var out []string
	for _, p := range a.Pictures {
		out = append(out, p.Name)
	}
	return out
}

// queueDrawings puts the pictures of an answer where it was asked for, outside the
// case's thread: there they follow its own line.
func (t *Team) queueDrawings(tx caselog.Tx, h heard, a talk.Answer) error {
	if h.ephemeral {
		return nil // words for one person; the case's thread shows the picture
	}
	p, err := tx.Person(h.who.Name)
	if err != nil || p.Current == 0 {
		return err
	}
	for _, name := range namesOf(a) {
		row := drawingRow{Case: p.Current, Name: name, Channel: h.channel, Thread: h.under}
		if err := queueDrawing(tx, h.channel, "slack/drawing/"+h.id+"/"+name, row); err != nil {
			return err
		}
	}
	return nil
}

func queueDrawing(tx caselog.Tx, channel, idem string, row drawingRow) error {
	payload, err := asText(row)
	if err != nil {
		return err
	}
	return tx.Enqueue(caselog.Outgoing{Dest: destChat + channel, Kind: kindDrawing, Payload: payload, Idem: idem, Case: row.Case})
}

func drawnNote(n caselog.Number, name string) string { return "slack/drawn/" + n.String() + "/" + name }

// offer shows a case's pictures in its thread unasked, once a visit and as soon as
// there are readings enough to make them worth a look.
func (t *Team) offer(tx caselog.Tx, n caselog.Number) error {
	if t.Pictures == nil {
		return nil
	}
	all, err := t.Pictures(tx, n, nil)
	if err != nil {
		return err
	}
	for _, p := range all {
		visit := strconv.Itoa(p.Visit)
		shown, err := tx.Note(drawnNote(n, p.Name))
		if err != nil {
			return err
		}
		if !p.Rich || shown == visit {
			continue
		}
		if err := tx.SaveNote(drawnNote(n, p.Name), visit); err != nil {
			return err
		}
		if err := queueDrawing(tx, t.Account.Channel, fmt.Sprintf("slack/drawing/%d/%s/%s", n, p.Name, visit), drawingRow{Case: n, Name: p.Name}); err != nil {
			return err
		}
	}
	return nil
}

// errNoDrawing: what was drawn is not to be drawn any more, after an undo.
var errNoDrawing = errors.New("nothing to draw")

// drawing shows a picture of a case as it is by now. Where it can't be drawn or the
// provider takes none, its words stand there instead.
func (t *Team) drawing(ctx context.Context, o caselog.Outgoing) (posted bool, err error) {
	var row drawingRow
	if err := payloadOf(o, &row); err != nil {
		return false, err
	}
	var p talk.Picture
	channel, thread := row.Channel, row.Thread
	err = t.Store.View(ctx, func(tx caselog.Tx) error {
		if channel == "" {
			head, err := tx.Case(row.Case)
			if err != nil {
				return err
			}
			channel, thread, _ = strings.Cut(head.Thread, "/")
		}
		p, err = t.picture(tx, row)
		return err
	})
	switch {
	case errors.Is(err, errNoDrawing):
		return false, nil
	case err != nil:
		return false, err
	case channel == "":
		return false, &GivenUp{Err: errNoThread}
	}
	png, err := p.PNG()
	if err == nil {
		title := map[string]string{"cycle": "The cycle on a pressure-enthalpy diagram", "trend": "Over the visits"}[p.Name]
		err = t.sorted(o, t.upload(ctx, o, channel, thread, slack.UploadFileParameters{
			Filename: fmt.Sprintf("case-%s-%s-%d.png", row.Case, p.Name, o.ID), FileSize: len(png), Reader: bytes.NewReader(png),
			Title: title + ", case " + row.Case.String(), AltTxt: p.Words, InitialComment: Escape(p.Words),
		}))
		var gone *GivenUp
		if !errors.As(err, &gone) {
			return true, err
		}
	}
	t.Log.Error("a picture is not shown; its words are", "case", row.Case.String(), "picture", p.Name, "err", err)
	said := saying(p.Words, "The picture could not be shown here.").message()
	_, err = t.once(ctx, o, channel, thread, said)
	return true, err
}

func (t *Team) picture(tx caselog.Tx, row drawingRow) (talk.Picture, error) {
	if t.Pictures == nil {
		return talk.Picture{}, errNoDrawing
	}
	all, err := t.Pictures(tx, row.Case, nil)
	if err != nil {
		return talk.Picture{}, err
	}
	i := slices.IndexFunc(all, func(p talk.Picture) bool { return p.Name == row.Name })
	if i < 0 {
		return talk.Picture{}, errNoDrawing
	}
	return all[i], nil
}

// upload puts a file into a thread or a conversation, once: an earlier try is known
// by the name of the file.
func (t *Team) upload(ctx context.Context, o caselog.Outgoing, channel, thread string, file slack.UploadFileParameters) error {
	if t.triedBefore(o) {
		list := t.history
		if thread != "" {
			list = func(ctx context.Context, channel, oldest string) ([]slack.Message, error) {
				return t.replies(ctx, channel, thread, oldest)
			}
		}
		found, err := list(ctx, channel, tsOf(o.First.Add(-minute)))
		if err != nil || slices.ContainsFunc(found, func(p slack.Message) bool { return shows(p, file.Filename) }) {
			return err
		}
	}
	file.Channel, file.ThreadTimestamp = channel, thread
	if _, err := t.client.UploadFileContext(ctx, file); err != nil {
		return fmt.Errorf("show a file: %w", err)
	}
	return nil
}

func shows(p slack.Message, name string) bool {
	return slices.ContainsFunc(p.Files, func(f slack.File) bool { return f.Name == name })
}
