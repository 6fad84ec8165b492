package talk

import (
	"fmt"
	"strings"

	"coldcase/bot/caselog"
	"coldcase/bot/intake"
	"coldcase/calc/derive"
	"coldcase/refdata/vocab"
	"coldcase/rules"
)

// words that stand alone on a line, in any letter case.
var words = map[string]bool{"?": true, "how": true, "more": true, "new": true, "same": true, "undo": true, "why": true, "plan": true, "watch": true, "us": true, "metric": true}

// Word reads a message that is one of the helper's words. "case N" and "close
// CAUSE" carry the rest.
func Word(text string) (word, rest string, ok bool) {
	t := strings.ToLower(strings.TrimSpace(text))
	if words[t] {
		return t, "", true
	}
	for _, w := range []string{"case", "close"} {
		after, found := strings.CutPrefix(t, w)
		if !found || after != "" && after[0] != ' ' {
			continue
		}
		after = strings.TrimSpace(after)
		if w == "close" && len(strings.Fields(after)) <= 4 || w == "case" && after != "" && strings.Trim(after, "0123456789- #") == "" {
			return w, after, true
		}
	}
	return "", "", false
}

// ContextOf is what is known of a person before a case is found.
func ContextOf(p caselog.Person) intake.Context { return intake.Context{Asked: vocab.Key(p.Asked)} }

// Opens reports whether a message says something that a case is opened for.
func Opens(m intake.Message) bool {
	if len(m.Readings) > 0 || len(m.Findings) > 0 || len(m.Asks) > 0 || m.Facts[vocab.Refrigerant] != "" || m.Facts[vocab.Unit] != "" {
		return true
	}
	for c, yes := range m.Circumstances {
		if yes && (c == vocab.Dead || c == vocab.TripsAtOnce || c == vocab.Humming) {
			return true
		}
	}
	return false
}

// Chat answers a message that there is nothing to read in.
func Chat(m intake.Message) Answer {
	if len(m.Unread) > 0 {
		return Answer{NotUnderstood: m.Unread, Notice: []string{"No readings in that. Type ? for how to text me."}}
	}
	return Answer{Notice: []string{"Nothing to note in that. Send readings or what you see; ? shows how."}}
}

// HowAnswer tells what can be typed.
func HowAnswer() Answer { return howAnswer() }

// Where names a unit at a site.
func Where(unit, site string) string {
	return where(vocab.Facts{vocab.Unit: unit, vocab.Site: site})
}

// SameName compares names as typed: letter case, spaces and hyphens don't count.
func SameName(a, b string) bool {
	plain := strings.NewReplacer(" ", "", "-", "")
	return strings.EqualFold(plain.Replace(a), plain.Replace(b))
}

// LastOf is a person's last message that stands: its place and text.
func LastOf(entries []caselog.Entry, person string) (seq int, text string) {
	gone := map[int]bool{}
	for i := len(entries) - 1; i >= 0; i-- {
		e := entries[i]
		if e.Kind == caselog.KindCorrection {
			if at := takesBack(e); at > 0 {
				gone[at] = true
			}
		}
		if e.Kind == caselog.KindMessage && e.By == person && !gone[e.Seq] && i+1 < len(entries) && entries[i+1].Kind == caselog.KindReading {
			return e.Seq, e.Text
		}
	}
	return 0, ""
}

// About answers a word on a case without reading anything new.
func (h *Helper) About(c *Case, word string, p caselog.Person) (Answer, error) {
	b, err := Replay(c.Entries)
	if err != nil {
		return Answer{}, err
	}
	if p.Metric != nil {
		b.SetMetric(*p.Metric)
	}
	rec := b.Record()
	numbers := derive.Numbers(rec)
	j := h.Rules.Judge(rec, numbers)
	a := Answer{Case: c.Head.Number.String(), Where: Where(c.Head.Unit, c.Head.Site)}
	switch word {
	case "why":
		a.Sections = whySections(j)
	case "plan":
		a.Cautions = uniqueTexts(j.Cautions)
		a.Sections = planSections(j)
	case "watch":
		a.Sections = []Section{{Title: "Follow-up visits", Lines: []string{"within 48 hours", "after one week", "after one month", "after three months"}}}
	case "more":
		a = h.answer(c, intake.Message{Facts: rec.Facts, Findings: rec.Findings}, rec, Turn{Judgement: j, Numbers: numbers})
		a.Opened, a.Numbers, a.Sections = false, numberLines(numbers, rec), append(whySections(j), planSections(j)...)
	default:
		a = h.answer(c, intake.Message{Facts: rec.Facts, Findings: rec.Findings}, rec, Turn{Judgement: j, Numbers: numbers})
		a.Opened = false
		if !c.Head.Closed.IsZero() {
			a.Notice = []string{fmt.Sprintf("Case %s is closed: %s.", c.Head.Number, strings.ReplaceAll(c.Head.Cause, "_", " "))}
		}
	}
	return a, nil
}

func uniqueTexts(all []rules.Topic) []rules.Topic {
	seen := map[string]bool{}
	var out []rules.Topic
	for _, t := range all {
		if !seen[t.Text] {
			seen[t.Text] = true
			out = append(out, t)
		}
	}
	return out
}

// whySections is the evidence for and against each cause that matters.
func whySections(j rules.Judgement) []Section {
	var out []Section
	for _, c := range j.Causes {
		if c.Name == "none_healthy" || c.Name == "undetermined" || len(c.For)+len(c.Against) == 0 || c.Standing == rules.Unlikely && c.Score < 0.7 {
			continue
		}
		s := Section{Title: c.Title + ": " + strings.ReplaceAll(c.Standing, "_", " ")}
		for i, e := range c.For {
			if i < 4 {
				s.Lines = append(s.Lines, "for: "+e.Text+" ["+e.Source+"]")
			}
		}
		for i, e := range c.Against {
			if i < 3 {
				s.Lines = append(s.Lines, "against: "+e.Text+" ["+e.Source+"]")
			}
		}
		out = append(out, s)
		if len(out) == 5 {
			break
		}
	}
	if len(out) == 0 {
		out = []Section{{Title: "Why", Lines: []string{"Nothing speaks for any cause yet."}}}
	}
	return out
}

func planSections(j rules.Judgement) []Section {
	s := Section{Title: "Plan"}
	for _, t := range j.Plan {
		s.Lines = append(s.Lines, t.Text)
	}
	if len(s.Lines) == 0 {
		s.Lines = []string{"No plan yet: too little is known of what killed it."}
	}
	return []Section{s}
}

// CauseNamed finds a cause by its name in words or code; near is the likeliest
// when none fits.
func (h *Helper) CauseNamed(text string) (name, near string) {
	want := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(text)), " ", "_")
	names := h.Rules.CauseNames()
	for _, n := range names {
		if n == want {
			return n, ""
		}
	}
	return "", rules.Nearest(want, names)
}

// CauseNames lists the causes that a case can be closed with.
func (h *Helper) CauseNames() []string { return h.Rules.CauseNames() }
