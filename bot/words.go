package bot

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
	"coldcase/bot/talk"
)

// word does what the sender typed alone on a line.
func (h *handling) word(word, rest string) error {
	switch word {
	case "?", "how":
		return h.say(talk.HowAnswer(), nil)
	case "new":
		return h.startNew()
	case "same":
		return h.sameJob()
	case "case":
		return h.goTo(rest)
	case "us", "metric":
		metric := word == "metric"
		h.person.Metric = &metric
		return h.notice("Replies in " + map[bool]string{true: "metric", false: "US"}[metric] + " units from now on.")
	case "undo":
		return h.undo()
	case "close":
		return h.close(rest)
	}
	return h.onCase(word)
}

func (h *handling) notice(text string) error {
	return h.say(talk.Answer{Notice: []string{text}}, nil)
}

func (h *handling) startNew() error {
	if held := h.person.Holding; held != "" {
		h.person.Holding, h.person.Wants = "", "new"
		m := h.helper.Reader.Read(held, talk.ContextOf(h.person))
		return h.open(held, m.Facts)
	}
	h.person.Wants = "new"
	return h.notice("Next readings start a new case.")
}

func (h *handling) sameJob() error {
	held := h.person.Holding
	if held == "" {
		return h.onCase("case")
	}
	head, err := h.tx.Case(h.person.Current)
	if err != nil {
		return err
	}
	c, err := h.load(head)
	if err != nil {
		return err
	}
	return h.step(c, held)
}

// goTo makes a case the current one and shows where it stands.
func (h *handling) goTo(text string) error {
	n, err := casenumber.Parse(text)
	if errors.Is(err, casenumber.ErrCheck) {
		return h.notice(fmt.Sprintf("Case %s doesn't check out: a digit is wrong or two are swapped. Which number is it?", text))
	}
	if err != nil {
		return h.notice(fmt.Sprintf("%q is no case number. They look like %s.", text, casenumber.Number(1042)))
	}
	if _, err := h.tx.Case(n); errors.Is(err, caselog.ErrNoCase) {
		return h.notice(fmt.Sprintf("There is no case %s.", n))
	} else if err != nil {
		return err
	}
	h.person.Current, h.person.Wants, h.person.Holding = n, "", ""
	return h.onCase("case")
}

// onCase answers a word about the current case: case, why, plan, watch, more.
func (h *handling) onCase(word string) error {
	if h.person.Current == 0 {
		return h.notice("No case yet. Text me readings and I open one; ? shows how.")
	}
	head, err := h.tx.Case(h.person.Current)
	if err != nil {
		return err
	}
	c, err := h.load(head)
	if err != nil {
		return err
	}
	a, err := h.helper.About(c, word, h.person)
	if err != nil {
		return err
	}
	return h.say(a, []caselog.Entry{{At: h.in.At, Kind: caselog.KindMessage, By: h.in.Person, Channel: h.in.Source, ProviderID: h.in.ID, Text: h.in.Text}})
}

// undo takes back the sender's last message that was not taken back yet; both
// stay on record.
func (h *handling) undo() error {
	if h.person.Current == 0 {
		return h.notice("Nothing to take back.")
	}
	entries, err := h.tx.Entries(h.person.Current)
	if err != nil {
		return err
	}
	seq, text := talk.LastOf(entries, h.person.Name)
	if seq == 0 {
		return h.notice("Nothing to take back.")
	}
	body, err := json.Marshal(talk.Undo{TakesBack: seq})
	if err != nil {
		return fmt.Errorf("undo: %w", err)
	}
	a := talk.Answer{Case: h.person.Current.String(), Notice: []string{fmt.Sprintf("Took back: %q. Both stay on record.", short(text))}}
	return h.say(a, []caselog.Entry{{At: h.in.At, Kind: caselog.KindCorrection, By: h.in.Person, Channel: h.in.Source, ProviderID: h.in.ID, Text: h.in.Text, Body: body}})
}

func short(s string) string {
	const most = 60
	if len(s) <= most {
		return s
	}
	return strings.ToValidUTF8(s[:most], "") + "…"
}

// close ends the case with its confirmed cause and asks for what was fitted.
func (h *handling) close(cause string) error {
	if h.person.Current == 0 {
		return h.notice("No case to close.")
	}
	head, err := h.tx.Case(h.person.Current)
	if err != nil {
		return err
	}
	if !head.Closed.IsZero() {
		return h.notice(fmt.Sprintf("Case %s is closed already.", head.Number))
	}
	name, near := h.helper.CauseNamed(cause)
	if name == "" {
		text := "Close it with its confirmed cause: close CAUSE. Causes: " + strings.Join(h.helper.CauseNames(), ", ") + "."
		if near != "" {
			text = fmt.Sprintf("No cause is called %q. Did you mean %s? %s", cause, near, text)
		}
		return h.notice(text)
	}
	head.Closed, head.Cause, head.LastAt = h.in.At, name, h.in.At
	if err := h.tx.SaveCase(head); err != nil {
		return err
	}
	body, err := json.Marshal(map[string]string{"cause": name})
	if err != nil {
		return fmt.Errorf("close: %w", err)
	}
	a := talk.Answer{Case: head.Number.String(), Notice: []string{fmt.Sprintf("Case %s closed: %s. Text me what was fitted, with the case number, and it goes on the record.", head.Number, strings.ReplaceAll(name, "_", " "))}}
	return h.say(a, []caselog.Entry{{At: h.in.At, Kind: caselog.KindOutcome, By: h.in.Person, Channel: h.in.Source, ProviderID: h.in.ID, Text: h.in.Text, Body: body}})
}
