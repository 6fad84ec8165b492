package desk

import (
	"bytes"
	"crypto/rand"
	"embed"
	"encoding/hex"
	"html/template"
	"io/fs"
	"net/http"
	"time"
)

//go:embed assets
var assets embed.FS

// files are the style and the script.
var files = must(fs.Sub(assets, "assets"))

func must(f fs.FS, err error) fs.FS {
	if err != nil {
		panic(err) // the folder is embedded: a test opens the desk
	}
	return f
}

var desk = template.Must(template.New("desk.html").Funcs(template.FuncMap{
	"clock": func(t time.Time) string { return t.Local().Format("15:04") },
}).ParseFS(assets, "assets/desk.html"))

func token() string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails: crypto/rand ends the program instead
	return hex.EncodeToString(b[:])
}

func (d *Desk) show(w http.ResponseWriter, r *http.Request) {
	n, err := chosen(r)
	if err != nil {
		http.Error(w, "There is no such case.", http.StatusNotFound)
		return
	}
	v, err := d.view(r.Context(), n)
	var b bytes.Buffer
	if err == nil {
		err = desk.Execute(&b, v)
	}
	if err != nil {
		d.Fail(err)
		http.Error(w, "Our end broke. Try again in a minute.", http.StatusInternalServerError)
		return
	}
	h := w.Header()
	h.Set("Content-Security-Policy", "default-src 'none'; style-src 'self'; script-src 'nonce-"+v.Nonce+"'; connect-src 'self'; img-src 'self'; frame-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(b.Bytes()) // fails only when the reader has gone
}
