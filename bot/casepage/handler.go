package casepage

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"strconv"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
	"coldcase/bot/talk"
)

// Pages shows cases to whoever has a link.
type Pages struct {
	Store  caselog.Store
	Helper func() *talk.Helper
	Signer *Signer
	Zone   *time.Location
	Now    func() time.Time
}

// policy lets a page load its own style, script and pictures and nothing else.
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// Hang puts the pages on a mux.
func (p *Pages) Hang(mux *http.ServeMux) {
	mux.HandleFunc("GET /case/{token}", p.serve(p.page))
	mux.HandleFunc("GET /case/{token}/seq", p.serve(p.seq))
	mux.HandleFunc("GET /case/{token}/cycle.svg", p.serve(p.cycle))
	mux.HandleFunc("GET /case/{token}/trend.svg", p.serve(p.trend))
	if files, err := fs.Sub(assets, "assets"); err == nil {
		mux.Handle("GET /assets/", http.StripPrefix("/assets/", http.FileServerFS(files)))
	}
}

// serve opens the link and reads the case before a page is written; a link that
// does not open says the same whatever is wrong with it.
func (p *Pages) serve(write func(http.ResponseWriter, Story, string) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cache-Control", "private, no-store")
		token := r.PathValue("token")
		story, err := p.open(r.Context(), token)
		switch {
		case errors.Is(err, ErrBadLink), errors.Is(err, ErrLinkExpired), errors.Is(err, caselog.ErrNoCase):
			http.Error(w, "This link does not open a case, or no longer does. Ask whoever sent it for a new one.", http.StatusNotFound)
			return
		case err != nil:
			http.Error(w, "Our end broke. Try again in a minute.", http.StatusInternalServerError)
			return
		}
		if err := write(w, story, token); err != nil {
			http.Error(w, "Our end broke. Try again in a minute.", http.StatusInternalServerError)
		}
	}
}

func (p *Pages) open(ctx context.Context, token string) (s Story, err error) {
	link, err := p.Signer.Open(token, p.Now())
	if err != nil {
		return s, err
	}
	n := casenumber.Number(link.Case)
	err = p.Store.View(ctx, func(t caselog.Tx) error {
		edition, err := editionOf(t, n)
		if err != nil {
			return err
		}
		if edition != link.Edition {
			return ErrLinkExpired
		}
		head, err := t.Case(n)
		if err != nil {
			return err
		}
		entries, err := t.Entries(n)
		if err != nil {
			return err
		}
		s, err = Tell(head, entries, p.Helper())
		return err
	})
	return s, err
}

func editionNote(n casenumber.Number) string { return "links of case " + n.String() }

// editionOf is the edition of a case's links; links of an earlier one are revoked.
func editionOf(t caselog.Tx, n casenumber.Number) (uint32, error) {
	text, err := t.Note(editionNote(n))
	if err != nil || text == "" {
		return 0, err
	}
	e, err := strconv.ParseUint(text, 10, 32)
	return uint32(e), err
}

// LinkTo makes a link to a case that opens for a while.
func (s *Signer) LinkTo(t caselog.Tx, n casenumber.Number, until time.Time) (string, error) {
	edition, err := editionOf(t, n)
	if err != nil {
		return "", fmt.Errorf("link to case %s: %w", n, err)
	}
	return "/case/" + s.Token(Link{Case: int(n), Expires: until, Edition: edition}), nil
}

// Revoke makes every link of a case that was given out open nothing.
func Revoke(t caselog.Tx, n casenumber.Number) error {
	edition, err := editionOf(t, n)
	if err != nil {
		return fmt.Errorf("revoke the links of case %s: %w", n, err)
	}
	return t.SaveNote(editionNote(n), strconv.FormatUint(uint64(edition)+1, 10))
}

func (p *Pages) page(w http.ResponseWriter, s Story, token string) error {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	return s.View(token, p.Now(), p.Zone).Write(w)
}

func (p *Pages) seq(w http.ResponseWriter, s Story, _ string) error {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, err := fmt.Fprintln(w, len(s.Entries))
	return err
}

func (p *Pages) cycle(w http.ResponseWriter, s Story, _ string) error {
	c, ok := s.Cycle()
	if !ok {
		w.WriteHeader(http.StatusNotFound)
		return nil
	}
	picture, err := c.Draw()
	if err != nil {
		return err
	}
	return writeSVG(w, picture)
}

func (p *Pages) trend(w http.ResponseWriter, s Story, _ string) error {
	picture, err := DrawTrends(s.Trends())
	if err != nil {
		return err
	}
	if picture == nil {
		w.WriteHeader(http.StatusNotFound)
		return nil
	}
	return writeSVG(w, picture)
}

func writeSVG(w http.ResponseWriter, picture *Picture) error {
	svg, err := picture.SVG()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	_, err = w.Write(svg)
	return err
}
