package talk

import (
	"encoding/json"
	"slices"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/calc/derive"
)

// InThread settles a request that was made in a case's own thread: whose job it is
// needs no asking there.
func (r Request) InThread() Request {
	switch {
	case r.Word == "new" || r.Word == "same":
		return Request{Action: Reply, Why: "This thread is for this case alone. Write to me directly for another one."}
	case r.Action == Hold && r.Why == whichCase, r.Word != "":
		return r
	case r.Action == Hold, r.Action == Keep, r.Action == Open:
		r.Action, r.Why = File, ""
	}
	return r
}

// Chatter reports a message that holds nothing for a case: people talk to each
// other in a thread.
func (r Request) Chatter() bool { return r.Word == "" && r.Why == "" && !says(r.Message) }

// Guest is somebody who writes in the thread of a case, which is the one in hand
// there whatever they have in hand elsewhere.
func (p Person) Guest(c Case, at time.Time) Person {
	return Person{
		Name: p.Name, Current: c.Number, Named: at, Metric: p.Metric, Greeted: p.Greeted,
		Last: c.lastAnswer(), Closing: c.asked(p.Name),
	}
}

// After takes over what holds everywhere.
func (p Person) After(guest Person) Person {
	p.Metric, p.Greeted = guest.Metric, guest.Greeted
	return p
}

// lastAnswer is what was said last on the case.
func (c Case) lastAnswer() *Answer {
	for _, e := range slices.Backward(c.Entries) {
		var a Answer
		if e.Kind == caselog.KindReply && len(e.Body) > 0 && json.Unmarshal(e.Body, &a) == nil && a.Case != "" {
			return &a
		}
	}
	return nil
}

// asked: closed by this person, who has not told yet what was fitted.
func (c Case) asked(by string) bool {
	waits := false
	for _, e := range c.Entries {
		var b OutcomeBody
		if e.Kind == caselog.KindOutcome && json.Unmarshal(e.Body, &b) == nil {
			waits = b.Fitted == "" && e.By == by
		}
	}
	return waits
}

// ClosesAs reports that the words are a cause's and nothing else: "close the valve"
// among people is no order to us, and "close valve" could be one to them.
func (h *Helper) ClosesAs(words string) bool {
	cause, _, _ := strings.Cut(strings.ToLower(Clean(words)), ",")
	typed := strings.Fields(cause)
	if len(typed) == 1 && strings.HasPrefix(typed[0], "valve") {
		return false
	}
	for _, c := range h.Rules.Judge(derive.Record{}, derive.Result{}).Causes {
		known := append(strings.Split(c.Name, "_"), strings.Fields(c.Title)...)
		if !notACause(c.Name) && len(typed) > 0 && fits(cause, known) == len(typed) {
			return true
		}
	}
	return false
}
