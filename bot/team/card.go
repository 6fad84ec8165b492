package team

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/slack-go/slack"

	"coldcase/bot/caselog"
	"coldcase/bot/reply"
	"coldcase/bot/talk"
)

// Actions of the buttons on a card and under it.
const (
	actWhy   = "why"
	actPlan  = "plan"
	actTake  = "take"
	actClose = "close"
	actCause = "close_as"
)

// Card is what the first post of a case's thread says.
type Card struct {
	Case        string
	Place       string // unit and site
	Refrigerant string
	OpenedBy    string
	Opened      time.Time
	InHand      string // who took the case
	Standing    string
	Outcome     string // once it is closed
	Closed      time.Time
	Cautions    []reply.Line
	Findings    []string
	Numbers     []string
	Next        string
	Link        string
}

// cardOf gathers a card from the record: where the case stood when that was last
// said, with every caution that held then.
func cardOf(head caselog.Case, entries []caselog.Entry) Card {
	c := Card{
		Case: head.Number.String(), Place: strings.Trim(head.Unit+" @ "+head.Site, " @"), Refrigerant: head.Refrigerant,
		OpenedBy: head.OpenedBy, Opened: head.Opened, Standing: head.Standing, Closed: head.Closed,
	}
	for _, e := range entries {
		switch e.Kind {
		case caselog.KindReply:
			var a talk.Answer
			if len(e.Body) > 0 && json.Unmarshal(e.Body, &a) == nil && a.Standing != "" {
				c.stands(a)
			}
			if by, ok := taken(e); ok {
				c.InHand = by
			}
		case caselog.KindOutcome:
			c.Outcome = outcome(c.Outcome, e)
		}
	}
	return c
}

// Card shows this much; the thread and the case page have the rest.
const (
	mostFindings = 4
	mostNumbers  = 6
	mostShort    = 400
	mostLong     = 1000
)

func (c *Card) stands(a talk.Answer) {
	for i := range a.Cautions {
		a.Cautions[i].Known = false // whole, whether said before or not
	}
	for i := range a.Numbers {
		a.Numbers[i].Known = false
	}
	c.Cautions, c.Findings, c.Numbers, c.Next = nil, nil, nil, ""
	for _, l := range reply.Lines(talk.Answer{Cautions: a.Cautions, Findings: a.Findings, Numbers: a.Numbers}) {
		switch {
		case l.Kind == reply.CautionLine:
			c.Cautions = append(c.Cautions, l)
		case l.Kind == reply.FindingLine && len(c.Findings) < mostFindings:
			c.Findings = append(c.Findings, cut(l.Text, mostLong))
		case l.Kind == reply.NumberLine && len(c.Numbers) < mostNumbers && !strings.HasPrefix(l.Text, "("):
			c.Numbers = append(c.Numbers, l.Text)
		}
	}
	if a.Next != "" {
		c.Next = "Next: " + a.Next
	}
	if a.Question != "" {
		c.Next = a.Question
	}
}

func outcome(before string, e caselog.Entry) string {
	var b talk.OutcomeBody
	if json.Unmarshal(e.Body, &b) == nil && b.Cause == "" && before != "" {
		return before + "; fitted: " + b.Fitted
	}
	return e.Text
}

// tookBody marks the entry of somebody who took a case.
type tookBody struct {
	Took string `json:"took"`
}

func taken(e caselog.Entry) (string, bool) {
	var b tookBody
	if json.Unmarshal(e.Body, &b) != nil || b.Took == "" {
		return "", false
	}
	return b.Took, true
}

var standingWords = map[string]string{
	"healthy": "Healthy", "suspect": "Suspect", "failed": "Failed", "undetermined": "Not settled yet",
}

// standing in a few words.
func (c Card) standing() string {
	switch {
	case !c.Closed.IsZero() && c.Outcome != "":
		return "Closed: " + c.Outcome
	case !c.Closed.IsZero():
		return "Closed"
	}
	if w, ok := standingWords[c.Standing]; ok {
		return w
	}
	return "Open"
}

func (c Card) title() string {
	title := "Case " + c.Case
	if c.Place != "" {
		title += " · " + c.Place
	}
	return title
}

// Plain is the card for notifications, and for whoever shows no blocks.
func (c Card) Plain() string {
	return Escape(cut(c.title()+": "+c.standing(), mostPlain))
}

// Blocks are the card in the provider's blocks.
func (c Card) Blocks() []slack.Block {
	out := []slack.Block{slack.NewHeaderBlock(slack.NewTextBlockObject(slack.PlainTextType, cut(oneLine(c.title()), mostHeader), false, false))}
	out = append(out, section(bold(c.standing(), mostShort)+c.about()))
	open := c.Closed.IsZero()
	if open {
		out = append(out, sections(c.Cautions)...)
		out = append(out, c.findings()...)
		if c.Next != "" {
			out = append(out, section(bold(c.Next, mostLong)))
		}
	}
	if c.Link != "" {
		out = append(out, slack.NewContextBlock("", markup("<"+c.Link+"|Case page>: every reading, the causes with their evidence, the plan")))
	}
	return append(out, c.buttons(open))
}

// about is the line under the standing.
func (c Card) about() string {
	parts := []string{}
	if c.Refrigerant != "" {
		parts = append(parts, c.Refrigerant)
	}
	parts = append(parts, "opened by "+c.OpenedBy+" "+c.Opened.Format("2 Jan 2006 15:04 MST"))
	if c.InHand != "" {
		parts = append(parts, "in hand: "+c.InHand)
	}
	return "\n" + Escape(cut(oneLine(strings.Join(parts, " · ")), mostShort))
}

func (c Card) findings() []slack.Block {
	var out []slack.Block
	if len(c.Findings) > 0 {
		out = append(out, sections(linesOf(reply.FindingLine, c.Findings))...)
	}
	if len(c.Numbers) > 0 {
		var fields []*slack.TextBlockObject
		for _, n := range c.Numbers {
			fields = append(fields, markup(Escape(cut(n, mostShort))))
		}
		out = append(out, slack.NewSectionBlock(nil, fields, nil))
	}
	return out
}

func linesOf(k reply.Kind, texts []string) []reply.Line {
	var out []reply.Line
	for _, t := range texts {
		out = append(out, reply.Line{Kind: k, Text: t})
	}
	return out
}

func (c Card) buttons(open bool) slack.Block {
	press := func(action, text string) slack.BlockElement {
		return slack.NewButtonBlockElement(action, c.Case, slack.NewTextBlockObject(slack.PlainTextType, text, false, false))
	}
	all := []slack.BlockElement{press(actWhy, "Why"), press(actPlan, "Plan")}
	if open {
		all = append(all, press(actTake, "Take the case"), press(actClose, "Close"))
	}
	return slack.NewActionBlock("case", all...)
}

// causeMenu is the choice of causes to close a case with, the likely ones first.
func causeMenu(n caselog.Number, names []string, entries []caselog.Entry) *menu {
	m := &menu{Action: actCause, Prompt: "Close case " + n.String() + " as"}
	var likely []string
	for _, e := range entries {
		var b talk.JudgementBody
		if e.Kind == caselog.KindJudgement && json.Unmarshal(e.Body, &b) == nil {
			likely = likely[:0]
			for _, c := range b.Causes {
				likely = append(likely, c.Cause)
			}
		}
	}
	rank := func(name string) int {
		if i := slices.Index(likely, name); i >= 0 {
			return i
		}
		return len(likely)
	}
	names = slices.Clone(names)
	slices.SortStableFunc(names, func(a, b string) int { return rank(a) - rank(b) })
	for _, name := range names {
		if name == "undetermined" || name == "none_healthy" {
			continue
		}
		words := strings.ReplaceAll(name, "_", " ")
		m.Choices = append(m.Choices, choice{Text: words, Value: fmt.Sprintf("%s %s", n, words)})
	}
	return m
}
