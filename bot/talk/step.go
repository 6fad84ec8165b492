package talk

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/intake"
	"coldcase/bot/record"
	"coldcase/calc/derive"
	"coldcase/refdata/vocab"
	"coldcase/rules"
)

// Helper is what a conversation is held with: words and rules. Both are immutable;
// a change of rules makes another Helper.
type Helper struct {
	Reader *intake.Reader
	Rules  *rules.Set
}

// Case is a case as the conversation sees it.
type Case struct {
	Head    caselog.Case
	Entries []caselog.Entry
	Earlier []caselog.Case // of the same unit
}

// Note is the body of a reading entry: the message as it was understood then.
type Note struct {
	Of      int            `json:"of,omitempty"` // place of its message among the entries of this turn
	Message intake.Message `json:"message"`
}

// Undo is the body of a correction entry.
type Undo struct {
	TakesBack int `json:"takes_back"` // seq of the message
}

// Replay gathers what the entries of a case say, without what was taken back.
func Replay(entries []caselog.Entry) (*record.Builder, error) {
	gone := map[int]bool{}
	for _, e := range entries {
		var u Undo
		if e.Kind == caselog.KindCorrection && json.Unmarshal(e.Body, &u) == nil {
			gone[u.TakesBack] = true
		}
	}
	b := record.New()
	for _, e := range entries {
		if e.Kind != caselog.KindReading || gone[e.Seq-1] {
			continue
		}
		var n Note
		if err := json.Unmarshal(e.Body, &n); err != nil {
			return nil, fmt.Errorf("entry %d: %w", e.Seq, err)
		}
		b.Add(n.Message, e.At)
	}
	return b, nil
}

// Turn is what one message leads to.
type Turn struct {
	Entries   []caselog.Entry // to append, in order; the reply comes last
	Answer    Answer
	Read      intake.Message
	Judgement rules.Judgement
	Numbers   derive.Result
	Asked     string // the key that the answer asks for
}

// Step reads a message on a case.
func (h *Helper) Step(c *Case, in caselog.Inbound, p caselog.Person) (Turn, error) {
	b, err := Replay(c.Entries)
	if err != nil {
		return Turn{}, err
	}
	if p.Metric != nil {
		b.SetMetric(*p.Metric)
	}
	b.Asked(p.Asked)
	m := h.Reader.Read(in.Text, b.Context())
	b.Add(m, in.At)
	rec := b.Record()
	t := Turn{Read: m, Numbers: derive.Numbers(rec)}
	if len(c.Entries) > 0 && saysNothing(m) {
		t.Answer = Answer{Case: c.Head.Number.String(), Notice: []string{"Kept on case " + c.Head.Number.String() + ". Nothing to read in it."}, NotUnderstood: m.Unread}
		t.Asked = p.Asked
		t.Entries, err = entriesOf(in, m, h.Rules.Judge(rec, t.Numbers))
		return t, err
	}
	t.Judgement = h.Rules.Judge(rec, t.Numbers)
	for _, a := range b.OpenAsks() {
		t.Judgement.Asks = mergeAsk(t.Judgement.Asks, rules.Ask{Key: a.Key, Why: a.Why})
	}
	t.Answer = h.answer(c, m, rec, t)
	t.Asked = firstAsk(t.Answer, t.Judgement)
	t.Entries, err = entriesOf(in, m, t.Judgement)
	return t, err
}

// saysNothing reports a message that tells the case nothing new.
func saysNothing(m intake.Message) bool {
	return len(m.Readings)+len(m.Facts)+len(m.Findings)+len(m.Asks)+len(m.Circumstances) == 0 && m.Question == nil
}

// mergeAsk puts a doubt about something typed before the things that are missing.
func mergeAsk(asks []rules.Ask, a rules.Ask) []rules.Ask {
	asks = slices.DeleteFunc(asks, func(o rules.Ask) bool { return o.Key == a.Key })
	return append([]rules.Ask{a}, asks...)
}

func firstAsk(a Answer, j rules.Judgement) string {
	if a.Question == "" || len(j.Asks) == 0 {
		return ""
	}
	return j.Asks[0].Key
}

func entriesOf(in caselog.Inbound, m intake.Message, j rules.Judgement) ([]caselog.Entry, error) {
	note, err := json.Marshal(Note{Message: m})
	if err != nil {
		return nil, fmt.Errorf("keep what was read: %w", err)
	}
	standing, err := json.Marshal(judgementRecord(j))
	if err != nil {
		return nil, fmt.Errorf("keep the judgement: %w", err)
	}
	return []caselog.Entry{
		{At: in.At, Kind: caselog.KindMessage, By: in.Person, Channel: in.Source, ProviderID: in.ID, Text: in.Text},
		{At: in.At, Kind: caselog.KindReading, By: in.Person, Body: note},
		{At: in.At, Kind: caselog.KindJudgement, By: helperName, Body: standing},
	}, nil
}

const helperName = "coldcase"

// judgementRecord is what is kept of a judgement: where the case stood, by which
// rules.
func judgementRecord(j rules.Judgement) map[string]any {
	type standing struct {
		Cause    string  `json:"cause"`
		Standing string  `json:"standing"`
		Chance   float64 `json:"chance"`
	}
	var causes []standing
	for _, c := range j.Causes {
		if c.Standing == rules.Likely || c.Standing == rules.Possible {
			causes = append(causes, standing{c.Name, c.Standing, c.Chance})
		}
	}
	var verdicts []string
	for _, v := range j.Verdicts {
		verdicts = append(verdicts, v.Rule)
	}
	return map[string]any{"rules": j.Version, "standing": j.Standing, "causes": causes, "verdicts": verdicts, "next_check": j.NextCheck.Code}
}

// answer puts the turn into words, as data.
func (h *Helper) answer(c *Case, m intake.Message, rec derive.Record, t Turn) Answer {
	j := t.Judgement
	a := Answer{Case: c.Head.Number.String(), Opened: len(c.Entries) == 0, Where: where(rec.Facts), Standing: j.Standing, NotUnderstood: m.Unread, Cautions: newCautions(c, j)}
	for _, r := range m.Readings {
		a.Read = append(a.Read, Echo{Reading: r.Reading, Name: shortNames[r.Key]})
	}
	a.Facts, a.Findings = factWords(m.Facts), findingWords(m.Findings)
	a.Verdicts, a.Faults = j.Verdicts, j.Faults
	for i := range j.Causes {
		if k := &j.Causes[i]; (k.Standing == rules.Likely || k.Standing == rules.Possible) && k.Name != "undetermined" && k.Name != "none_healthy" {
			a.Lead = k
			break
		}
	}
	if len(m.Readings)+len(m.Facts)+len(m.Findings) > 0 {
		a.Numbers = mainNumbers(numberLines(t.Numbers, rec))
	}
	a.ask(j, m)
	for _, e := range c.Earlier {
		a.Earlier = append(a.Earlier, earlierLine(e))
	}
	if a.Lead != nil || len(j.Plan) > 0 {
		a.Hint = "why · plan · more · ?"
	} else {
		a.Hint = "?"
	}
	return a
}

// ask chooses the one question or the one next check: a doubt or something that
// is missing first, unless the case is settled enough to act on.
func (a *Answer) ask(j rules.Judgement, m intake.Message) {
	settled := j.Standing == "healthy" || a.Lead != nil && a.Lead.Standing == rules.Likely
	doubt := len(m.Asks) > 0
	if len(j.Asks) > 0 && (!settled || doubt) {
		a.Question = j.Asks[0].Why
		return
	}
	if doubt {
		a.Question = m.Asks[0].Why
		return
	}
	a.NextCheck = j.NextCheck.Text
}

// newCautions are those that this case was not yet told today; the rest was said.
func newCautions(c *Case, j rules.Judgement) []rules.Topic {
	var out []rules.Topic
	texts := map[string]bool{}
	for _, t := range j.Cautions {
		if texts[t.Text] || toldToday(c, t.Text) {
			continue
		}
		texts[t.Text] = true
		out = append(out, t)
	}
	return out
}

func toldToday(c *Case, text string) bool {
	for _, e := range c.Entries {
		if e.Kind == caselog.KindReply && strings.Contains(e.Text, text) && sameDay(e.At, c.Head.LastAt) {
			return true
		}
	}
	return false
}

func sameDay(a, b time.Time) bool {
	return a.Format(time.DateOnly) == b.Format(time.DateOnly)
}

func where(f vocab.Facts) string {
	switch unit, site := f[vocab.Unit], f[vocab.Site]; {
	case unit != "" && site != "":
		return unit + " @ " + site
	case unit != "":
		return unit
	default:
		return site
	}
}

func earlierLine(c caselog.Case) string {
	s := "case " + c.Number.String() + ", " + c.Opened.Format("2 Jan 2006")
	if c.Cause != "" {
		s += ": " + strings.ReplaceAll(c.Cause, "_", " ")
	}
	return s
}

func factWords(f vocab.Facts) []string {
	var out []string
	for _, k := range vocab.AllFacts() {
		v, ok := f[k]
		if !ok || k == vocab.Case || k == vocab.Unit || k == vocab.Site {
			continue
		}
		switch {
		case vocab.IsYesNo(k) && v == vocab.Yes:
			out = append(out, "has "+strings.ReplaceAll(strings.TrimPrefix(string(k), "has_"), "_", " "))
		case vocab.IsYesNo(k):
			out = append(out, "no "+strings.ReplaceAll(strings.TrimPrefix(string(k), "has_"), "_", " "))
		case k == vocab.Application:
			out = append(out, v+" temp")
		default:
			out = append(out, strings.ReplaceAll(v, "_", " "))
		}
	}
	return out
}

func findingWords(f map[vocab.Finding]bool) []string {
	var out []string
	for _, k := range vocab.AllFindings() {
		yes, ok := f[k]
		if !ok {
			continue
		}
		words := k.Title()
		if !yes {
			words = "not " + words
		}
		out = append(out, words)
	}
	return out
}

func takesBack(e caselog.Entry) int {
	var u Undo
	if json.Unmarshal(e.Body, &u) != nil {
		return 0
	}
	return u.TakesBack
}
