package intake

import (
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
)

// passChat takes small talk out that is made of words of the trade: "head out at 5",
// "just in case", "low on gas".
func (p *parse) passChat() {
	for _, m := range p.r.chat.Find(p.t) {
		if p.is(m.From, "run") && p.measureEndsAt(m.From) {
			continue // "then 40 ft run to the unit" is a pipe
		}
		for k := m.From; k < m.To; k++ {
			if p.t[k].Kind == lex.Word {
				p.t[k].Word, p.t[k].Plain, p.use[k] = chatted, chatted, named
			}
		}
	}
}

// measureEndsAt: a number with a unit of length stands right before token i.
func (p *parse) measureEndsAt(i int) bool {
	for k := max(i-2, 0); k < i; k++ {
		if f := p.r.units.At(p.t, k); f.To == i && k > 0 && p.t[k-1].Kind == lex.Number {
			_, length := p.r.words.Units[f.IDs[0]].As[lexicon.Length]
			return length
		}
	}
	return false
}

// passEnumeration takes the "1)" of a numbered list for the end of a sentence.
func (p *parse) passEnumeration() {
	open := false
	for i := 0; i+1 < len(p.t); i++ {
		open = (open || p.is(i, "(")) && !p.is(i-1, ")")
		if p.t[i].Kind == lex.Number && p.is(i+1, ")") && p.t[i+1].Glued && !open && p.t[i].Value < 20 && !p.t[i].Decimal && !p.t[i].Frac {
			p.use[i] = counted
			p.t[i].Kind, p.t[i].Plain, p.t[i].Word = lex.Mark, ";", ";"
		}
	}
}

// chatted stands for a word of small talk; no phrase of the lexicon has it.
const chatted = "\x00"

// settleWords looks through "the low side's" and "meg'd it", and takes the "no" that
// answers for one that denies nothing.
func (p *parse) settleWords() {
	for i := range p.t {
		t := &p.t[i]
		if p.isNumberSign(i) {
			p.t[i].Word, p.t[i].Plain = "number", "number"
		}
		if t.Plain == "no" && p.isOne("after_nope", i+1) {
			p.t[i].Word, p.t[i].Plain = "nope", "nope"
		}
		if t.Kind != lex.Word || len(t.Plain) == len(t.Text) {
			continue
		}
		switch lower := strings.ReplaceAll(strings.ToLower(t.Text), "’", "'"); {
		case strings.HasSuffix(lower, "'s") && !p.r.contraction[t.Plain]:
			p.t[i].Word, p.t[i].Known = p.r.spelling.Canonical(lower[:len(lower)-2])
		case strings.HasSuffix(lower, "'d") && p.r.spelling.Trade(lower[:len(lower)-2]):
			p.t[i].Word, p.t[i].Known = p.r.spelling.Canonical(lower[:len(lower)-2])
		}
	}
}

// isNumberSign: the no of "the reed on no 2" counts, and denies nothing.
func (p *parse) isNumberSign(i int) bool {
	if p.t[i].Plain != "no" || i+1 >= len(p.t) || p.t[i+1].Kind != lex.Number || p.t[i+1].Decimal || p.t[i+1].Frac || p.t[i+1].Value > p.r.words.Sizes.MostNumbered {
		return false
	}
	return p.isOne("numbered", i-1)
}
