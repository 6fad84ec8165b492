package intake

import (
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/vocab"
)

// whichReed: "reed broken, the discharge one": the side is named after it.
func (p *parse) whichReed() {
	if !p.m.Findings[vocab.ReedBroken] {
		return
	}
	for k := range p.t {
		f := vocab.ReedBrokenSuction
		if p.is(k, "discharge") {
			f = vocab.ReedBrokenDischarge
		} else if !p.is(k, "suction") {
			continue
		}
		if _, told := p.m.Findings[f]; !told && p.is(k+1, "one", "side", "ones") && p.use[k] == unused && !p.is(k-1, "not", "no", "or", "maybe") {
			p.m.Findings[f] = true
			p.mark(k, k+2, named)
		}
	}
}

// findDirect reads the phrases that need no part; their tokens are covered.
func (p *parse) findDirect() []lex.Match {
	var covered []lex.Match
	for _, m := range p.r.direct.Find(p.t) {
		d := p.r.words.Direct[m.ID]
		if p.insideName(m.From, m.To) || p.isPlateOrTest(m) || p.r.parts.At(p.t, m.From).To > m.To {
			continue
		}
		if p.is(m.From, "a") && p.is(m.From+1, "to") {
			continue // "0.3 A to ground" is leg A
		}
		p.judge(&m)
		if m.Negated && (p.denialOfAnother(&m) || p.denialSpent(&m, m.From, nil)) {
			m.Negated = false
		}
		p.directFound = append(p.directFound, m)
		name, denies := strings.CutPrefix(d.Finding, "!")
		p.found(vocab.Finding(name), m.Negated == denies, m, m.From, m.To)
		covered = append(covered, m)
	}
	return covered
}

// isPlateOrTest keeps "locked rotor 170" on a nameplate from being a finding.
func (p *parse) isPlateOrTest(m lex.Match) bool {
	if p.r.words.Direct[m.ID].Finding != string(vocab.LockedRotor) {
		return false
	}
	return p.is(m.To, "amps", "current") || p.numberAt(m.To)
}
