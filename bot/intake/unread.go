package intake

import (
	"strings"

	"coldcase/bot/intake/lex"
)

// mostUnread bounds what is echoed of a message that makes no sense.
const mostUnread = 5

// andMore stands behind them when there was more.
const andMore = "..."

// findUnread gathers the pieces that mean nothing to us: runs of unknown words,
// and numbers beside readings that nothing claimed.
func (p *parse) findUnread() {
	if p.m.Question == nil {
		for _, k := range p.unkept {
			p.m.Unread = append(p.m.Unread, p.textOf(k[0], k[1]))
		}
	}
	var run []string
	flush := func() {
		switch {
		case len(run) == 0 || len(p.m.Unread) > mostUnread:
		case len(p.m.Unread) == mostUnread:
			p.m.Unread = append(p.m.Unread, andMore)
		default:
			p.m.Unread = append(p.m.Unread, strings.Join(run, " "))
		}
		run = nil
	}
	for i := range p.t {
		t := &p.t[i]
		switch {
		case p.use[i] == unused && t.Kind == lex.Word && len(t.Plain) > 2 && !t.Known:
			run = append(run, t.Text)
		case p.use[i] == unused && t.Kind == lex.Number && p.isLeft(i) && p.saysSomething():
			run = append(run, t.Text)
		default:
			flush()
		}
	}
	flush()
}

// saysSomething: the message is about the machine, so that a number in it matters.
func (p *parse) saysSomething() bool {
	return len(p.m.Readings)+len(p.m.Asks)+len(p.m.Facts)+len(p.m.Findings)+len(p.names) > 0
}

// isLeft: a number that nothing read, asked about or set aside.
func (p *parse) isLeft(i int) bool {
	if k := p.numOf[i]; k >= 0 {
		return !p.nums[k].used && !p.nums[k].idle
	}
	return p.nameOf[i] < 0 // the digits of a leg are no numbers
}
