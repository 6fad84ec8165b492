package casepage

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"time"
)

//go:embed assets
var assets embed.FS

var page = template.Must(template.New("page.html").Funcs(template.FuncMap{
	"day":      func(t time.Time) string { return t.Format("2 January 2006") },
	"moment":   func(t time.Time) string { return t.Format("2 Jan 2006 15:04 MST") },
	"rfc":      func(t time.Time) string { return t.Format(time.RFC3339) },
	"standing": standingWords,
	"severity": severityWords,
}).ParseFS(assets, "assets/page.html"))

// Write lays the case out as HTML.
func (v View) Write(w io.Writer) error {
	if err := page.Execute(w, v); err != nil {
		return fmt.Errorf("case page %s: %w", v.Case, err)
	}
	return nil
}

func standingWords(s string) string {
	switch s {
	case "healthy":
		return "Healthy: nothing found wrong"
	case "suspect":
		return "Suspect: something is wrong or heading there"
	case "failed":
		return "Failed"
	}
	return "Not settled yet"
}

func severityWords(s string) string {
	switch s {
	case "danger", "stop":
		return "Danger:"
	case "warning", "bad":
		return "Warning:"
	case "watch":
		return "Watch:"
	}
	return ""
}
