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

var pages = template.Must(template.New("").Funcs(template.FuncMap{
	"day":      func(t time.Time) string { return t.Format("2 January 2006") },
	"moment":   moment,
	"clock":    func(t time.Time) string { return t.Format("2 Jan 15:04") },
	"rfc":      func(t time.Time) string { return t.Format(time.RFC3339) },
	"standing": standingWords,
	"mark":     standingMark,
	"severity": severityWords,
	"sides":    sidesOf,
}).ParseFS(assets, "assets/*.html"))

func moment(t time.Time) string { return t.Format("2 Jan 2006 15:04 MST") }

// Write lays the case out as HTML.
func (v View) Write(w io.Writer) error {
	if err := pages.ExecuteTemplate(w, "page.html", v); err != nil {
		return fmt.Errorf("case page %s: %w", v.Case, err)
	}
	return nil
}

func standingWords(s string) string {
	switch s {
	case "healthy":
		return "Healthy"
	case "suspect":
		return "Suspect"
	case "failed":
		return "Failed"
	}
	return "Not settled yet"
}

func standingMark(s string) string {
	switch s {
	case "healthy":
		return "\u2713"
	case "suspect":
		return "!"
	case "failed":
		return "\u00d7"
	}
	return "?"
}

func severityWords(s string) string {
	switch s {
	case "danger", "stop":
		return "Danger"
	case "warning", "bad":
		return "Warning"
	case "watch":
		return "Watch"
	}
	return ""
}

// side of a cause: what speaks for it, or against.
type evidenceSide struct {
	Name, Class string
	Signs       []Line
}

func sidesOf(c CauseRow) []evidenceSide {
	return []evidenceSide{{"For", "for", c.For}, {"Against", "against", c.Against}}
}
