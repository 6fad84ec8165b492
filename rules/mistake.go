package rules

import (
	"fmt"
	"strings"
)

// Mistake is one thing wrong in a rule file, with its place and what to do.
type Mistake struct {
	File      string
	Line, Col int
	Text      string
	Source    string // the expression, for the caret
	At        int    // column inside it
}

func (m *Mistake) Error() string {
	s := fmt.Sprintf("%s:%d:%d: %s", m.File, m.Line, m.Col, m.Text)
	if m.Source != "" {
		s += "\n    " + m.Source + "\n    " + strings.Repeat(" ", max(m.At, 0)) + "^"
	}
	return s
}

// in says which file it stands in.
func (m *Mistake) in(file string) *Mistake {
	m.File = file
	return m
}
