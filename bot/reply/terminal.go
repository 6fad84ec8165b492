// Package reply turns an answer into words: full text for the terminal and team
// chat, and what the phone line sends. Pure.
package reply

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"coldcase/bot/talk"
	"coldcase/refdata/vocab"
)

// Text is an answer in its fuller form, for the terminal, a line each. Nothing is
// left out but what is only said when more is asked for.
func Text(a talk.Answer) string {
	var b []string
	for _, l := range Lines(a) {
		b = append(b, marks[l.Kind]+l.Text)
	}
	return strings.Join(b, "\n")
}

var marks = map[Kind]string{CautionLine: "! ", NumberLine: "  ", AskLine: "> "}

// Kind tells what a line is for.
type Kind int

// The kinds, in the order of saying.
const (
	HeadLine Kind = iota
	CautionLine
	SaidLine
	FindingLine
	NumberLine
	UnreadLine
	MissingLine
	AskLine
	WordsLine
)

// Line is one line of a reply.
type Line struct {
	Kind Kind
	Text string
}

// Lines says an answer in order: the case and what was read, cautions, findings
// with the numbers under them, what was not understood, the one question or check,
// and how to get more.
func Lines(a talk.Answer) []Line {
	var out []Line
	add := func(k Kind, texts ...string) {
		for _, t := range texts {
			if t != "" {
				out = append(out, Line{k, t})
			}
		}
	}
	add(HeadLine, heading(a))
	for _, e := range a.Earlier {
		add(HeadLine, "Same unit before: case "+e)
	}
	if a.Garbled {
		add(HeadLine, "Part of that came through garbled.")
	}
	add(CautionLine, cautions(a)...)
	add(SaidLine, a.Said...)
	if a.Err != nil {
		add(SaidLine, Trouble(a.Err))
	}
	for _, f := range a.Findings {
		add(FindingLine, finding(f))
	}
	for _, n := range a.Numbers {
		if told(n, a.Full) {
			add(NumberLine, number(n, a.Full))
		}
	}
	add(NumberLine, notes(a))
	if len(a.Unread) > 0 {
		add(UnreadLine, "Not understood: "+quoted(a.Unread))
	}
	if len(a.Missing) > 0 {
		add(MissingLine, "Not yet: "+strings.Join(a.Missing, ", ")+".")
	}
	add(AskLine, a.Question)
	switch {
	case a.Next != "" && a.Standing == "healthy":
		add(AskLine, a.Next)
	case a.Next != "":
		add(AskLine, "Next: "+a.Next)
	}
	if len(a.Words) > 0 {
		add(WordsLine, "("+strings.Join(a.Words, " · ")+")")
	}
	return out
}

// told: a number is said now, and not only when more is asked for.
func told(n talk.Number, full bool) bool { return full || !n.Minor && !n.Known }

// heading is the case and what was read, with what was assumed.
func heading(a talk.Answer) string {
	if a.Case == "" {
		return ""
	}
	head := "Case " + a.Case
	if a.Opened {
		head = "New case " + a.Case
	}
	if a.Place != "" {
		head += ", " + a.Place
	}
	if read := readText(a); read != "" {
		return head + ". Read: " + read + "."
	}
	return head + "."
}

func readText(a talk.Answer) string {
	parts := slices.Clone(a.Heard)
	var assumed []string
	for i, r := range a.Read {
		if set, ok := setOf(r.Key); ok && i > 0 && sameSet(a.Read[i-1], r, set) {
			parts[len(parts)-1] += " / " + typed(r)
		} else if ok {
			parts = append(parts, set+" "+typed(r))
		} else {
			parts = append(parts, r.Label+" "+typed(r))
		}
		if w := assumption(r); r.Assumed && w != "" && !slices.Contains(assumed, w) {
			assumed = append(assumed, w)
		}
	}
	text := strings.Join(parts, ", ")
	if len(assumed) > 0 {
		text += " (" + strings.Join(assumed, ", ") + " assumed)"
	}
	return text
}

// setOf names the three that are said in one breath: volts, amps, ohms of the legs.
func setOf(k vocab.Key) (string, bool) {
	name, leg, ok := strings.Cut(string(k), "_")
	return name, ok && (name == "volts" || name == "amps" || name == "ohms") && len(leg) <= 2
}

func sameSet(before, r talk.Echo, set string) bool {
	other, ok := setOf(before.Key)
	return ok && other == set && before.Key < r.Key
}

// typed is a reading as it was typed.
func typed(r talk.Echo) string {
	s := ""
	if r.Approx {
		s = "about "
	}
	if r.Tube && r.Unit == "in" {
		s += Inches(r.Value)
	} else {
		s += strconv.FormatFloat(r.Value, 'f', -1, 64) + " " + talk.UnitWord(r.Unit)
	}
	if r.Standing {
		s += " at rest"
	}
	return s
}

// Inches writes tube sizes as the trade does: 1-3/8 in.
func Inches(v float64) string {
	whole := int(v)
	sixteenths := int((v-float64(whole))*16 + 0.5)
	if sixteenths == 0 {
		return strconv.Itoa(whole) + " in"
	}
	n, d := sixteenths, 16
	for n%2 == 0 {
		n, d = n/2, d/2
	}
	if whole == 0 {
		return fmt.Sprintf("%d/%d in", n, d)
	}
	return fmt.Sprintf("%d-%d/%d in", whole, n, d)
}

// assumption says what was taken for granted of a reading.
func assumption(r talk.Echo) string {
	if r.Tube {
		return "tube OD"
	}
	return talk.UnitWord(r.Unit)
}

// cautions are never cut; those that were sent in full today are recalled in one
// line, after the new ones.
func cautions(a talk.Answer) []string {
	var out, known []string
	for _, c := range a.Cautions {
		switch {
		case c.Known && !a.Full:
			if !slices.Contains(known, c.Label) {
				known = append(known, c.Label)
			}
		case c.Severity == "danger":
			out = append(out, "DANGER: "+c.Text)
		default:
			out = append(out, c.Text)
		}
	}
	if len(known) > 0 {
		out = append(out, "Still: "+strings.Join(known, ", ")+".")
	}
	return out
}

func finding(f talk.Finding) string {
	s := f.Text + "."
	switch f.Severity {
	case "stop":
		s = "STOP: " + s
	case "watch":
		s = "Keep an eye on: " + strings.ToLower(f.Text[:1]) + f.Text[1:] + "."
	}
	if f.Why != "" {
		s += " " + f.Why
	}
	return s
}

func number(n talk.Number, full bool) string {
	s := n.Label + " " + talk.Said(n.Value, n.Unit)
	if full && n.PlusMinus > 0 {
		s += fmt.Sprintf(" (give or take %s)", talk.Said(n.PlusMinus, n.Unit))
	}
	if n.Beside != "" {
		s += ", " + n.Beside
	}
	return s
}

// notes are the assumptions under the numbers, each once.
func notes(a talk.Answer) string {
	var out []string
	for _, n := range a.Numbers {
		if !told(n, a.Full) {
			continue
		}
		for note := range strings.SplitSeq(n.Note, "; ") {
			if note != "" && !slices.Contains(out, note) {
				out = append(out, note)
			}
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "(" + strings.Join(out, "; ") + ")"
}

func quoted(all []string) string {
	const most, longest = 4, 60
	var out []string
	for i, s := range all {
		if i == most {
			out = append(out, "and more")
			break
		}
		if len(s) > longest {
			s = strings.ToValidUTF8(s[:longest], "") + "…"
		}
		out = append(out, `"`+s+`"`)
	}
	return strings.Join(out, ", ")
}
