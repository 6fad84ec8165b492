package rules

import (
	"bytes"
	"fmt"
	"strings"
)

// Mistake is one thing wrong in a rule file, with its place and what to do.
type Mistake struct {
	File      string
	Line, Col int
	Text      string
	Source    string // the expression, or its line of the file
	At        int    // of the caret in it
}

func (m *Mistake) Error() string {
	s := fmt.Sprintf("%s:%d:%d: %s", m.File, m.Line, m.Col, m.Text)
	if m.Source == "" {
		return s
	}
	line, caret := m.window()
	return s + "\n    " + line + "\n    " + strings.Repeat(" ", caret) + "^"
}

// window is the part of the source line around the place, and where the caret is.
func (m *Mistake) window() (line string, caret int) {
	const around = 70
	runes := []rune(m.Source)
	at := min(max(m.At, 0), len(runes))
	from := max(at-around, 0)
	to := min(at+around, len(runes))
	text := string(runes[from:to])
	trimmed := strings.TrimLeft(text, " \t")
	return strings.TrimRight(trimmed, " \t"), max(at-from-(len(text)-len(trimmed)), 0)
}

func mistake(file string, t Text, text string) error {
	return &Mistake{File: file, Line: max(t.line, 1), Col: max(t.col, 1), Text: text}
}

// in says which file it stands in.
func (m *Mistake) in(file string) *Mistake {
	m.File = file
	return m
}

// wrongAt is a mistake at a character of a text, found again in the file as it was
// written: behind escapes, and in the lines of a block.
func (f *File) wrongAt(t Text, text string, at int) error {
	line, col := follow(f.raw, t, at)
	m := &Mistake{File: f.path, Line: line, Col: col, Text: text, Source: t.Value, At: at}
	if lines := bytes.Split(f.raw, []byte("\n")); t.block && line <= len(lines) {
		m.Source, m.At = string(lines[line-1]), col-1
	}
	return m
}

// follow walks the text and the file side by side up to a character.
func follow(raw []byte, t Text, at int) (line, col int) {
	w := walker{rest: []rune(string(raw)), line: 1, col: 1}
	for w.line < t.line && len(w.rest) > 0 {
		w.step()
	}
	for w.col < t.col && len(w.rest) > 0 && w.rest[0] != '\n' {
		w.step()
	}
	if t.block {
		w.toLine()
	}
	for i, r := range []rune(t.Value) {
		w.meet(r)
		if i == at {
			return w.line, w.col
		}
		w.step()
	}
	return w.line, w.col
}

// walker is a place in a file.
type walker struct {
	rest      []rune
	line, col int
}

func (w *walker) step() {
	if len(w.rest) == 0 {
		return
	}
	w.col++
	if w.rest[0] == '\n' {
		w.line, w.col = w.line+1, 1
	}
	w.rest = w.rest[1:]
}

func (w *walker) toLine() {
	for len(w.rest) > 0 && w.rest[0] != '\n' {
		w.step()
	}
	w.step()
}

// meet goes on to where the next character of the text stands: over line breaks
// and indents that the text does not have, and over the mark of an escape.
func (w *walker) meet(r rune) {
	if r != ' ' && r != '\n' {
		for len(w.rest) > 0 && (w.rest[0] == ' ' || w.rest[0] == '\n') {
			w.step()
		}
	}
	if len(w.rest) > 1 && (w.rest[0] == '\\' || w.rest[0] == '\'' && w.rest[1] == '\'') && r != '\\' {
		w.step()
	}
}
