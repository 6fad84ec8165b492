// Package talk is one step of the conversation: a case as the log holds it, a
// message and the time give the entries to log and the answer. Pure: it holds no
// clock, no network and no store.
package talk

import (
	"slices"

	"coldcase/bot/intake"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// Answer is what is said back, as data: every outside says it in its own form
// (bot/reply). The order of the fields is the order of saying.
type Answer struct {
	Case     string    `json:"case,omitempty"` // with check digit
	Opened   bool      `json:"opened,omitempty"`
	Place    string    `json:"place,omitempty"` // unit and site, when just named
	Earlier  []string  `json:"earlier,omitempty"`
	Read     []Echo    `json:"read,omitempty"`
	Heard    []string  `json:"heard,omitempty"` // facts, findings and circumstances, in words
	Garbled  bool      `json:"garbled,omitempty"`
	Cautions []Caution `json:"cautions,omitempty"`
	Said     []string  `json:"said,omitempty"`    // what answers a word such as plan, in whole lines
	Answers  bool      `json:"answers,omitempty"` // what is said answers what the sender asked
	Err      error     `json:"-"`                 // why what was asked for can't be had; bot/reply words it
	Standing string    `json:"standing,omitempty"`
	Findings []Finding `json:"findings,omitempty"` // the worst first
	Numbers  []Number  `json:"numbers,omitempty"`  // the telling ones first
	Question string    `json:"question,omitempty"` // one question, or
	Next     string    `json:"next,omitempty"`     // the one next check
	Unread   []string  `json:"unread,omitempty"`   // as typed
	Missing  []string  `json:"missing,omitempty"`  // what else could be computed, and from what
	Asked    string    `json:"asked,omitempty"`    // the key that the question asks for
	Words    []string  `json:"words,omitempty"`    // what to type for more
	Full     bool      `json:"full,omitempty"`     // more was asked for: say all of it
	Page     bool      `json:"page,omitempty"`     // the address of the case's page belongs in Said
	Draw     bool      `json:"draw,omitempty"`     // the case's pictures belong in Pictures
	Pictures []Picture `json:"pictures,omitempty"` // they go along where pictures can; what they show is in Said
}

// Picture is a drawing of a case: what it shows in words, which say it wherever the
// drawing can't be sent, and how to have it.
type Picture struct {
	Name    string                 `json:"name"`  // cycle, trend
	Words   string                 `json:"words"` // a whole sentence
	Visit   int                    `json:"visit"` // the last one on it
	Rich    bool                   `json:"-"`     // enough readings to be worth a look unasked
	Address string                 `json:"-"`     // of its PNG for outsiders; "" where none can fetch it
	PNG     func() ([]byte, error) `json:"-"`
}

// Echo is a reading as it was taken.
type Echo struct {
	Key      vocab.Key  `json:"key"`
	Label    string     `json:"label"`
	Value    float64    `json:"value"`
	Unit     units.Code `json:"unit"`
	Tube     bool       `json:"tube,omitempty"` // a tube size: said in fractions
	Assumed  bool       `json:"assumed,omitempty"`
	Approx   bool       `json:"approx,omitempty"`
	Standing bool       `json:"standing,omitempty"` // taken with the machine at rest
}

// Caution is a warning; Known says that it was sent in full on this case today.
type Caution struct {
	Label    string `json:"label"`    // in a few words
	Code     string `json:"code"`     // its id in the catalogue
	Severity string `json:"severity"` // danger, warning, info
	Text     string `json:"text"`
	Known    bool   `json:"known,omitempty"`
}

// Finding is one thing to know: a verdict, a fault or what took the machine down.
type Finding struct {
	Severity string `json:"severity"` // stop, bad, watch, ok
	Text     string `json:"text"`
	Why      string `json:"why,omitempty"`
}

// Number is a computed number, in the units of the reply.
type Number struct {
	Label     string     `json:"label"`
	Value     float64    `json:"value"`
	Unit      units.Code `json:"unit"`
	PlusMinus float64    `json:"plus_minus,omitempty"` // what the instruments leave open
	Beside    string     `json:"beside,omitempty"`     // what it is held against
	Note      string     `json:"note,omitempty"`       // what was assumed on the way
	Under     bool       `json:"under,omitempty"`      // a finding rests on it
	Minor     bool       `json:"minor,omitempty"`      // said only when more is asked for
	Known     bool       `json:"known,omitempty"`      // said before on this case, and the same still
}

func echoes(m intake.Message) []Echo {
	var out []Echo
	all := m.Readings
	if m.Question != nil {
		all = append(slices.Clone(all), m.Question.Given...)
	}
	for _, r := range all {
		d, _ := vocab.Define(r.Key)
		out = append(out, Echo{
			Key: r.Key, Label: label(string(r.Key)), Value: r.Value, Unit: r.Unit, Tube: d.Quantity == vocab.TubeSize,
			Assumed: r.Assumed, Approx: r.Approx, Standing: r.State == vocab.Standing && (d.Quantity == vocab.GaugePressure || d.Quantity == vocab.Temperature),
		})
	}
	return out
}
