package casepage

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"slices"
	"strconv"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/talk"
)

// Pages shows cases to whoever has a link.
type Pages struct {
	Store  caselog.Store
	Helper func() *talk.Helper
	Signer *Signer
	Zone   *time.Location
	Now    func() time.Time
	Lives  time.Duration // of a link that LinkFor makes, at least
	// Public is the base of our address for others, such as the provider that fetches a
	// picture; "" when nobody outside reaches us.
	Public string
	// Framed lets pages of our own origin show a case in a frame: the local desk.
	Framed bool
}

// Hang puts the pages on a mux.
func (p *Pages) Hang(mux *http.ServeMux) {
	mux.HandleFunc("GET /case/{token}", p.opening(p.page))
	mux.HandleFunc("GET /case/{token}/seq", p.opening(p.seq))
	mux.HandleFunc("GET /case/{token}/paper.css", p.opening(p.paper))
	mux.HandleFunc("GET /case/{token}/cycle.svg", p.opening(p.picture(p.cycle, asSVG)))
	mux.HandleFunc("GET /case/{token}/cycle.png", p.opening(p.picture(p.cycle, asPNG)))
	mux.HandleFunc("GET /case/{token}/trend.svg", p.opening(p.picture(p.trend, asSVG)))
	mux.HandleFunc("GET /case/{token}/trend.png", p.opening(p.picture(p.trend, asPNG)))
	mux.HandleFunc("GET /case/{token}/photo/{sum}", p.opening(p.photo))
	if files, err := fs.Sub(assets, "assets"); err == nil {
		mux.Handle("GET /assets/", http.StripPrefix("/assets/", http.FileServerFS(files)))
	}
}

// LinkFor makes a link to a case. It ends with whole spans of Lives, so that a link
// that is made again is the same for a while.
func (p *Pages) LinkFor(t caselog.Tx, n caselog.Number) (string, error) {
	return p.Signer.LinkTo(t, n, p.Now().Truncate(p.Lives).Add(2*p.Lives))
}

// opened is a case behind a link that opens.
type opened struct {
	tx    caselog.Tx
	head  caselog.Case
	token string
	until time.Time // the link opens
}

// errNothing: there is no such picture.
var errNothing = errors.New("nothing there")

// content is what a reader gets; it is made while the casebook is read and sent after
// that, so that a slow phone keeps nobody waiting.
type content struct {
	kind   string // media type
	body   []byte
	policy string // of a page; "" for the quiet one
	sum    string // of bytes that never change
}

// opening opens the link before anything is written; a link that does not open says
// the same whatever is wrong with it.
func (p *Pages) opening(show func(*http.Request, opened) (content, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", quietPolicy)
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "private, no-store")
		var c content
		err := p.open(r.Context(), r.PathValue("token"), func(o opened) (err error) {
			c, err = show(r, o)
			return err
		})
		switch {
		case err == nil:
			c.send(w, r)
		case errors.Is(err, ErrBadLink), errors.Is(err, ErrLinkExpired), errors.Is(err, caselog.ErrNoCase):
			p.sorry(w, http.StatusNotFound, "This link does not open a case, or no longer does. Ask whoever sent it for a new one.")
		case errors.Is(err, errNothing), errors.Is(err, caselog.ErrNoMedia):
			http.Error(w, "There is no such picture.", http.StatusNotFound)
		default:
			p.sorry(w, http.StatusInternalServerError, "Our end broke. Try again in a minute.")
		}
	}
}

func (c content) send(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Type", c.kind)
	if c.policy != "" {
		h.Set("Content-Security-Policy", c.policy)
	}
	if c.sum != "" {
		h.Set("Cache-Control", "private, no-cache") // kept, but shown again only while the link opens
		h.Set("ETag", strconv.Quote(c.sum))
	}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(c.body))
}

func (p *Pages) sorry(w http.ResponseWriter, status int, text string) {
	w.Header().Set("Content-Security-Policy", pagePolicy("", false))
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_ = pages.ExecuteTemplate(w, "sorry.html", text) // fails only when the reader has gone
}

func (p *Pages) open(ctx context.Context, token string, work func(opened) error) error {
	link, err := p.Signer.Open(token, p.Now())
	if err != nil {
		return err
	}
	return p.Store.View(ctx, func(t caselog.Tx) error {
		edition, err := editionOf(t, link.Case)
		if err != nil {
			return err
		}
		if edition != link.Edition {
			return ErrLinkExpired
		}
		head, err := t.Case(link.Case)
		if err != nil {
			return err
		}
		return work(opened{t, head, token, link.Expires})
	})
}

// recall is the case in the units that the reader asks for, else in those of who
// opened it.
func recall(r *http.Request, o opened) (Story, error) {
	entries, err := o.tx.Said(o.head.Number)
	if err != nil {
		return Story{}, err
	}
	metric, err := o.metric(r.URL.Query().Get("units"))
	if err != nil {
		return Story{}, err
	}
	return Recall(o.head, entries, metric)
}

func (o opened) metric(asked string) (*bool, error) {
	yes, no := true, false
	switch asked {
	case "metric":
		return &yes, nil
	case "us":
		return &no, nil
	}
	who, err := o.tx.Person(o.head.OpenedBy)
	return who.Metric, err
}

// quietPolicy is for what is no page: a picture loads nothing and runs nothing.
const quietPolicy = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"

// pagePolicy lets a page load its own style and pictures and run the one script that
// carries its nonce.
func pagePolicy(nonce string, framed bool) string {
	script, frames := "'none'", "'none'"
	if nonce != "" {
		script = "'nonce-" + nonce + "'"
	}
	if framed {
		frames = "'self'"
	}
	return "default-src 'none'; style-src 'self'; script-src " + script + "; connect-src 'self'; img-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors " + frames
}

func newNonce() string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails: crypto/rand ends the program instead
	return base64.RawURLEncoding.EncodeToString(b[:])
}

func (p *Pages) page(r *http.Request, o opened) (content, error) {
	story, err := recall(r, o)
	if err != nil {
		return content{}, err
	}
	if story, err = story.Tell(p.Helper()); err != nil {
		return content{}, err
	}
	v := story.View(p.Now(), p.Zone)
	v.Token, v.Nonce, v.Opens = o.token, newNonce(), o.until.In(p.Zone)
	if asked := r.URL.Query().Get("units"); asked == "us" || asked == "metric" {
		v.Units = asked
	}
	var b bytes.Buffer
	err = v.Write(&b)
	return content{kind: "text/html; charset=utf-8", body: b.Bytes(), policy: pagePolicy(v.Nonce, p.Framed)}, err
}

// seq is what the page's script asks again and again: how far the case has grown.
func (p *Pages) seq(_ *http.Request, o opened) (content, error) {
	return content{kind: "text/plain; charset=utf-8", body: fmt.Appendln(nil, o.head.Entries)}, nil
}

// paper names the case at the foot of each printed sheet.
func (p *Pages) paper(_ *http.Request, o opened) (content, error) {
	foot := fmt.Sprintf("@page { @bottom-left { content: %q; } }\n", "Case "+o.head.Number.String()+", as of "+p.Now().In(p.Zone).Format("2 January 2006"))
	return content{kind: "text/css; charset=utf-8", body: []byte(foot)}, nil
}

func (p *Pages) picture(draw func(Story) (*Picture, error), write func(*Picture) (content, error)) func(*http.Request, opened) (content, error) {
	return func(r *http.Request, o opened) (content, error) {
		story, err := recall(r, o)
		if err != nil {
			return content{}, err
		}
		picture, err := draw(story)
		if err != nil {
			return content{}, err
		}
		if picture == nil {
			return content{}, errNothing
		}
		return write(picture)
	}
}

func (p *Pages) cycle(s Story) (*Picture, error) {
	c, ok := s.Cycle()
	if !ok {
		return nil, nil
	}
	return c.Draw()
}

func (p *Pages) trend(s Story) (*Picture, error) {
	s, err := s.Tell(p.Helper())
	if err != nil {
		return nil, err
	}
	return DrawTrends(s.Trends(p.Zone))
}

func asSVG(picture *Picture) (content, error) {
	svg, err := picture.SVG()
	return content{kind: "image/svg+xml", body: svg}, err
}

func asPNG(picture *Picture) (content, error) {
	var b bytes.Buffer
	err := picture.PNG(&b)
	return content{kind: "image/png", body: b.Bytes()}, err
}

// photoTypes are shown; whatever else was kept under a photo is not.
var photoTypes = []string{"image/jpeg", "image/png", "image/gif", "image/webp"}

// photo shows a photo of this case, and of no other.
func (p *Pages) photo(r *http.Request, o opened) (content, error) {
	entries, err := o.tx.Entries(o.head.Number)
	if err != nil {
		return content{}, err
	}
	sum := r.PathValue("sum")
	if !slices.ContainsFunc(entries, func(e caselog.Entry) bool { return sum != "" && photoOf(e) == sum }) {
		return content{}, errNothing
	}
	m, err := o.tx.Media(sum)
	if err != nil {
		return content{}, err
	}
	if !slices.Contains(photoTypes, m.Type) {
		return content{}, errNothing
	}
	return content{kind: m.Type, body: m.Bytes, sum: sum}, nil
}
