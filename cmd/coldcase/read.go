package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"sort"
	"strings"

	"coldcase/bot/intake"
	"coldcase/refdata/vocab"
)

func runRead(_ context.Context, c console, args []string) error {
	f := newFlags("read")
	asJSON := f.Bool("json", false, "one JSON object a line")
	if err := parseFlags(f, args); err != nil {
		return err
	}
	s, err := readSettings()
	if err != nil {
		return err
	}
	reader, err := loadWords(s.Lexicon)
	if err != nil {
		return err
	}
	in := bufio.NewReader(c.in)
	out := bufio.NewWriter(c.out)
	for {
		line, err := readLine(in)
		if err != nil && line == "" {
			return out.Flush()
		}
		m := reader.Read(line, intake.Context{})
		if *asJSON {
			if err := json.NewEncoder(out).Encode(readObject(m)); err != nil {
				return fmt.Errorf("write: %w", err)
			}
		} else {
			underline(out, line, m)
		}
		if err := out.Flush(); err != nil {
			return fmt.Errorf("write: %w", err)
		}
	}
}

// readingObject is the reading interface of readings.md.
type readingObject struct {
	Readings []vocab.Reading        `json:"readings"`
	Facts    vocab.Facts            `json:"facts"`
	Findings map[vocab.Finding]bool `json:"findings"`
	Asks     []intake.Ask           `json:"asks"`
	Unread   []string               `json:"unread"`
}

func readObject(m intake.Message) readingObject {
	o := readingObject{Readings: []vocab.Reading{}, Facts: m.Facts, Findings: m.Findings, Asks: m.Asks, Unread: m.Unread}
	readings, asks := asRead(m)
	o.Asks = asks
	for _, r := range readings {
		if _, ok := vocab.Define(r.Key); ok { // a question may name what is no reading
			o.Readings = append(o.Readings, r.Reading)
		}
	}
	if o.Facts == nil {
		o.Facts = vocab.Facts{}
	}
	if o.Findings == nil {
		o.Findings = map[vocab.Finding]bool{}
	}
	if o.Asks == nil {
		o.Asks = []intake.Ask{}
	}
	if o.Unread == nil {
		o.Unread = []string{}
	}
	return o
}

// asRead is what a message says apart from its question: the numbers of a plan are
// the question's own, measured ones are written as they were read.
func asRead(m intake.Message) ([]intake.Reading, []intake.Ask) {
	switch {
	case m.Question == nil:
		return m.Readings, m.Asks
	case m.Question.Own:
		return m.Question.Given, m.Asks
	}
	return m.Question.Read, m.Question.Asked
}

// underline shows the message with what was read marked under it.
func underline(w io.Writer, line string, m intake.Message) {
	fmt.Fprintln(w, line)
	marks := []byte(strings.Repeat(" ", len(line)))
	for _, r := range m.Readings {
		if r.Span != nil {
			for i := r.Span[0]; i < r.Span[1] && i < len(marks); i++ {
				marks[i] = '~'
			}
		}
	}
	if under := strings.TrimRight(string(marks), " "); under != "" {
		fmt.Fprintln(w, under)
	}
	for _, r := range m.Readings {
		note := ""
		if r.Assumed {
			note = " (unit assumed)"
		}
		fmt.Fprintf(w, "  %s %g %s%s\n", r.Key, r.Value, r.Unit, note)
	}
	for _, l := range factLines(m) {
		fmt.Fprintf(w, "  %s\n", l)
	}
	for _, a := range m.Asks {
		fmt.Fprintf(w, "  asks %s: %s\n", a.Key, a.Why)
	}
	for _, u := range m.Unread {
		fmt.Fprintf(w, "  not understood: %q\n", u)
	}
}

func factLines(m intake.Message) []string {
	var lines []string
	for k, v := range m.Facts {
		lines = append(lines, fmt.Sprintf("%s = %s", k, v))
	}
	for k, v := range m.Findings {
		lines = append(lines, fmt.Sprintf("%s: %t", k, v))
	}
	sort.Strings(lines)
	return lines
}
