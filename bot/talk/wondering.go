package talk

import (
	"slices"
	"strings"

	"coldcase/bot/intake"
	"coldcase/refdata/phrases"
)

// wondering answers a message of an open case that asks something and tells nothing:
// where the case stands, with the numbers that it names.
func (s *step) wondering() {
	v, err := s.view()
	if err != nil {
		s.err = err
		return
	}
	s.creeping(&v)
	s.compose(v)
	a := &s.answer
	a.Answers = true
	a.Unread = nil // its words were to ask, not to tell
	asked := strings.FieldsFunc(strings.ToLower(s.in.Text), func(r rune) bool { return r < 'a' || r > 'z' })
	named := func(label string) bool {
		return slices.ContainsFunc(strings.Fields(label), func(w string) bool { return len(w) >= 4 && slices.Contains(asked, w) })
	}
	found := false
	for i := range a.Numbers {
		if named(a.Numbers[i].Label) {
			a.Numbers[i].Minor, a.Numbers[i].Known, found = false, false, true
		}
	}
	a.Missing = slices.DeleteFunc(a.Missing, func(m string) bool {
		what, _, _ := strings.Cut(m, " (")
		return !named(what)
	})
	if !found && len(a.Missing) == 0 && len(a.Said) == 0 {
		a.Said = append(a.Said, "I can't answer every question in words. Where it stands:")
	}
}

// mayRun answers a question about letting it run, starting or stopping it, by what is
// known: never with a yes.
func (s *step) mayRun(v view) {
	asks := slices.ContainsFunc(s.read, func(m intake.Message) bool { return m.Question != nil })
	if asks || !phrases.IsQuestion(s.in.Text) || !phrases.AsksToRun(s.in.Text) {
		return
	}
	s.answer.Answers = true
	switch {
	case len(v.j.Verdicts) > 0 && v.j.Verdicts[0].Severity == "stop":
		s.say("It must not run: " + lower(v.j.Verdicts[0].Title) + ".")
	case v.j.Standing == "failed":
		s.say("No start as it is. The cautions and the next check come first.")
	case v.j.Standing == "healthy":
		s.say("Nothing I was told says stop. You are the one who sees it.")
	default:
		s.say("Nothing I was told says stop at once, but I know too little to say that it may run.")
	}
}

func lower(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}
