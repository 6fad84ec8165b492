package intake

import "coldcase/bot/intake/lex"

// judge says whether a phrase is denied or doubted where it stands.
func (p *parse) judge(m *lex.Match) {
	if p.unsure {
		p.r.scope.Judge(p.t, m)
		return
	}
	p.r.scope.JudgeDenied(p.t, m)
}

// denialOfAnother: the denial behind the phrase is that of the part or finding
// between, as in "oil clean acid neg".
func (p *parse) denialOfAnother(m *lex.Match) bool {
	i := m.To
	return m.DeniedAt == m.From && i < len(p.t) && (p.r.parts.At(p.t, i).To > i || p.r.direct.At(p.t, i).To > i)
}

// denialSpent: the "no" in front is that of another finding between, as in "no
// carbon valve plate good"; in "no carbon or plating" it is everyone's.
func (p *parse) denialSpent(m *lex.Match, from int, conditions []mention) bool {
	for i := firstFrom(conditions, m.DeniedAt); i < len(conditions) && conditions[i].From < from; i++ {
		o := &conditions[i]
		if o.From > m.DeniedAt && o.To <= from && !p.joins(o.To, from) {
			return true
		}
	}
	for k := len(p.directFound) - 1; k >= 0; k-- {
		o := p.directFound[k]
		if o.To <= m.DeniedAt {
			break
		}
		if o.From >= m.DeniedAt && o.To <= from && !p.joins(o.To, from) {
			return true
		}
	}
	return false
}

func (p *parse) joins(from, to int) bool {
	for k := from; k < to; k++ {
		if p.isOne("list_joins", k) && !p.spacedDash(k) {
			return true
		}
	}
	return false
}

// noBefore: "no reeds broken" has its no before the part.
func (p *parse) noBefore(i int) bool {
	return p.is(i-1, "no", "not", "zero") && !p.is(i-1, ",") || p.is(i-1, "the", "any", "of") && p.is(i-2, "none", "no")
}

// answered: in "valve plate damaged? nah its ok" the speaker answers himself.
func (p *parse) answered(i int) (told, answer bool) {
	for k := i; k < min(i+farOff, len(p.t)-1); k++ {
		if !p.is(k, "?") {
			continue
		}
		_, no := p.listed("answer_no", k+1)
		_, yes := p.listed("answer_yes", k+1)
		if p.is(k+1, "its", "theyre", "they") {
			return true, true // "the bulb? its loose"
		}
		return no || yes, yes
	}
	return false, false
}

// sayWhich: "broken reed, can't tell which" is sure of the reed.
func (p *parse) sayWhich(from, to int) bool {
	for k := from; k < len(p.t) && k < to+6; k++ {
		if p.is(k, "which", "cual") {
			return true
		}
	}
	return false
}

// notChecked: "haven't checked the oil", "bringing a drier".
func (p *parse) notChecked(from, to int) bool {
	for k := max(from-7, 0); k < to; k++ {
		if p.chunk[k] != p.chunk[from] {
			continue
		}
		if end, ok := p.listed("unchecked", k); ok && end <= from {
			return true
		}
	}
	return false
}

// spokenOfBefore: last month's finding is none of today's.
func (p *parse) spokenOfBefore(from, to int) bool {
	if !p.recalls {
		return false
	}
	lo, hi := p.window(from)
	for k := lo; k < hi; k++ {
		if p.numOf[k] >= 0 && p.nums[p.numOf[k]].idle {
			return false // it is the number that is of another day
		}
	}
	for k := lo; k < hi; k++ {
		if end, ok := p.listed("earlier", k); ok && !p.isOne("since_words", k-1) && (k < from && end <= to || k >= to) {
			return true
		}
	}
	return false
}
