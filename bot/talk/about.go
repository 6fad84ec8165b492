package talk

import (
	"fmt"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/rules"
)

// word answers a word that leaves the readings as they are.
func (s *step) word(req Request) {
	switch req.Word {
	case "how":
		s.how()
	case "new":
		s.p.Current, s.p.Named, s.p.Closing = 0, time.Time{}, false
		s.say("Next readings start a new case.")
	case "same":
		s.same()
	case "us", "metric":
		metric := req.Word == "metric"
		s.p.Metric = &metric
		s.say(map[bool]string{true: "Metric", false: "US"}[metric] + " units from now on.")
	case "more":
		s.more()
	case "why", "plan":
		s.about(req.Word)
	case "page", "picture":
		s.ofTheCase(req.Word)
	default:
		s.answer.Question = req.Why
	}
}

func (s *step) say(lines ...string) { s.answer.Said = append(s.answer.Said, lines...) }

func (s *step) same() {
	if s.c.Number == 0 {
		s.say("No case yet. Send readings or what you see and I open one.")
		return
	}
	s.answer.Case = s.c.Number.String()
	s.say("Case " + s.c.Number.String() + " is the one in hand.")
}

func (s *step) more() {
	if s.p.Last == nil {
		s.say("Nothing more to say yet. Send readings or what you see, or ? for how.")
		return
	}
	s.answer = *s.p.Last
	s.answer.Full = true
}

const example = "Example: R404A suct 18 head 235 line 40 liq line 88, oil dark"

// how tells what can be typed, with one example.
func (s *step) how() {
	s.p.Greeted = true
	s.say(
		general().Text,
		"Text what you read and see. "+example,
		"new: start a new case. case N: go to that case. undo: take back your last message",
		"why: evidence for and against. plan: what to fit, clean and check. more: the rest of the last reply",
		"watch: follow-up visits. close CAUSE: close the case, with what was fitted",
		"page: the case on a page, to read and to print. picture: the cycle drawn. us, metric: units of the replies",
	)
}

// about tells the evidence or the plan of the case in hand.
func (s *step) about(word string) {
	if len(s.c.Entries) == 0 {
		s.say("No case yet. Send readings or what you see and I open one.")
		return
	}
	s.logMessage(s.in)
	v, err := s.view()
	if err != nil {
		s.err = err
		return
	}
	s.answer.Case, s.answer.Place = s.c.Number.String(), place(v.rec.Facts)
	if word == "why" {
		s.say(why(v.j)...)
		s.answer.Words = []string{"plan", "?"}
		return
	}
	s.answer.Cautions = s.cautions(v.j)
	s.say(plan(v.j)...)
	s.answer.Words = []string{"why", "?"}
}

// ofTheCase asks for the address of the case's page, or for its pictures: whoever
// shows pages knows them.
func (s *step) ofTheCase(word string) {
	if len(s.c.Entries) == 0 {
		s.say("No case yet. Send readings or what you see and I open one.")
		return
	}
	s.logMessage(s.in)
	s.answer.Case, s.answer.Page, s.answer.Draw = s.c.Number.String(), word == "page", word == "picture"
}

// most is how many causes, and signs of each side, are told.
const (
	mostCauses = 4
	mostSigns  = 4
)

// why is the evidence for and against each cause that anything speaks for, with
// the sources.
func why(j rules.Judgement) []string {
	var out []string
	for _, w := range j.Verdicts {
		out = append(out, w.Title+": "+w.Why+" ["+strings.Join(w.Sources, "; ")+"]")
	}
	causes := 0
	for _, c := range j.Causes {
		if len(c.For) == 0 && c.Standing != rules.RuledOut || causes == mostCauses {
			continue
		}
		causes++
		out = append(out, upper(c.Title)+": "+strings.ReplaceAll(c.Standing, "_", " "))
		out = append(out, signs("for", c.For)...)
		out = append(out, signs("against", c.Against)...)
	}
	if len(out) == 0 {
		out = []string{"Nothing speaks for any cause yet."}
	}
	return out
}

func signs(side string, all []rules.Evidence) []string {
	var out []string
	for i, e := range all {
		if i == mostSigns {
			break
		}
		out = append(out, fmt.Sprintf("  %s: %s [%s]", side, e.Text, e.Source))
	}
	return out
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func plan(j rules.Judgement) []string {
	var out []string
	for i, t := range j.Plan {
		out = append(out, fmt.Sprintf("%d. %s", i+1, t.Text))
	}
	if len(out) == 0 {
		out = []string{"No plan yet: what killed it has to be known first."}
		if j.NextCheck.Text != "" {
			out = append(out, "Next: "+j.NextCheck.Text)
		}
	}
	return out
}

// move makes a case the one in hand and shows where it stands; what was held goes
// on it.
func (s *step) move() {
	s.p.Current, s.p.Named, s.p.Closing = s.c.Number, s.in.At, false
	s.logMessage(s.in)
	held := s.p.Held
	s.p.Held = nil
	for _, in := range held {
		s.file(in)
	}
	s.stand()
	if e, ok := s.c.outcome(); ok {
		s.say("Closed " + e.At.Format("2 Jan 2006") + ": " + e.Text + ".")
	}
}

func (c Case) outcome() (caselog.Entry, bool) {
	for _, e := range c.Entries {
		if e.Kind == caselog.KindOutcome {
			return e, true
		}
	}
	return caselog.Entry{}, false
}
