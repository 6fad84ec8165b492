package talk

import (
	"fmt"
	"slices"
	"strings"

	"coldcase/bot/caselog"
	"coldcase/calc/derive"
	"coldcase/refdata/phrases"
)

// undo takes back the sender's last message that gave readings; both stay on record.
func (s *step) undo() {
	e, ok := s.c.lastOf(s.in.By)
	if !ok {
		s.say("Nothing of yours to take back here.")
		return
	}
	s.logMessage(s.in)
	s.log(caselog.KindCorrection, s.in.By, CorrectionBody{TakesBack: e.Seq}, s.in.At)
	s.say(fmt.Sprintf("Took back %q. Both stay on record.", short(e.Text)))
	s.stand()
}

func short(text string) string {
	const most = 60
	text = Clean(text)
	if len(text) <= most {
		return text
	}
	return shortened(text, most) + "…"
}

// close ends the case with its confirmed cause and asks for what was fitted.
func (s *step) close(what string) {
	switch {
	case !s.c.Open():
		s.say("No open case to close. Send case and its number first.")
		return
	case !s.in.Lead && s.c.Entries[0].By != s.in.By && !s.wrote(s.in.By):
		s.say("Case " + s.c.Number.String() + " is " + s.c.Entries[0].By + "'s: only a lead can close it.")
		return
	}
	s.answer.Case = s.c.Number.String()
	cause, fitted, _ := strings.Cut(what, ",")
	code, title, near := s.causeNamed(strings.TrimSpace(cause))
	switch {
	case cause == "":
		s.answer.Question = "What was it, and what was fitted? Like: close floodback, new expansion valve. Causes: " + strings.Join(s.titles(), ", ") + "."
		return
	case code == "" && len(near) > 1:
		s.answer.Question = fmt.Sprintf("Close as which: %s?", strings.Join(near, ", "))
		return
	case code == "":
		s.answer.Question = fmt.Sprintf("I don't know %q as a cause. Close as one of: %s.", cause, strings.Join(s.titles(), ", "))
		return
	}
	s.logMessage(s.in)
	s.outcome(OutcomeBody{Cause: code, Fitted: strings.TrimSpace(fitted)}, title)
	s.cause = code
	s.say("Closed: " + title + ".")
	s.watchFitted(fitted)
	s.p.Current = 0
	if s.p.Closing = fitted == ""; s.p.Closing {
		s.p.Current = s.c.Number
		s.answer.Question = "What was fitted?"
	}
}

// wrote reports whether the case has readings of a person.
func (s *step) wrote(by string) bool {
	return slices.ContainsFunc(s.c.Entries, func(e caselog.Entry) bool { return e.Kind == caselog.KindReading && e.By == by })
}

func (s *step) outcome(body OutcomeBody, text string) {
	if body.Fitted != "" {
		text += "; fitted: " + body.Fitted
	}
	s.log(caselog.KindOutcome, s.in.By, body, s.in.At)
	s.fresh[len(s.fresh)-1].Text = text
	s.c.Entries[len(s.c.Entries)-1].Text = text
}

// fitted puts what was fitted on the record of the case that was just closed.
func (s *step) fitted() {
	s.logMessage(s.in)
	s.outcome(OutcomeBody{Fitted: Clean(s.in.Text)}, "fitted")
	s.p.Closing, s.p.Current = false, 0
	s.answer.Case = s.c.Number.String()
	s.say("On record: " + short(s.in.Text) + ". Next readings start a new case.")
	s.watchFitted(s.in.Text)
}

// causeNamed finds the cause that was typed, by its words; near are the candidates
// when several fit as well.
func (s *step) causeNamed(typed string) (code, title string, near []string) {
	causes := s.Rules.Judge(derive.Record{}, derive.Result{}).Causes
	best := 0
	var codes []string
	for _, c := range causes {
		if notACause(c.Name) {
			continue
		}
		words := strings.Fields(strings.ReplaceAll(c.Name, "_", " "))
		if strings.ReplaceAll(strings.ToLower(typed), " ", "_") == c.Name {
			return c.Name, c.Title, nil
		}
		n := fits(typed, slices.Concat(words, strings.Fields(c.Title), phrases.CauseWords(c.Name)))
		if n > best {
			best, codes, near = n, nil, nil
		}
		if n == best && n > 0 {
			codes, near = append(codes, c.Name), append(near, c.Title)
		}
	}
	if len(codes) == 1 {
		return codes[0], near[0], nil
	}
	return "", "", near
}

func notACause(name string) bool { return name == "undetermined" || name == "none_healthy" }

// fits counts the typed words that begin like one of the words.
func fits(typed string, words []string) int {
	const enough = 4 // letters: slugging, slug
	n := 0
	for _, t := range strings.Fields(strings.ToLower(typed)) {
		if slices.ContainsFunc(words, func(w string) bool {
			k := min(len(w), len(t))
			return k > 2 && (w == t || k >= enough && strings.HasPrefix(t, w[:k]) && strings.HasPrefix(w, t[:k]))
		}) {
			n++
		}
	}
	return n
}

func (s *step) titles() []string {
	var out []string
	for _, c := range s.Rules.Judge(derive.Record{}, derive.Result{}).Causes {
		if !notACause(c.Name) {
			out = append(out, strings.ReplaceAll(c.Name, "_", " "))
		}
	}
	slices.Sort(out)
	return out
}
