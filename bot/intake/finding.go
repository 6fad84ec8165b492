package intake

import (
	"slices"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/vocab"
)

// findFindings pairs conditions with the parts that they are said of, and reads
// the phrases that say a finding alone.
func (p *parse) findFindings() {
	covered := p.findDirect()
	parts := p.partsSaid(covered)
	conditions := p.conditionsSaid(covered)
	for i := range conditions {
		p.pairUp(&conditions[i], parts, conditions)
	}
	p.whichReed()
	if p.m.Findings[vocab.ReedBrokenSuction] || p.m.Findings[vocab.ReedBrokenDischarge] {
		delete(p.m.Findings, vocab.ReedBroken)
	}
}

// say notes what a condition says of a part.
func (p *parse) say(c, s *mention, conditions []mention) {
	f, seen, _ := p.meaning(c, s.part)
	m := c.Match
	p.judge(&m)
	if m.Negated && (p.denialOfAnother(&m) || p.denialSpent(&m, min(m.From, s.From), conditions)) {
		m.Negated = false
	}
	denied := m.Negated || s.To <= c.From && p.noBefore(s.From)
	if denied && !seen {
		return // "not good" does not say what is wrong
	}
	if seen == denied && p.m.Findings[f] && s.To < len(p.t) && p.t[s.To].Kind == lex.Number && !p.corrects {
		return // "fan 1 dead, fan 2 ok": one is dead
	}
	p.found(f, seen != denied, m, min(c.From, s.From), max(c.To, s.To))
	p.mark(s.From, s.To, named)
}

// found notes a finding, or asks when the sender was not sure.
func (p *parse) found(f vocab.Finding, yes bool, m lex.Match, from, to int) {
	if p.isQuestion(from) {
		told, answer := p.answered(from)
		if !told {
			return
		}
		yes = yes == answer
	}
	if slices.Contains(p.past, p.chunk[from]) || p.notChecked(from, to) || p.spokenOfBefore(from, to) {
		return
	}
	p.mark(m.From, m.To, named)
	if m.Hedged && !p.sayWhich(from, to) {
		p.ask(string(f), "Can you tell for sure?")
		delete(p.m.Findings, f)
		return
	}
	p.m.Findings[f] = yes
}
