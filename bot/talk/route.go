package talk

import (
	"regexp"
	"slices"
	"strings"
	"time"

	"coldcase/bot/casenumber"
	"coldcase/bot/intake"
	"coldcase/refdata/vocab"
)

// Action is what a message asks of the case file.
type Action int

// The actions.
const (
	Reply   Action = iota // say something; the case, if any, is as it was
	File                  // file it on the case in hand
	Open                  // open a case for it
	Hold                  // ask first whose job it is
	Keep                  // nothing to file and no case: keep it for the next one
	Resolve               // file what was held, on the case in hand
	Restart               // file what was held, on a new case
	Move                  // make another case the one in hand
	Undo
	Close
	Watch
	Fitted // what was fitted, after closing
)

// Request is a message understood as far as it can be without its case.
type Request struct {
	Action  Action
	Word    string
	Rest    string
	Number  casenumber.Number // of Move, and of File when another case is named
	Why     string            // of Hold, in words
	Message intake.Message
}

// quiet is after how long a new message may be of another job.
const quiet = 12 * time.Hour

// Understand reads a message against the case in hand and says what is to be done.
func (h *Helper) Understand(c Case, p Person, in Incoming) (Request, error) {
	if w, ok := ReadWord(in.Text); ok {
		return wordRequest(w, c, p), nil
	}
	b, err := c.Record()
	if err != nil {
		return Request{}, err
	}
	context := b.Context()
	if c.Closed() && p.Named.IsZero() {
		context = intake.Context{}
	}
	n, named, text := caseNamed(in.Text)
	m := h.Reader.Read(text, context)
	req := Request{Message: m}
	switch {
	case named && n == 0, slices.ContainsFunc(m.Asks, func(a intake.Ask) bool { return a.Key == string(vocab.Case) }):
		req.Action, req.Why = Hold, whichCase
	case named:
		req.Action, req.Number = File, n
	case m.Facts[vocab.Case] != "":
		n, err := casenumber.Parse(m.Facts[vocab.Case])
		if err != nil {
			req.Action, req.Why = Hold, whichCase
			break
		}
		req.Action, req.Number = File, n
	case p.Closing && c.Closed() && tellsFitted(m):
		req.Action = Fitted
	case !c.Open() && (!c.Closed() || p.Named.IsZero()):
		req.Action = Keep
		if says(m) {
			req.Action = Open
		}
	case len(p.Held) > 0 && says(m):
		req.Action, req.Why = Hold, sameJob(c, b.Record().Facts)
	default:
		req.Action = File
		if why := otherJob(c, p, b.Record().Facts, m, in); why != "" {
			req.Action, req.Why = Hold, why
		}
	}
	return req, nil
}

const whichCase = "That case number fails its check digit: a digit is off. Which case? Send case and its number, or new."

var caseAhead = regexp.MustCompile(`(?i)^case *#? *([0-9]+-[0-9])\b[:,;]? *`)

// caseNamed takes a case number that leads a message off it; n is 0 when its check
// digit fails.
func caseNamed(text string) (n casenumber.Number, named bool, rest string) {
	text = Clean(text)
	at := caseAhead.FindStringSubmatchIndex(text)
	if at == nil {
		return 0, false, text
	}
	n, err := casenumber.Parse(text[at[2]:at[3]])
	if err != nil {
		return 0, true, text[at[1]:]
	}
	return n, true, text[at[1]:]
}

// says reports whether a message has anything for a case.
func says(m intake.Message) bool {
	return len(m.Readings)+len(m.Findings)+len(m.Facts) > 0 || tells(m) || m.Question != nil || len(m.Asks) > 0
}

// tells reports a circumstance that is worth keeping: that somebody does not mean to do
// something is none.
func tells(m intake.Message) bool {
	for c, yes := range m.Circumstances {
		if yes || !c.Announces() {
			return true
		}
	}
	return false
}

// tellsFitted reports whether a message can be the answer to "what was fitted?":
// one with readings or another unit is of a new job.
func tellsFitted(m intake.Message) bool {
	return len(m.Readings) == 0 && m.Facts[vocab.Unit] == "" && m.Facts[vocab.Site] == "" && m.Facts[vocab.Refrigerant] == ""
}

// otherJob is the question to ask when the message may be of another job.
func otherJob(c Case, p Person, known vocab.Facts, m intake.Message, in Incoming) string {
	unit, named := m.Facts[vocab.Unit], known[vocab.Unit]
	if unit != "" && named != "" {
		if sameName(unit, named) && (m.Facts[vocab.Site] == "" || known[vocab.Site] == "" || sameName(m.Facts[vocab.Site], known[vocab.Site])) {
			return ""
		}
		return "Case " + c.Number.String() + " is " + place(known) + ". Another job? Send new, or same to put this on it."
	}
	if in.At.Sub(c.LastHeard()) > quiet && in.At.Sub(p.Named) > quiet && says(m) {
		return sameJob(c, known)
	}
	return ""
}

func sameJob(c Case, known vocab.Facts) string {
	where := place(known)
	if where != "" {
		where = " (" + where + ")"
	}
	return "Same job as case " + c.Number.String() + where + "? Send same, or new. I hold your readings till then."
}

func sameName(a, b string) bool {
	squash := func(s string) string {
		return strings.ToLower(strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '-' }), ""))
	}
	return squash(a) == squash(b)
}

func place(f vocab.Facts) string {
	switch {
	case f[vocab.Unit] == "":
		return f[vocab.Site]
	case f[vocab.Site] == "":
		return f[vocab.Unit]
	}
	return f[vocab.Unit] + " @ " + f[vocab.Site]
}

func wordRequest(w Word, c Case, p Person) Request {
	req := Request{Word: w.Name, Rest: w.Rest}
	switch w.Name {
	case "new":
		if len(p.Held) > 0 {
			req.Action = Restart
		}
	case "same":
		if len(p.Held) > 0 && c.Number > 0 {
			req.Action = Resolve
		}
	case "case":
		n, err := casenumber.Parse(w.Rest)
		if err != nil {
			req.Why = "Case " + w.Rest + " fails its check digit: a digit is off. Which case is it?"
			break
		}
		req.Action, req.Number = Move, n
	case "undo":
		req.Action = Undo
	case "close":
		req.Action = Close
	case "watch":
		req.Action = Watch
	}
	return req
}

// NoSuchCase is the request when the case that it names is not there: its readings
// wait until its sender says whose they are.
func (r Request) NoSuchCase() Request {
	r.Why = "There is no case " + r.Number.String() + ". Which case is it? Send case and its number, or new."
	if r.Action == File {
		r.Action = Hold
	} else {
		r.Action = Reply
	}
	r.Number = 0
	return r
}
