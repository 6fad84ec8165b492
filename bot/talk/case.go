package talk

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
	"coldcase/bot/intake"
	"coldcase/bot/record"
	"coldcase/refdata/vocab"
)

// Case is a case as the log holds it. Everything about it follows from its entries.
type Case struct {
	Number  casenumber.Number
	Entries []caselog.Entry

	decoded map[int]ReadingBody // what was read, by seq; nil: each look decodes anew
}

// CaseOf is a case to be looked at several times: each reading is decoded once.
func CaseOf(n casenumber.Number, entries []caselog.Entry) Case {
	return Case{Number: n, Entries: entries, decoded: map[int]ReadingBody{}}
}

// reading is what was read of a message.
func (c Case) reading(e caselog.Entry) (ReadingBody, error) {
	body, known := c.decoded[e.Seq]
	if known {
		return body, nil
	}
	if err := json.Unmarshal(e.Body, &body); err != nil {
		return body, fmt.Errorf("case %v, entry %d: %w", c.Number, e.Seq, err)
	}
	if c.decoded != nil {
		c.decoded[e.Seq] = body
	}
	return body, nil
}

// The bodies of entries.
type (
	// ReadingBody is what was read of a message; it is kept as it was believed.
	ReadingBody struct {
		Of      int            `json:"of"` // seq of the message
		Message intake.Message `json:"message"`
	}
	// CorrectionBody takes a message back, or says which values a message itself put
	// in the place of earlier ones in it: its reading holds only the last.
	CorrectionBody struct {
		TakesBack int         `json:"takes_back,omitempty"` // seq of the message
		Keys      []vocab.Key `json:"keys,omitempty"`
	}
	// JudgementBody is where the case stood, by which rules, with the newest of each
	// number: the readings give the earlier ones.
	JudgementBody struct {
		Rules    string         `json:"rules"` // version of the rule packs
		Standing string         `json:"standing"`
		Causes   []JudgedCause  `json:"causes"`
		Verdicts []string       `json:"verdicts,omitempty"` // rule ids
		Numbers  []JudgedNumber `json:"numbers,omitempty"`
	}
	// JudgedCause is a cause as it stood.
	JudgedCause struct {
		Cause    string  `json:"cause"`
		Standing string  `json:"standing"`
		Chance   float64 `json:"chance"`
	}
	// JudgedNumber is a number as it was computed.
	JudgedNumber struct {
		Name  string  `json:"name"`
		Value float64 `json:"value"`
		Unit  string  `json:"unit"`
		Load  string  `json:"load,omitempty"`
		State string  `json:"state"`
		Visit int     `json:"visit"`
	}
	// OutcomeBody closes a case.
	OutcomeBody struct {
		Cause  string `json:"cause,omitempty"` // a cause of interfaces.md
		Fitted string `json:"fitted,omitempty"`
	}
	// VisitBody is a follow-up visit that is to come.
	VisitBody struct {
		Of    int       `json:"of,omitempty"` // seq of the message that set it
		Due   time.Time `json:"due"`
		Name  string    `json:"name"`
		Wants []string  `json:"wants,omitempty"`
		Anew  bool      `json:"anew,omitempty"` // the first of a watch that takes the place of an earlier one
	}
)

// Open reports whether the case was opened and not closed.
func (c Case) Open() bool { return len(c.Entries) > 0 && !c.Closed() }

// Closed reports whether the outcome is in.
func (c Case) Closed() bool {
	return slices.ContainsFunc(c.Entries, func(e caselog.Entry) bool { return e.Kind == caselog.KindOutcome })
}

// LastHeard is when the case last got something for its record.
func (c Case) LastHeard() time.Time {
	var t time.Time
	for _, e := range c.Entries {
		if e.Kind == caselog.KindReading {
			t = e.At
		}
	}
	return t
}

// takenBack are the seqs of the messages that were undone, and when.
func (c Case) takenBack() map[int]time.Time {
	gone := map[int]time.Time{}
	for _, e := range c.Entries {
		var b CorrectionBody
		if e.Kind == caselog.KindCorrection && json.Unmarshal(e.Body, &b) == nil && b.TakesBack > 0 {
			gone[b.TakesBack] = e.At
		}
	}
	return gone
}

// Record gathers what stands on the case.
func (c Case) Record() (*record.Builder, error) {
	return c.RecordEach(func(caselog.Entry, intake.Message) {})
}

// RecordEach gathers what stands on the case, and hands over what was read of each
// message that stands, with its entry.
func (c Case) RecordEach(each func(caselog.Entry, intake.Message)) (*record.Builder, error) {
	gone, b, asked := c.takenBack(), record.New(), caselog.Entry{}
	for _, e := range c.Entries {
		switch e.Kind {
		case caselog.KindReading:
			body, err := c.reading(e)
			if err != nil {
				return nil, err
			}
			if _, undone := gone[body.Of]; !undone {
				b.Add(body.Message, e.At)
				each(e, body.Message)
			}
		case caselog.KindReply:
			asked = e
		}
	}
	b.Asked(askedIn(asked))
	return b, nil
}

// askedIn is the key that a reply asks for: all that the record wants of an Answer, so
// the rest of a long one is not decoded. Nothing else in it has that name, and in what
// is said a quote is never bare.
func askedIn(e caselog.Entry) string {
	_, rest, _ := bytes.Cut(e.Body, []byte(`"asked":"`))
	key, _, _ := bytes.Cut(rest, []byte(`"`))
	return string(key)
}

// lastOf is the sender's last message with readings that still stands.
func (c Case) lastOf(by string) (caselog.Entry, bool) {
	gone := c.takenBack()
	for _, e := range slices.Backward(c.Entries) {
		if _, undone := gone[e.Seq]; !undone && e.Kind == caselog.KindMessage && e.By == by && c.readFrom(e.Seq) {
			return e, true
		}
	}
	return caselog.Entry{}, false
}

func (c Case) readFrom(seq int) bool {
	return slices.ContainsFunc(c.Entries, func(e caselog.Entry) bool {
		if e.Kind != caselog.KindReading {
			return false
		}
		b, err := c.reading(e)
		return err == nil && b.Of == seq
	})
}

// warned are the cautions that were sent in full on the case on this day.
func (c Case) warned(now time.Time) map[string]bool {
	out := map[string]bool{}
	for _, e := range c.Entries {
		var a Answer
		if e.Kind != caselog.KindReply || e.At.YearDay() != now.YearDay() || e.At.Year() != now.Year() || json.Unmarshal(e.Body, &a) != nil {
			continue
		}
		for _, k := range a.Cautions {
			out[k.Code] = true
		}
	}
	return out
}
