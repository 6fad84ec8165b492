package talk

import (
	"encoding/json"
	"fmt"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/intake"
	"coldcase/bot/record"
)

// Replayed is a conversation that was read into one case without a store.
type Replayed struct {
	Case   Case
	Person Person
	Read   []intake.Message // one a message
}

// NewReplay starts one.
func NewReplay() *Replayed {
	return &Replayed{Case: CaseOf(1, nil), Person: Person{Name: "tech", Current: 1}}
}

// Add reads the next message as the conversation would: what the helper asked for
// last is known, undo, us and metric do what they do. Every message is of this one
// case, so nobody asks whose job it is.
func (h *Helper) Add(r *Replayed, text string, at time.Time) error {
	in := Incoming{By: r.Person.Name, Channel: "replay", Text: text, At: at, Lead: true}
	req := Request{Action: File}
	if w, ok := ReadWord(text); ok {
		req = wordRequest(w, r.Case, r.Person)
		if w.Name != "undo" && w.Name != "us" && w.Name != "metric" {
			req = Request{Action: File}
		}
	}
	turn, err := h.Step(r.Case, r.Person, req, in, nil)
	if err != nil {
		return err
	}
	body, err := json.Marshal(turn.Answer)
	if err != nil {
		return fmt.Errorf("replay: %w", err)
	}
	r.Person = turn.Person
	r.Case.Entries = append(r.Case.Entries, turn.Entries...)
	r.Case.Entries = append(r.Case.Entries, caselog.Entry{Seq: len(r.Case.Entries) + 1, At: at, Kind: caselog.KindReply, By: us, Body: body})
	read := intake.Message{}
	if len(turn.Read) > 0 {
		read = turn.Read[0]
	}
	r.Read = append(r.Read, read)
	return nil
}

// Record is what stands on the case at the end.
func (r *Replayed) Record() (*record.Builder, error) {
	b, err := r.Case.Record()
	if err == nil && r.Person.Metric != nil {
		b.SetMetric(*r.Person.Metric)
	}
	return b, err
}
