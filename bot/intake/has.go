package intake

import (
	"coldcase/bot/intake/lex"
	"coldcase/refdata/vocab"
)

// hasSaid finds the names of parts that may be fitted.
func (p *parse) hasSaid() []lex.Match {
	if p.hasFound == nil {
		p.hasFound = p.r.has.Find(p.t)
		if p.hasFound == nil {
			p.hasFound = []lex.Match{}
		}
	}
	return p.hasFound
}

// findHas reads has_ facts from stated presence or absence only.
func (p *parse) findHas() {
	found := p.hasSaid()
	before := ""
	for i, f := range found {
		is := p.fitted(f)
		if is == "" && i > 0 && before != "" && p.onlyJoins(found[i-1].To, f.From) && p.endsList(f.To) {
			is = before
		}
		if is == "" {
			is = p.hasOne(f.To)
		}
		before = is
		if is == "" {
			continue
		}
		p.m.Facts[p.r.words.Has[f.ID].Fact] = is
		p.mark(f.From, f.To, named)
	}
}

// hasOne: "wouldn't an accumulator help? theres one on there": the next sentence tells.
func (p *parse) hasOne(i int) string {
	for k := i; k < min(i+farOff, len(p.t)) && p.sentence[k] <= p.sentence[i-1]+1; k++ {
		if p.sentence[k] == p.sentence[i-1] {
			continue
		}
		if _, ok := p.listed("has_none", k); ok {
			return vocab.No
		}
		if _, ok := p.listed("has_one", k); ok && !p.deniedHere(k) {
			return vocab.Yes
		}
	}
	return ""
}

// endsList: behind the part comes a mark, another part, or nothing.
func (p *parse) endsList(i int) bool {
	return i >= len(p.t) || p.t[i].Kind == lex.Mark || p.isOne("part_joins", i)
}

// fitted says yes, no, or "" when the words leave it open.
func (p *parse) fitted(f lex.Match) string {
	if p.isOne("part_states", f.To) {
		return p.fittedBefore(f)
	}
	for k := f.To; k < len(p.t) && k < f.To+4 && p.chunk[k] == p.chunk[f.From]; k++ {
		switch {
		case p.is(k, "but", "pero"):
			return p.fittedBefore(f) // what follows is of another part
		case p.is(k, "yes", "si"), k == f.To && p.is(k, "y") && p.endsList(k+1):
			return vocab.Yes
		case k == f.To && p.is(k, "n") && p.endsList(k+1):
			return vocab.No
		case p.is(k, "none", "missing", "nope") || p.is(k, "no") && p.endsList(k+1):
			return vocab.No
		case p.is(k, "not", "never") && (p.anyOf("present", k+1, k+3) || p.is(k+1, "had", "put")):
			return vocab.No
		case p.isOne("is_there", k):
			return vocab.Yes
		}
	}
	if is := p.fittedBefore(f); is != "" {
		return is
	}
	if _, ok := p.listed("placed", f.To); ok {
		return vocab.Yes // "trap at the bottom"
	}
	return ""
}

func (p *parse) fittedBefore(f lex.Match) string {
	for k := f.From - 1; k >= 0 && k >= f.From-p.r.words.Reaches.Present && p.chunk[k] == p.chunk[f.From]; k-- {
		if p.isOne("turns_part", k) && !(k == f.From-1 && p.is(k, "yes", "si")) {
			return ""
		}
		if end, ok := p.listed("absent", k); ok && end <= f.From && k >= f.From-p.r.words.Reaches.Absent {
			return vocab.No
		}
		if end, ok := p.listed("present", k); ok && end <= f.From {
			if p.deniedHere(k) {
				return vocab.No
			}
			return vocab.Yes
		}
		if p.t[k].Kind == lex.Number && p.use[k] != counted {
			return ""
		}
	}
	return ""
}

// deniedHere: "does not have", "no tiene".
func (p *parse) deniedHere(k int) bool {
	return p.is(k-1, "not", "no", "never") || p.is(k, "hasnt", "havent")
}
