package intake

import (
	"coldcase/bot/intake/lex"
	"coldcase/refdata/vocab"
)

// pairUp gives a condition to the nearest part that it means something of, and
// to the parts that are joined to that one.
func (p *parse) pairUp(c *mention, parts, conditions []mention) {
	best, least := -1, p.r.words.Reaches.Condition
	for i := firstFrom(parts, c.From-p.r.words.Reaches.Condition-longestName); i < len(parts) && parts[i].From < c.To+p.r.words.Reaches.Condition; i++ {
		if p.is(parts[i].From, "it") && parts[i].From >= c.To {
			continue // "a sliver stuck in it"
		}
		if _, _, ok := p.meaning(c, parts[i].part); !ok {
			continue
		}
		if d, ok := p.apart(&parts[i], c, parts, conditions); ok && d < least && !p.contradicts(c, &parts[i], conditions) {
			best, least = i, d
		}
	}
	if best < 0 {
		best = p.partBefore(c, parts)
	}
	if best < 0 {
		p.sayOfMotor(c, conditions)
		return
	}
	p.say(c, &parts[best], conditions)
	for _, i := range p.joinedTo(best, c, parts, conditions) {
		p.say(c, &parts[i], conditions)
	}
}

// partBefore is the part that "its", "theyre" or an answer speaks of: the last one
// of the sentence before that the condition means something of.
func (p *parse) partBefore(c *mention, parts []mention) int {
	refers := false
	for k := max(c.From-4, 0); k < c.From && !refers; k++ {
		refers = p.sentence[k] == p.sentence[c.From] && (k == 0 || p.sentence[k-1] != p.sentence[k] || p.chunk[k] == p.chunk[c.From]) && p.isOne("refers", k)
	}
	if !refers {
		return -1
	}
	for i := firstFrom(parts, c.From) - 1; i >= 0 && p.sentence[parts[i].From] >= p.sentence[c.From]-1; i-- {
		if p.sentence[parts[i].From] == p.sentence[c.From] {
			if p.is(parts[i].From, "it") {
				continue
			}
			return -1
		}
		if _, _, ok := p.meaning(c, parts[i].part); ok && p.use[parts[i].From] == unused {
			return i
		}
	}
	return -1
}

// contradicts: in "discharge reeds broken, suction ok" the second clause is not of
// the part whose own clause says the opposite; nor, with no comma, what comes behind it.
func (p *parse) contradicts(c, s *mention, conditions []mention) bool {
	oneClause := p.chunk[c.From] == p.chunk[s.From]
	f, seen, _ := p.meaning(c, s.part)
	for i := firstFrom(conditions, s.From-p.r.words.Reaches.Condition); i < len(conditions) && conditions[i].From < s.To+p.r.words.Reaches.Condition; i++ {
		o := &conditions[i]
		if p.chunk[o.From] != p.chunk[s.From] || oneClause && (o.From < s.To || c.From < o.To) {
			continue
		}
		if g, saw, ok := p.meaning(o, s.part); ok && g == f && saw != seen {
			return true
		}
	}
	return false
}

// sayOfMotor: "not grounded, not open, just locked up" speaks of the motor.
func (p *parse) sayOfMotor(c *mention, conditions []mention) {
	if _, told := p.m.Findings[vocab.Grounded]; !told {
		return
	}
	for i := range p.r.words.Parts {
		if name := p.r.words.Parts[i].Name; name != "winding" && name != "rotor" {
			continue
		}
		if _, seen, ok := p.meaning(c, i); ok && seen {
			s := mention{Match: lex.Match{From: c.From, To: c.From}, part: i}
			p.say(c, &s, conditions)
			return
		}
	}
}

// apart is how far a condition is from a part of the same sentence.
func (p *parse) apart(s, c *mention, parts, conditions []mention) (int, bool) {
	if p.sentence[s.From] != p.sentence[c.From] || s.To <= c.From && p.ofAnother(s, c) {
		return 0, false
	}
	from, to, d := s.To, c.From, 0
	switch {
	case s.To <= c.From:
	case c.To <= s.From:
		from, to, d = c.To, s.From, p.r.words.Reaches.PartBehind
	default:
		return 0, s.From >= c.From && s.To <= c.To || c.From >= s.From && c.To <= s.To
	}
	for k := from; k < to; k++ {
		if p.t[k].Kind != lex.Number {
			d++
		}
		switch {
		case p.is(k, ","):
			d += p.r.words.Reaches.Comma
		case p.isOne("clause_joins", k):
			d += p.r.words.Reaches.And
		}
		if d >= p.r.words.Reaches.Condition {
			return d, false
		}
	}
	for i := firstFrom(conditions, from); i < len(conditions) && conditions[i].From < to; i++ {
		if o := &conditions[i]; o.To <= to {
			if _, _, ok := p.meaning(o, s.part); ok {
				d += p.r.words.Reaches.OwnCondition
			} else {
				d += p.r.words.Reaches.OtherCondition
			}
		}
	}
	for i := firstFrom(parts, from); i < len(parts) && parts[i].From < to; i++ {
		if o := &parts[i]; o.To <= to {
			if _, _, ok := p.meaning(c, o.part); ok {
				d += p.r.words.Reaches.OtherPart
			}
		}
	}
	return d, true
}

// ofAnother: in "a chunk out of the piston, gizmo is fine" the second part between commas
// has a subject of its own, known to us or not.
func (p *parse) ofAnother(s, c *mention) bool {
	if p.chunk[s.From] == p.chunk[c.From] {
		return false
	}
	k := c.From - 1
	for k >= 0 && p.chunk[k] == p.chunk[c.From] && p.isOne("state_verbs", k) {
		k--
	}
	subject := k < c.From-1 && k >= 0 && p.chunk[k] == p.chunk[c.From] && p.t[k].Kind == lex.Word
	return subject && !p.isOne("no_subject", k) && !p.r.isSmall(p.t[k].Plain)
}

// joinedTo are the parts of a list that share a condition: "rods and bearings
// good", "no broken reeds or rods".
func (p *parse) joinedTo(at int, c *mention, parts, conditions []mention) []int {
	var out []int
	step, joined := -1, false
	if c.To <= parts[at].From {
		step = 1
	}
	for i := at + step; i >= 0 && i < len(parts); i += step {
		a, b := &parts[min(i, i-step)], &parts[max(i, i-step)]
		same := a.From == b.From // "crank" is of the rotor too
		adjacent := a.To == b.From && (joined || p.is(c.From-1, "all", "both") || p.is(c.From, "all", "both"))
		if !same && !adjacent && !p.onlyJoins(a.To, b.From) || p.hasOwn(&parts[i], c, conditions, step) {
			break
		}
		joined = joined || !adjacent && !same
		if _, _, ok := p.meaning(c, parts[i].part); !ok {
			if p.sameWords(parts, i, i+step) {
				continue
			}
			break
		}
		out = append(out, i)
	}
	return out
}

// sameWords: two mentions are of the same words.
func (p *parse) sameWords(parts []mention, i, j int) bool {
	return j >= 0 && j < len(parts) && parts[i].From == parts[j].From
}

// onlyJoins: nothing but commas, and, or between two parts.
func (p *parse) onlyJoins(from, to int) bool {
	if from >= to {
		return false
	}
	joined := false
	for k := from; k < to; k++ {
		switch {
		case p.spacedDash(k):
			return false
		case p.isOne("part_list_joins", k):
			joined = true
		case p.isOne("articles", k):
		default:
			return false
		}
	}
	return joined
}

// hasOwn: a part in a list has a condition of its own on the side away from the
// shared one: "broken reeds and rods bent".
func (p *parse) hasOwn(s, c *mention, conditions []mention, step int) bool {
	for i := firstFrom(conditions, s.From-longestName); i < len(conditions) && conditions[i].From <= s.To+longestName; i++ {
		o := &conditions[i]
		if o.From == c.From {
			continue
		}
		if _, _, ok := p.meaning(o, s.part); !ok {
			continue
		}
		if step > 0 && o.From >= s.To && o.From-s.To <= 2 || step < 0 && o.To <= s.From && p.wordsBetween(o.To, s.From) <= 1 {
			return true
		}
	}
	for _, d := range p.directFound {
		if step < 0 && d.To <= s.From && s.From-d.To <= longestName && p.wordsBetween(d.To, s.From) == 0 {
			return true // "carbon on the plate"
		}
	}
	return false
}

// wordsBetween counts the tokens from..to that are no small words.
func (p *parse) wordsBetween(from, to int) (n int) {
	for k := from; k < to; k++ {
		if _, small := p.listed("small", k); !small {
			n++
		}
	}
	return n
}
