package reply

import (
	"strings"

	"coldcase/bot/talk"
)

// SMS is an answer for the phone line: GSM 03.38 characters, at most three
// segments unless more was asked for. Every caution is in it, whole; of the rest
// whole lines are left out, the least needed first, and `more` brings them.
func SMS(a talk.Answer) string {
	lines := Lines(a)
	for i := range lines {
		lines[i].Text = ToGSM(lines[i].Text)
	}
	if a.Full {
		return join(lines)
	}
	p := &phone{lines: lines, keep: make([]bool, len(lines)), left: MostSeptets - len(seeMore)}
	p.fill(a)
	return p.text(a)
}

const seeMore = "\n(more)"

// phone is a text message in the making.
type phone struct {
	lines []Line
	keep  []bool
	left  int // septets
}

// fill takes lines in the order of need until the message is full.
func (p *phone) fill(a talk.Answer) {
	for i, l := range p.lines {
		if l.Kind == CautionLine {
			p.take(i)
		}
	}
	if a.Case != "" {
		p.left -= len(shortHeading(a)) + 1
	}
	p.takeAll(AskLine, 1)
	p.takeAll(FindingLine, 1)
	if a.Case != "" {
		p.left += len(shortHeading(a)) + 1
		p.head(a)
	}
	for _, k := range []Kind{HeadLine, SaidLine, NumberLine, FindingLine, UnreadLine, MissingLine} {
		p.takeAll(k, len(p.lines))
	}
}

func (p *phone) take(i int) {
	p.keep[i] = true
	p.left -= Septets(p.lines[i].Text) + 1
}

// takeAll takes lines of a kind, in order, as long as they fit. Those of a list
// stop at the first that does not.
func (p *phone) takeAll(k Kind, most int) {
	for i, l := range p.lines {
		if l.Kind != k || most == 0 {
			continue
		}
		if !p.keep[i] {
			if Septets(l.Text)+1 > p.left {
				return
			}
			p.take(i)
		}
		most--
	}
}

// head takes what was read as far as it fits, cut between readings only.
func (p *phone) head(a talk.Answer) {
	if Septets(p.lines[0].Text)+1 <= p.left {
		p.take(0)
		return
	}
	parts := strings.Split(p.lines[0].Text, ", ")
	for n := len(parts) - 1; n > 0; n-- {
		cut := strings.Join(parts[:n], ", ") + ", ..."
		if Septets(cut)+1 <= p.left && len(cut) > len(shortHeading(a)) {
			p.lines[0].Text = cut
			p.take(0)
			return
		}
	}
	p.lines[0].Text = shortHeading(a)
	p.take(0)
}

func shortHeading(a talk.Answer) string {
	if a.Opened {
		return "New case " + a.Case + "."
	}
	return "Case " + a.Case + "."
}

// text joins what was taken, and says how to get the rest.
func (p *phone) text(a talk.Answer) string {
	var said []Line
	cut := strings.HasSuffix(p.lines[0].Text, ", ...")
	for i, l := range p.lines {
		if p.keep[i] {
			said = append(said, l)
		} else if l.Kind != WordsLine {
			cut = true
		}
	}
	if cut || len(a.Words) > 0 {
		return join(said) + seeMore
	}
	return join(said)
}

func join(lines []Line) string {
	var out []string
	for _, l := range lines {
		out = append(out, l.Text)
	}
	return strings.Join(out, "\n")
}
