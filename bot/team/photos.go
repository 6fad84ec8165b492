package team

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/slack-go/slack"

	"coldcase/bot/caselog"
)

// maxPicture is the same as on the phone line.
const maxPicture = 5 << 20

// pictureTypes are told by content, never by what the sender claims.
var pictureTypes = map[string]string{"image/jpeg": "jpg", "image/png": "png", "image/gif": "gif", "image/webp": "webp"}

// photos are the files that claim to be pictures.
func photos(files []File) []File {
	var out []File
	for _, f := range files {
		if strings.HasPrefix(f.Type, "image/") {
			out = append(out, f)
		}
	}
	return out
}

// photoRow is the payload of a picture to be fetched.
type photoRow struct {
	File   File           `json:"file"`
	Case   caselog.Number `json:"case"`
	By     string         `json:"by"`
	ID     string         `json:"id"` // of the post
	At     int64          `json:"at"`
	Thread bool           `json:"thread"` // it stands in the case's thread already
}

// photoBody is the structured form of a photo entry.
type photoBody struct {
	caselog.PhotoBody
	InThread bool `json:"in_thread,omitempty"` // it stands in the case's thread already
}

func inThread(e caselog.Entry) bool {
	var b photoBody
	return json.Unmarshal(e.Body, &b) == nil && b.InThread
}

// queuePhotos has a post's pictures fetched after its transaction. Without a case
// there is nothing to keep them with.
func (t *Team) queuePhotos(tx caselog.Tx, h heard, n caselog.Number) error {
	if n == 0 {
		return nil
	}
	for _, f := range photos(h.files) {
		payload, err := asText(photoRow{File: f, Case: n, By: h.who.Name, ID: h.id, At: h.at.UnixMilli(), Thread: h.thread != ""})
		if err != nil {
			return err
		}
		if err := tx.Enqueue(caselog.Outgoing{Dest: destFile + f.ID, Kind: kindPhoto, Payload: payload, Idem: "slack/photo/" + h.id + "/" + f.ID, Case: n}); err != nil {
			return err
		}
	}
	return nil
}

// wordless keeps photos that came without words; n is the case of the thread.
func (t *Team) wordless(ctx context.Context, h heard, n caselog.Number) error {
	return t.only(ctx, h, func(tx caselog.Tx) (speech, error) {
		if n != 0 {
			return speech{}, t.queuePhotos(tx, h, n)
		}
		p, err := tx.Person(h.who.Name)
		if err != nil {
			return speech{}, err
		}
		if p.Current == 0 {
			return saying("I keep a photo with its case. Send readings or what you see first, then the photo again."), nil
		}
		if err := t.queuePhotos(tx, h, p.Current); err != nil {
			return speech{}, err
		}
		return t.askOnce(tx, h, "Photo kept with case "+p.Current.String()+". What does it show?")
	})
}

// askAgain is how long further wordless photos count as of the same question.
const askAgain = 10 * time.Minute

// askOnce asks what photos show, once for all that come together.
func (t *Team) askOnce(tx caselog.Tx, h heard, question string) (speech, error) {
	note := "slack/photo-asked/" + h.who.Chat
	last, err := tx.Note(note)
	if err != nil {
		return speech{}, err
	}
	if at, err := time.Parse(time.RFC3339, last); err == nil && h.at.Sub(at) < askAgain {
		return speech{}, nil
	}
	return saying(question), tx.SaveNote(note, h.at.UTC().Format(time.RFC3339))
}

// photoError says why a picture was not kept.
type photoError struct {
	why string
	err error
}

func (e *photoError) Error() string { return "photo " + e.why + ": " + e.err.Error() }
func (e *photoError) Unwrap() error { return e.err }

// fetchPhoto fetches a picture with our token, which goes to the provider's own
// hosts only, and gives what puts it on its case.
func (t *Team) fetchPhoto(ctx context.Context, o caselog.Outgoing) (func(caselog.Tx) error, error) {
	var row photoRow
	if err := payloadOf(o, &row); err != nil {
		return nil, err
	}
	b, err := t.fetch(ctx, row.File, maxPicture)
	if err != nil {
		return nil, err
	}
	kind := http.DetectContentType(b)
	if pictureTypes[kind] == "" {
		return nil, &GivenUp{Err: &photoError{"it is not a picture", fmt.Errorf("content is %s", kind)}}
	}
	return func(tx caselog.Tx) error {
		sum, err := tx.SaveMedia(caselog.Media{Type: kind, Bytes: b})
		if err != nil {
			return err
		}
		body, err := json.Marshal(photoBody{PhotoBody: caselog.PhotoBody{SHA256: sum, Type: kind}, InThread: row.Thread})
		if err != nil {
			return fmt.Errorf("photo: %w", err)
		}
		e := caselog.Entry{At: timeOfMillis(row.At), Kind: caselog.KindPhoto, By: row.By, Channel: Source, ProviderID: row.ID, Body: body}
		if err := tx.Append(row.Case, []caselog.Entry{e}); err != nil {
			return err
		}
		return t.relayPhoto(tx, row, sum)
	}, nil
}

// fetch gets a file of at most so many bytes.
func (t *Team) fetch(ctx context.Context, f File, most int) ([]byte, error) {
	if f.Size > most {
		return nil, &GivenUp{Err: &photoError{fmt.Sprintf("it is over %d MB", most>>20), fmt.Errorf("%d bytes", f.Size)}}
	}
	w := &limited{most: most}
	err := t.client.GetFileContext(ctx, f.URL, w)
	switch {
	case w.over:
		return nil, &GivenUp{Err: &photoError{fmt.Sprintf("it is over %d MB", most>>20), err}}
	case err != nil && (strings.Contains(err.Error(), "refusing to send the token") || strings.Contains(err.Error(), "sign-in page") || f.URL == ""):
		return nil, &GivenUp{Err: &photoError{"it can't be had from where it lies", err}}
	case err != nil:
		return nil, fmt.Errorf("fetch file %s: %w", f.ID, err)
	}
	return w.Bytes(), nil
}

// limited takes so many bytes and no more.
type limited struct {
	bytes.Buffer
	most int
	over bool
}

func (l *limited) Write(b []byte) (int, error) {
	if l.Len()+len(b) > l.most {
		l.over = true
		return 0, errors.New("too big")
	}
	return l.Buffer.Write(b)
}

// showPhoto puts a picture of the record into its case's thread, once: an earlier
// try is known by the name of the file.
func (t *Team) showPhoto(ctx context.Context, o caselog.Outgoing, channel, thread string, e caselog.Entry) error {
	var m caselog.Media
	err := t.Store.View(ctx, func(tx caselog.Tx) (err error) {
		m, err = caselog.PhotoAt(tx, o.Case, e.Seq)
		return err
	})
	if err != nil {
		return err
	}
	return t.upload(ctx, o, channel, thread, slack.UploadFileParameters{
		Filename: fmt.Sprintf("case-%s-%d.%s", o.Case, e.Seq, pictureTypes[m.Type]), FileSize: len(m.Bytes), Reader: bytes.NewReader(m.Bytes),
		Title: "Photo of " + e.By, AltTxt: "Photo that " + e.By + " sent to case " + o.Case.String(), InitialComment: Escape("Photo of " + e.By),
	})
}
