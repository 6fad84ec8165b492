package talk

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/intake"
	"coldcase/bot/watch"
	"coldcase/calc/derive"
	"coldcase/refdata/phrases"
	"coldcase/refdata/vocab"
	"coldcase/rules"
)

// Helper is what a step works with: how messages are read and how cases are judged.
type Helper struct {
	Reader *intake.Reader
	Rules  *rules.Set
}

// us is who our own entries are by.
const us = "coldcase"

// Turn is what a step gives: entries to append to the case in hand, what to keep
// about the sender, and the answer.
type Turn struct {
	Entries []caselog.Entry
	Person  Person
	Answer  Answer
	Read    []intake.Message // what was read of each message filed
	Facts   vocab.Facts      // said in this turn: unit, site, refrigerant …
	Cause   string           // of the case that was closed in this turn
}

// step is a turn in the making.
type step struct {
	*Helper
	c       Case
	p       Person
	in      Incoming
	earlier []string
	fresh   []caselog.Entry
	read    []intake.Message
	was     string            // the refrigerant that the case had before this turn
	before  map[worth]float64 // its numbers, then
	answer  Answer
	cause   string // the confirmed one, when the case is closed
	swapped bool   // the compressor had been changed before this turn
	due     int    // follow-up visits that were open then
	err     error
}

// Step takes a request to its end. Earlier are the other cases of the same unit,
// in words. The case in hand is the one the request names: an empty one with its
// number when a case is to be opened.
func (h *Helper) Step(c Case, p Person, req Request, in Incoming, earlier []string) (Turn, error) {
	s := &step{Helper: h, c: c, p: p, in: in, earlier: earlier}
	switch req.Action {
	case File, Open:
		s.fileAll(in)
	case Resolve, Restart:
		s.fileAll(p.Held...)
		s.p.Held = nil
	case Hold:
		s.p.Held = append(s.p.Held[:len(s.p.Held):len(s.p.Held)], in)
		s.answer.Question = req.Why
		s.answer.Cautions = s.warnings(req.Message)
	case Keep: // no case, and nothing to open one with
		s.p = s.p.keep(in)
		s.nothingRead(req.Message)
	case Move:
		s.move()
	case Undo:
		s.undo()
	case Close:
		s.close(req.Rest)
	case Fitted:
		s.fitted()
	case Watch:
		s.watch()
	default:
		s.word(req)
	}
	if req.Word != "more" && s.answer.Case != "" && !s.answer.Draw {
		last := s.answer
		s.p.Last = &last
	}
	t := Turn{Entries: s.fresh, Person: s.p, Answer: s.answer, Read: s.read, Facts: vocab.Facts{}, Cause: s.cause}
	for _, m := range s.read {
		maps.Copy(t.Facts, m.Facts)
	}
	return t, s.err
}

// fileAll puts messages on the case in hand and answers where it stands.
func (s *step) fileAll(messages ...Incoming) {
	opened := len(s.c.Entries) == 0
	switch {
	case opened:
		s.p.Named = time.Time{}
	case s.c.Number != s.p.Current:
		s.p.Named = s.in.At
	}
	s.p.Current, s.p.Closing = s.c.Number, false
	if opened {
		for _, in := range s.p.Loose {
			if s.in.At.Sub(in.At) <= quiet {
				s.logMessage(in)
			}
		}
		s.p.Loose = nil
	}
	s.remember()
	for _, in := range messages {
		s.file(in)
	}
	s.answer.Opened = opened
	if !slices.ContainsFunc(s.read, says) {
		if !opened && phrases.IsQuestion(s.in.Text) {
			s.wondering()
			return
		}
		s.answer.Case = s.c.Number.String()
		for _, m := range s.read {
			s.nothingRead(m)
		}
		return
	}
	s.stand()
}

// remember notes where the case stood before this turn.
func (s *step) remember() {
	b, err := s.c.Record()
	if err != nil {
		s.err = err
		return
	}
	rec := b.Record()
	s.was, s.before = rec.Facts[vocab.Refrigerant], worths(derive.Numbers(rec))
	s.swapped, s.due = rec.Circumstances[vocab.CompressorChanged], s.c.openVisits()
}

// file puts one message and what was read of it on the case.
func (s *step) file(in Incoming) {
	b, err := s.c.Record()
	if err != nil {
		s.err = err
		return
	}
	_, _, text := caseNamed(in.Text)
	m := settle(s.Reader.Read(text, b.Context()))
	m.Asks = slices.DeleteFunc(m.Asks, func(a intake.Ask) bool { return a.Key == string(vocab.Case) }) // settled by now
	seq := s.logMessage(in)
	if len(m.Corrected) > 0 {
		s.log(caselog.KindCorrection, in.By, CorrectionBody{Keys: m.Corrected}, in.At)
	}
	if says(m) {
		s.log(caselog.KindReading, in.By, ReadingBody{Of: seq, Message: m}, in.At)
	}
	s.read = append(s.read, m)
	s.answer.Garbled = s.answer.Garbled || garbled(in.Text)
}

func (s *step) logMessage(in Incoming) int {
	e := caselog.Entry{Kind: caselog.KindMessage, At: in.At, By: in.By, Channel: in.Channel, ProviderID: in.ProviderID, Text: Fit(in.Text)}
	return s.add(e)
}

func (s *step) log(kind caselog.Kind, by string, body any, at time.Time) {
	raw, err := json.Marshal(body)
	if err != nil {
		s.err = fmt.Errorf("case %v, %s: %w", s.c.Number, kind, err)
		return
	}
	s.add(caselog.Entry{Kind: kind, At: at, By: by, Channel: s.in.Channel, Body: raw})
}

func (s *step) add(e caselog.Entry) int {
	e.Seq = len(s.c.Entries) + 1
	s.c.Entries = append(s.c.Entries, e)
	s.fresh = append(s.fresh, e)
	return e.Seq
}

// stand computes and judges the case, logs the judgement and composes the answer.
func (s *step) stand() {
	v, err := s.view()
	if err != nil {
		s.err = err
		return
	}
	s.creeping(&v)
	s.watching(v)
	if len(s.fresh) > 0 {
		s.log(caselog.KindJudgement, us, judgementBody(v), s.in.At)
	}
	s.compose(v)
}

// view is where the case stands now.
type view struct {
	rec  derive.Record
	res  derive.Result
	j    rules.Judgement
	asks []intake.Ask // of the messages, still open

	creeps []watch.Trend // over the visits of a watch
}

func (s *step) view() (view, error) {
	b, err := s.c.Record()
	if err != nil {
		return view{}, err
	}
	if s.p.Metric != nil {
		b.SetMetric(*s.p.Metric)
	}
	rec := b.Record()
	res := derive.Numbers(rec)
	return view{rec: rec, res: res, j: s.Rules.Judge(rec, res), asks: b.OpenAsks()}, nil
}

func judgementBody(v view) JudgementBody {
	out := JudgementBody{Rules: v.j.Version, Standing: v.j.Standing}
	for _, c := range v.j.Causes {
		out.Causes = append(out.Causes, JudgedCause{Cause: c.Name, Standing: c.Standing, Chance: c.Chance})
	}
	for _, w := range v.j.Verdicts {
		out.Verdicts = append(out.Verdicts, w.Rule)
	}
	at := map[JudgedNumber]int{}
	for _, n := range v.res.Numbers {
		which := JudgedNumber{Name: string(n.Name), Load: string(n.Load), State: string(n.State)}
		i, had := at[which]
		if !had {
			i = len(out.Numbers)
			at[which], out.Numbers = i, append(out.Numbers, which)
		}
		which.Value, which.Unit, which.Visit = n.Value, string(n.Unit), n.Visit
		out.Numbers[i] = which
	}
	return out
}
