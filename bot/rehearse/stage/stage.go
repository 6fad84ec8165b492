// Package stage is what the pages of both stand-ins share: how they look, that only
// their own forms reach them, and how a file is taken out of a form.
package stage

import (
	"embed"
	"errors"
	"html/template"
	"io"
	"io/fs"
	"net/http"
)

//go:embed assets
var assets embed.FS

// Pages are the templates of a stand-in, with the head that all pages have.
func Pages(own fs.FS) *template.Template {
	return template.Must(template.Must(template.ParseFS(assets, "assets/head.html")).ParseFS(own, "assets/*.html"))
}

// Render writes a page.
func Render(w http.ResponseWriter, pages *template.Template, name string, data any) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_ = pages.ExecuteTemplate(w, name, data) // fails only when the reader has gone
}

// policy lets a page load its own style, pictures and frames, and run no script.
const policy = "default-src 'none'; style-src 'self'; img-src 'self'; frame-src 'self'; form-action 'self'; frame-ancestors 'self'; base-uri 'none'"

// Closed is a stand-in's page and API, closed to other sites' forms and scripts. own
// is the style sheet that it has besides the common one.
func Closed(mux *http.ServeMux, own fs.FS, style string) http.Handler {
	mux.HandleFunc("GET /stage.css", func(w http.ResponseWriter, r *http.Request) { http.ServeFileFS(w, r, assets, "assets/stage.css") })
	mux.HandleFunc("GET /"+style, func(w http.ResponseWriter, r *http.Request) { http.ServeFileFS(w, r, own, "assets/"+style) })
	mux.HandleFunc("GET /favicon.ico", func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) })
	safe := http.NewCrossOriginProtection().Handler(mux)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cache-Control", "no-store")
		safe.ServeHTTP(w, r)
	})
}

// MaxFile is the most that a file in a form may hold.
const MaxFile = 5 << 20

// ErrBig: the file holds more.
var ErrBig = errors.New("over 5 MB")

// Form reads a form that may carry a file.
func Form(w http.ResponseWriter, r *http.Request) error {
	const rest = 64 << 10
	r.Body = http.MaxBytesReader(w, r.Body, MaxFile+rest)
	return r.ParseMultipartForm(MaxFile)
}

// File is the one that was chosen in a form; no bytes when none was.
func File(r *http.Request, field string) (name string, bytes []byte, err error) {
	f, head, err := r.FormFile(field)
	if errors.Is(err, http.ErrMissingFile) {
		return "", nil, nil
	}
	if err != nil {
		return "", nil, err
	}
	b, err := io.ReadAll(f)
	if err := errors.Join(err, f.Close()); err != nil {
		return "", nil, err
	}
	if len(b) > MaxFile {
		return "", nil, ErrBig
	}
	return head.Filename, b, nil
}
