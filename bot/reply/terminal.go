// Package reply turns an answer into words: full text for the terminal and team
// chat, and what the phone line sends. Pure.
package reply

import (
	"fmt"
	"strconv"
	"strings"

	"coldcase/bot/talk"
	"coldcase/refdata/units"
	"coldcase/rules"
)

// Text is an answer in its fuller form, a line each. Cautions are never left out.
func Text(a talk.Answer) string {
	var b strings.Builder
	line := func(format string, args ...any) {
		fmt.Fprintf(&b, format+"\n", args...)
	}
	for _, n := range a.Notice {
		line("%s", n)
	}
	if head := heading(a); head != "" {
		line("%s", head)
	}
	for _, e := range a.Earlier {
		line("Same unit before: %s", e)
	}
	for _, c := range a.Cautions {
		line("! %s", c.Text)
	}
	for _, f := range findingsOf(a) {
		line("%s", f)
	}
	for _, n := range a.Numbers {
		line("  %s", numberText(n))
	}
	if notes := notesOf(a.Numbers); len(notes) > 0 {
		line("  (%s)", strings.Join(notes, "; "))
	}
	if len(a.NotUnderstood) > 0 {
		line("Not understood: %s", quoted(a.NotUnderstood))
	}
	if a.Question != "" {
		line("> %s", a.Question)
	}
	if a.NextCheck != "" {
		line("> Next: %s", a.NextCheck)
	}
	for _, s := range a.Sections {
		line("%s", s.Title)
		for _, l := range s.Lines {
			line("  %s", l)
		}
	}
	if a.Hint != "" {
		line("(%s)", a.Hint)
	}
	return strings.TrimRight(b.String(), "\n")
}

// heading is the case and what was read, with what was assumed.
func heading(a talk.Answer) string {
	if a.Case == "" || len(a.Notice) > 0 && len(a.Read)+len(a.Facts)+len(a.Findings) == 0 && a.Standing == "" {
		return ""
	}
	head := "Case " + a.Case
	if a.Opened {
		head = "New case " + a.Case
	}
	if a.Where != "" {
		head += ", " + a.Where
	}
	if read := readText(a); read != "" {
		head += ". Read: " + read
	}
	return head + "."
}

func readText(a talk.Answer) string {
	parts := append([]string{}, a.Facts...)
	var assumed []string
	for _, r := range a.Read {
		value := r.Name + " " + typed(r)
		if r.Assumed {
			if w := assumption(r); w != "" && !contains(assumed, w) {
				assumed = append(assumed, w)
			}
		}
		parts = append(parts, value)
	}
	parts = append(parts, a.Findings...)
	text := strings.Join(parts, ", ")
	if len(assumed) > 0 {
		text += " (" + strings.Join(assumed, ", ") + " assumed)"
	}
	return text
}

func contains(list []string, s string) bool {
	for _, l := range list {
		if l == s {
			return true
		}
	}
	return false
}

// typed is a reading as it was typed.
func typed(r talk.Echo) string {
	rough := ""
	if r.Approx {
		rough = "about "
	}
	if r.Unit == units.CodeInch {
		return rough + inches(r.Value)
	}
	return rough + strconv.FormatFloat(r.Value, 'f', -1, 64) + " " + talk.UnitWord(r.Unit)
}

// inches writes tube sizes as the trade does: 1-3/8.
func inches(v float64) string {
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
	if r.Unit == units.CodeInch {
		return "tube OD"
	}
	return talk.UnitWord(r.Unit)
}

// findingsOf is the worst finding first, then what stands behind it.
func findingsOf(a talk.Answer) []string {
	var out []string
	if a.Standing == "healthy" {
		out = append(out, "Healthy: all that was read is in range.")
	}
	for i, v := range a.Verdicts {
		if i > 0 && alike(a.Verdicts[:i], v) {
			continue
		}
		word := map[string]string{"stop": "STOP: ", "bad": "", "watch": "Watch: "}[v.Severity]
		out = append(out, word+v.Title+". "+v.Why)
	}
	for _, f := range a.Faults {
		out = append(out, strings.ToUpper(f.Standing[:1])+f.Standing[1:]+": "+f.Title+", "+f.Why+".")
	}
	if a.Lead != nil {
		word := "Points at"
		if a.Lead.Standing == "likely" {
			word = "Likely"
		}
		out = append(out, word+" "+a.Lead.Title+because(a)+".")
	}
	return out
}

// alike leaves a milder verdict out that says the same as one before it.
func alike(before []rules.Verdict, v rules.Verdict) bool {
	for _, b := range before {
		for _, n := range b.Numbers {
			for _, o := range v.Numbers {
				if n.Name == o.Name && n.Load == o.Load {
					return true
				}
			}
		}
	}
	return false
}

func because(a talk.Answer) string {
	if len(a.Lead.For) == 0 {
		return ""
	}
	return " (" + a.Lead.For[0].Text + ")"
}

func numberText(n talk.NumberLine) string {
	s := n.Title + " " + talk.FormatValue(n.Value, n.Unit)
	if n.Judge != "" {
		s += ", " + n.Judge
	}
	return s
}

// notesOf are the assumptions under the numbers, each once.
func notesOf(all []talk.NumberLine) []string {
	var out []string
	for _, n := range all {
		for note := range strings.SplitSeq(n.Note, "; ") {
			if note != "" && !contains(out, note) {
				out = append(out, note)
			}
		}
	}
	return out
}

func quoted(all []string) string {
	var out []string
	for _, s := range all {
		out = append(out, strconv.Quote(s))
	}
	return strings.Join(out, ", ")
}
