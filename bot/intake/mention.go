package intake

import (
	"slices"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// mention is a part or a condition in the message.
type mention struct {
	lex.Match
	part       int   // number of the part
	conditions []int // numbers of the conditions that the words may be
}

// insideName: the words are part of the name of something that was read.
func (p *parse) insideName(from, to int) bool {
	if i := p.nameOf[from]; i >= 0 {
		n := &p.names[i]
		if to <= n.to && n.to-n.from > to-from && p.use[n.from] == named {
			return true
		}
	}
	has := p.hasSaid()
	first, _ := slices.BinarySearchFunc(has, from-longestName, func(m lex.Match, i int) int { return m.From - i })
	for _, f := range has[first:] {
		if f.From > to {
			break
		}
		if f.From < to && from < f.To && (f.From > from || f.To > to || f.To-f.From > to-from) {
			return true
		}
	}
	return false
}

func (p *parse) partsSaid(covered []lex.Match) []mention {
	out := p.room.parts[:0]
	for _, m := range p.r.parts.Find(p.t) {
		if within(covered, m) || p.insideName(m.From, m.To) {
			continue
		}
		switch name := p.r.words.Parts[m.ID].Name; {
		case name == sightGlass && p.isOilGlass(m.From):
			continue
		case name == bothPressures && p.isOfTemps(m.From):
			continue
		}
		out = append(out, mention{Match: m, part: m.ID})
	}
	p.room.parts = out
	return out
}

// sightGlass is the part that shows the liquid; that of the oil is named like it.
const sightGlass = "sight glass"

// bothPressures is the part that "both sides" names, unless temperatures are spoken of.
const bothPressures = "pressures"

// isOfTemps: "temp same both sides" is no pressure.
func (p *parse) isOfTemps(i int) bool {
	lo, hi := p.window(i)
	return p.anyWord(lo, hi, "temp") && !p.anyWord(lo, hi, "pressure", "suction", "head")
}

// isOilGlass: in "oil is full to the top of the glass" it is not the liquid's.
func (p *parse) isOilGlass(i int) bool {
	level := p.is(i-1, "full", "half") // "oil was clear and full glass"
	for k := i - 1; k >= max(i-farOff, 0) && p.chunk[k] == p.chunk[i] && (!p.isOne("of_liquid", k) || level && p.is(k, "and")); k-- {
		if p.is(k, "oil") {
			return true
		}
	}
	return false
}

func (p *parse) conditionsSaid(covered []lex.Match) []mention {
	out := p.room.conds[:0]
	for i := 0; i < len(p.t); i++ {
		f := p.r.conditions.At(p.t, i)
		m := lex.Match{From: i, To: f.To, Said: f.Said}
		if f.To == i || p.inSite(i) || within(covered, m) || p.overlapsHas(i, f.To) || p.isOfNumber(f.To) || p.is(i, "ol") && p.toGround(i) {
			continue
		}
		out = append(out, mention{Match: m, conditions: f.IDs})
		i = f.To - 1
	}
	p.room.conds = out
	return out
}

// toGround: "OL to ground" is what it should be.
func (p *parse) toGround(i int) bool {
	for k := i; k < len(p.t) && p.chunk[k] == p.chunk[i]; k++ {
		if p.is(k, "ground") {
			return true
		}
	}
	return false
}

// overlapsHas: "no oil" in "no oil separator".
func (p *parse) overlapsHas(from, to int) bool {
	for _, h := range p.hasSaid() {
		if h.From < to && from < h.From && to < h.To {
			return true
		}
	}
	return false
}

// isOfNumber: in "net oil is down to 12" the words are those of the number.
func (p *parse) isOfNumber(i int) bool {
	if p.is(i, "to", "at", "by") {
		i++
	}
	if i >= len(p.t) || p.numOf[i] < 0 {
		return false
	}
	q := &p.nums[p.numOf[i]]
	return q.used && !q.idle && !q.frac && p.isReadAt(q.core) && p.is(i-1, "to", "at", "by")
}

func (p *parse) isReadAt(token int) bool { return slices.Contains(p.readAt, token) }

func within(covered []lex.Match, m lex.Match) bool {
	first, _ := slices.BinarySearchFunc(covered, m.From-farOff, func(c lex.Match, i int) int { return c.From - i })
	for _, c := range covered[first:] {
		if c.From >= m.To {
			break
		}
		if m.From < c.To {
			return true
		}
	}
	return false
}

// meaning is a finding, and whether it is seen.
type meaning struct {
	finding vocab.Finding
	seen    bool
}

// meanings tells what each condition says of each part: the finding where a part has
// both is the one that is seen.
func meanings(parts []lexicon.Part, conditions []string) [][]meaning {
	out := make([][]meaning, len(parts))
	for i := range parts {
		for _, name := range conditions {
			m := meaning{finding: parts[i].True[name], seen: true}
			if m.finding == "" {
				m = meaning{finding: parts[i].False[name]}
			}
			out[i] = append(out[i], m)
		}
	}
	return out
}

// meaning is what a condition says of a part: a finding, and whether it is seen.
func (p *parse) meaning(c *mention, part int) (f vocab.Finding, seen, ok bool) {
	for _, seen := range []bool{true, false} {
		for _, id := range c.conditions {
			if m := p.r.meanings[part][id]; m.finding != "" && m.seen == seen {
				return m.finding, seen, true
			}
		}
	}
	return "", false, false
}

// firstFrom is the first mention that begins at token i or later.
func firstFrom(all []mention, i int) int {
	n, _ := slices.BinarySearchFunc(all, i, func(m mention, i int) int { return m.From - i })
	return n
}
