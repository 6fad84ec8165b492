package intake

import "coldcase/bot/intake/lex"

// beginsPart: token k is the first of its part between commas, a "so" or "ok" aside.
func (p *parse) beginsPart(k int) bool {
	for k > 0 && p.chunk[k-1] == p.chunk[k] && p.isOne("openers", k-1) {
		k--
	}
	return k == 0 || p.chunk[k-1] != p.chunk[k]
}

// sentenceAround is the sentence of token i, at most some tokens around it, with the
// mark that ends it.
func (p *parse) sentenceAround(i int) (lo, hi int) {
	lo, hi = i, i+1
	for lo > 0 && lo > i-farOff && p.sentence[lo-1] == p.sentence[i] {
		lo--
	}
	for hi < len(p.t) && hi < i+farOff && p.sentence[hi] == p.sentence[i] {
		hi++
	}
	return lo, hi
}

// isQuestion: the sentence ends in a question mark.
func (p *parse) isQuestion(i int) bool {
	for k := i; k < min(i+farOff, len(p.t)) && p.sentence[k] == p.sentence[i]; k++ {
		if p.is(k, "?") {
			return true
		}
	}
	return false
}

func (p *parse) lastOfChunk(j int) bool {
	return j+1 >= len(p.t) || p.chunk[j+1] != p.chunk[j] || lex.EndsClause(&p.t[j+1])
}

func (p *parse) fillsChunk(from, to int) bool {
	return to >= len(p.t) || lex.EndsClause(&p.t[to]) || p.is(to, ":", "-")
}

// sentences numbers the sentences and the parts between commas.
func (p *parse) sentences() {
	n := len(p.t)
	s, c := 0, 0
	for i := range p.t {
		t := &p.t[i]
		p.sentence[i], p.chunk[i] = s, c
		switch {
		case lex.EndsSentence(t):
			if p.isAbbreviation(i) {
				continue
			}
			if i+1 < n && lex.EndsSentence(&p.t[i+1]) {
				continue // "twelve ounces... no make that nine"
			}
			s++
			c++
		case lex.EndsClause(t), p.spacedDash(i):
			c++
		}
	}
}

// isAbbreviation: the dot of "suct. 22" ends nothing; that of "24 suct. 212 head." does.
func (p *parse) isAbbreviation(i int) bool {
	if !p.is(i, ".") || !p.t[i].Glued || i+1 >= len(p.t) || p.t[i+1].Kind != lex.Number {
		return false
	}
	if _, ok := p.listedBefore("abbreviations", i); !ok {
		return false
	}
	return i < 2 || p.t[i-2].Kind != lex.Number || p.ownNumber(i-2)
}

// spacedDash sees " - " between two remarks.
func (p *parse) spacedDash(i int) bool {
	return p.t[i].Kind == lex.Mark && (p.t[i].Plain == "-" || p.t[i].Plain == "/") && !p.t[i].Glued && i+1 < len(p.t) && !p.t[i+1].Glued
}
