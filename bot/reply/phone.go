package reply

import (
	"slices"
	"strings"

	"coldcase/bot/talk"
)

// SMS is an answer for the phone line: GSM 03.38 characters, at most three
// segments unless more was asked for. Every caution is in it, whole; of the rest
// whole lines are left out, the least needed first, and `more` brings them.
func SMS(a talk.Answer) string {
	if !a.Full {
		p := compose(a)
		return p.text(a)
	}
	short := a
	short.Full = false
	lines := rest(phoneLines(a), compose(short).said())
	if len(lines) < 2 {
		return "That was all of it."
	}
	return join(lines)
}

func phoneLines(a talk.Answer) []Line {
	lines := Lines(a)
	for i := range lines {
		lines[i].Text = ToGSM(lines[i].Text)
	}
	return lines
}

func compose(a talk.Answer) *phone {
	lines := phoneLines(a)
	p := &phone{lines: lines, keep: make([]bool, len(lines)), left: MostSeptets - len(seeMore)}
	p.fill(a)
	return p
}

// rest are the lines that were not said yet, under the case's number.
func rest(all, said []Line) []Line {
	var out []Line
	for i, l := range all {
		if l.Kind == WordsLine || slices.Contains(said, l) {
			if i == 0 {
				l.Text, _, _ = strings.Cut(l.Text, ". Read: ")
				l.Text = strings.TrimSuffix(l.Text, ".") + ", more."
				out = append(out, l)
			}
			continue
		}
		out = append(out, l)
	}
	return out
}

const seeMore = "\n(more)"

// phone is a text message in the making.
type phone struct {
	lines []Line
	keep  []bool
	left  int  // septets
	cut   bool // not all of what was read is said
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
	if a.Answers {
		p.takeAll(SaidLine, 1)
	}
	p.takeAll(AskLine, 1)
	whole := p.takeBrief()
	if len(a.Numbers) > 0 && a.Numbers[0].Under {
		p.takeAll(NumberLine, 1)
	}
	if a.Case != "" {
		p.left += len(shortHeading(a)) + 1
		p.head(a)
	}
	p.reason(whole)
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
			if Septets(l.Text)+1 > p.left && !p.shorten(i) {
				return
			}
			p.take(i)
		}
		most--
	}
}

// takeBrief takes the first finding without its reason, which waits until what was read
// has its room: a misread number is caught by its echo alone. It gives the whole line.
func (p *phone) takeBrief() string {
	i := slices.IndexFunc(p.lines, func(l Line) bool { return l.Kind == FindingLine })
	if i < 0 {
		return ""
	}
	whole := p.lines[i].Text
	if what, _, more := strings.Cut(whole, ". "); more {
		p.lines[i].Text = what + "."
	}
	if Septets(p.lines[i].Text)+1 > p.left {
		p.lines[i].Text = whole
		return ""
	}
	p.take(i)
	return whole
}

// reason gives the first finding its reason back when there is room.
func (p *phone) reason(whole string) {
	i := slices.IndexFunc(p.lines, func(l Line) bool { return l.Kind == FindingLine })
	if whole == "" || whole == p.lines[i].Text {
		return
	}
	more := Septets(whole) - Septets(p.lines[i].Text)
	if more > p.left {
		p.cut = true
		return
	}
	p.lines[i].Text = whole
	p.left -= more
}

// shorten leaves a finding's reason to `more` when only the finding fits.
func (p *phone) shorten(i int) bool {
	what, _, more := strings.Cut(p.lines[i].Text, ". ")
	if p.lines[i].Kind != FindingLine || !more || Septets(what)+2 > p.left {
		return false
	}
	p.lines[i].Text, p.cut = what+".", true
	return true
}

// head takes what was read as far as it fits, cut between readings only.
func (p *phone) head(a talk.Answer) {
	if Septets(p.lines[0].Text)+1 <= p.left {
		p.take(0)
		return
	}
	read, assumed := p.lines[0].Text, ""
	if i := strings.LastIndex(read, " ("); i > 0 && strings.HasSuffix(read, " assumed).") {
		read, assumed = read[:i], read[i:]
	}
	parts := strings.Split(read, ", ")
	for n := len(parts) - 1; n > 0; n-- {
		cut := strings.Join(parts[:n], ", ") + ", ..." + assumed
		if Septets(cut)+1 <= p.left && strings.Contains(cut, ". Read: ") {
			p.lines[0].Text, p.cut = cut, true
			p.take(0)
			return
		}
	}
	p.lines[0].Text, p.cut = shortHeading(a), true
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
	if p.cut || len(a.Words) > 0 {
		return join(p.said()) + seeMore
	}
	for i, l := range p.lines {
		if !p.keep[i] && l.Kind != WordsLine {
			return join(p.said()) + seeMore
		}
	}
	return join(p.said())
}

func (p *phone) said() []Line {
	var out []Line
	for i, l := range p.lines {
		if p.keep[i] {
			out = append(out, l)
		}
	}
	return out
}

func join(lines []Line) string {
	var out []string
	for _, l := range lines {
		out = append(out, l.Text)
	}
	return strings.Join(out, "\n")
}
