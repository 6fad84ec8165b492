package intake

import (
	"strings"

	"coldcase/refdata/vocab"
)

// contradictions are values of one breath that can't be together: both are asked
// about and neither is used.
func (p *parse) contradictions() {
	p.ordered(vocab.SuctionPressure, vocab.DischargePressure, "Head under suction can't be while it runs. Gauges swapped?", 3*6894.757)
	p.ordered(vocab.CutOutPressure, vocab.CutInPressure, "Cut-out has to be below cut-in. Which is which?", -1)
	p.ordered(vocab.VacuumLevel, vocab.VacuumRiseLevel, "A vacuum can't get deeper with the pump valved off. Which came first?", 0)
	p.ordered(vocab.PumpdownPressure, vocab.PumpdownRisePressure, "The low side can't fall during the wait. Which came first?", 0)
}

// ordered asks about two readings when the lower one is above the upper one by
// more than slack pascals.
func (p *parse) ordered(lower, upper vocab.Key, why string, slack float64) {
	low, okLow := p.value(lower)
	high, okHigh := p.value(upper)
	if !okLow || !okHigh || low <= high+slack {
		return
	}
	p.ask(string(lower), why)
	p.ask(string(upper), why)
	p.drop(lower)
	p.drop(upper)
}

func (p *parse) value(k vocab.Key) (float64, bool) {
	for _, r := range p.m.Readings {
		if r.Key == k {
			v, err := vocab.SI(r.Reading, 101325)
			return v, err == nil
		}
	}
	return 0, false
}

// findUnread gathers the pieces that mean nothing to us: runs of unknown words
// and numbers that nothing claimed.
func (p *parse) findUnread() {
	for _, s := range p.slots {
		p.take(s.from, s.to)
	}
	var run []string
	flush := func() {
		if len(run) > 0 && len(p.m.Unread) < 5 {
			p.m.Unread = append(p.m.Unread, strings.Join(run, " "))
		}
		run = nil
	}
	for i, t := range p.t {
		unknown := !p.taken[i] && t.Kind == 0 && len(t.Text) > 2 && !p.r.mender.Known(t.Text)
		if unknown {
			run = append(run, t.Raw)
		} else {
			flush()
		}
	}
	flush()
	for i := range p.nums {
		q := &p.nums[i]
		if !q.used && !q.ignored && q.unit == nil && len(p.m.Readings) > 0 && !q.spelled && len(p.m.Unread) < 5 {
			p.m.Unread = append(p.m.Unread, p.textOf(q.from, q.to))
		}
	}
}
