// Package casetest is the smallest conversation that needs everything a store
// promises; tests of stores, workers and replicas share it.
package casetest

import (
	"fmt"
	"strings"
	"time"

	"coldcase/bot/caselog"
)

// Message is a text of a phone.
func Message(id, person, text string, at time.Time) caselog.Inbound {
	return caselog.Inbound{Source: "sms", ID: id, Person: person, Text: text, At: at}
}

// File opens a case for whoever has none, and logs the message with a reply to be sent.
func File(in caselog.Inbound) func(caselog.Tx) error {
	return func(t caselog.Tx) error {
		p, err := t.Person(in.Person)
		if err != nil {
			return err
		}
		if p.Current == 0 {
			if p.Current, err = t.Open(caselog.Case{OpenedBy: in.Person, Opened: in.At}); err != nil {
				return err
			}
		}
		if err := t.Append(p.Current, []caselog.Entry{
			{At: in.At, Kind: caselog.KindMessage, By: in.Person, Channel: in.Source, ProviderID: in.ID, Text: in.Text},
			{At: in.At, Kind: caselog.KindReply, By: "coldcase", Text: Reply(in.Text)},
		}); err != nil {
			return err
		}
		if err := t.SavePerson(p); err != nil {
			return err
		}
		return t.Enqueue(caselog.Outgoing{Dest: "sms:" + in.Person, Kind: "text", Payload: in.Text, Idem: "re/" + in.ID, Case: p.Current})
	}
}

// Reply is what File answers.
func Reply(text string) string { return "re: " + text }

// Story is what the casebook holds of each person: the texts in order. An error
// names the first case that is not whole.
func Story(t caselog.Tx) (map[string][]string, error) {
	story, ids := map[string][]string{}, map[string]bool{}
	for c, err := range t.Find(caselog.Filter{}) {
		if err != nil {
			return nil, err
		}
		entries, err := t.Entries(c.Number)
		if err != nil {
			return nil, err
		}
		if story[c.OpenedBy] != nil {
			return nil, fmt.Errorf("case %s: %s has another one", c.Number, c.OpenedBy)
		}
		if story[c.OpenedBy], err = whole(c, entries, ids); err != nil {
			return nil, fmt.Errorf("case %s: %w", c.Number, err)
		}
	}
	return story, nil
}

// whole checks that every message stands once, with its reply behind it, and that Seq has no holes.
func whole(c caselog.Case, entries []caselog.Entry, ids map[string]bool) (texts []string, err error) {
	if c.Entries != len(entries) || len(entries)%2 != 0 {
		return nil, fmt.Errorf("%d entries, %d counted", len(entries), c.Entries)
	}
	for i, e := range entries {
		switch {
		case e.Seq != i+1:
			return nil, fmt.Errorf("entry %d stands in place %d", e.Seq, i+1)
		case i%2 == 1 && (e.Kind != caselog.KindReply || strings.TrimPrefix(e.Text, Reply("")) != texts[len(texts)-1]):
			return nil, fmt.Errorf("entry %d is not the reply to the one before", e.Seq)
		case i%2 == 1:
			continue
		case e.By != c.OpenedBy:
			return nil, fmt.Errorf("a message of %s landed on a case of %s", e.By, c.OpenedBy)
		case ids[e.ProviderID]:
			return nil, fmt.Errorf("message %s stands twice", e.ProviderID)
		}
		ids[e.ProviderID] = true
		texts = append(texts, e.Text)
	}
	return texts, nil
}
