// Package casetest is the smallest conversation that needs everything a store
// promises; tests of stores, workers and replicas share it.
package casetest

import (
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
			{At: in.At, Kind: caselog.KindReply, By: "coldcase", Text: "re: " + in.Text},
		}); err != nil {
			return err
		}
		if err := t.SavePerson(p); err != nil {
			return err
		}
		return t.Enqueue(caselog.Outgoing{Dest: "sms:" + in.Person, Kind: "text", Payload: in.Text, Idem: "re/" + in.ID, Case: p.Current})
	}
}
