package intake

import (
	"slices"
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// mention is a part or a condition in the message.
type mention struct {
	lex.Match
	part  *lexicon.Part
	names []string // of a condition
}

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

// judge says whether a phrase is denied or doubted where it stands.
func (p *parse) judge(m *lex.Match) {
	if p.unsure {
		p.r.scope.Judge(p.t, m)
		return
	}
	p.r.scope.JudgeDenied(p.t, m)
}

// isPlateOrTest keeps "locked rotor 170" on a nameplate from being a finding.
func (p *parse) isPlateOrTest(m lex.Match) bool {
	if p.r.words.Direct[m.ID].Finding != string(vocab.LockedRotor) {
		return false
	}
	return p.is(m.To, "amps", "current") || p.numberAt(m.To)
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
	var out []mention
	for _, m := range p.r.parts.Find(p.t) {
		if within(covered, m) || p.insideName(m.From, m.To) {
			continue
		}
		out = append(out, mention{Match: m, part: &p.r.words.Parts[m.ID]})
	}
	return out
}

func (p *parse) conditionsSaid(covered []lex.Match) []mention {
	var out []mention
	for i := 0; i < len(p.t); i++ {
		f := p.r.conditions.At(p.t, i)
		m := lex.Match{From: i, To: f.To, Said: f.Said}
		if f.To == i || within(covered, m) || p.overlapsHas(i, f.To) || p.isOfNumber(f.To) || p.is(i, "ol") && p.toGround(i) {
			continue
		}
		c := mention{Match: m}
		for _, id := range f.IDs {
			c.names = append(c.names, p.r.condition[id])
		}
		out = append(out, c)
		i = f.To - 1
	}
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

// meaning is what a condition says of a part: a finding, and whether it is seen.
func (c *mention) meaning(part *lexicon.Part) (f vocab.Finding, seen, ok bool) {
	for _, name := range c.names {
		if f, ok := part.True[name]; ok {
			return f, true, true
		}
	}
	for _, name := range c.names {
		if f, ok := part.False[name]; ok {
			return f, false, true
		}
	}
	return "", false, false
}

// pairUp gives a condition to the nearest part that it means something of, and
// to the parts that are joined to that one.
func (p *parse) pairUp(c *mention, parts, conditions []mention) {
	best, least := -1, farthest
	for i := firstFrom(parts, c.From-farthest-longestName); i < len(parts) && parts[i].From < c.To+farthest; i++ {
		if p.is(parts[i].From, "it") && parts[i].From >= c.To {
			continue // "a sliver stuck in it"
		}
		if _, _, ok := c.meaning(parts[i].part); !ok {
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
		refers = p.sentence[k] == p.sentence[c.From] && (k == 0 || p.sentence[k-1] != p.sentence[k] || p.chunk[k] == p.chunk[c.From]) && p.is(k, "its", "it", "they", "theyre", "them", "esta")
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
		if _, _, ok := c.meaning(parts[i].part); ok && p.use[parts[i].From] == unused {
			return i
		}
	}
	return -1
}

// contradicts: in "discharge reeds broken, suction ok" the second clause is not of
// the part whose own clause says the opposite; nor, with no comma, what comes behind it.
func (p *parse) contradicts(c, s *mention, conditions []mention) bool {
	oneClause := p.chunk[c.From] == p.chunk[s.From]
	f, seen, _ := c.meaning(s.part)
	for i := firstFrom(conditions, s.From-farthest); i < len(conditions) && conditions[i].From < s.To+farthest; i++ {
		o := &conditions[i]
		if p.chunk[o.From] != p.chunk[s.From] || oneClause && (o.From < s.To || c.From < o.To) {
			continue
		}
		if g, saw, ok := o.meaning(s.part); ok && g == f && saw != seen {
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
		part := &p.r.words.Parts[i]
		if part.Name != "winding" && part.Name != "rotor" {
			continue
		}
		if _, seen, ok := c.meaning(part); ok && seen {
			s := mention{Match: lex.Match{From: c.From, To: c.From}, part: part}
			p.say(c, &s, conditions)
			return
		}
	}
}

// What separates a condition from a part; found by trying on labelled messages.
const (
	farthest       = 14
	partBehind     = 1 // "oil low" is commoner than "low oil"
	commaApart     = 4
	conditionApart = 3
	partApart      = 2
	andApart       = 2
)

// apart is how far a condition is from a part of the same sentence.
func (p *parse) apart(s, c *mention, parts, conditions []mention) (int, bool) {
	if p.sentence[s.From] != p.sentence[c.From] {
		return 0, false
	}
	from, to, d := s.To, c.From, 0
	switch {
	case s.To <= c.From:
	case c.To <= s.From:
		from, to, d = c.To, s.From, partBehind
	default:
		return 0, s.From >= c.From && s.To <= c.To || c.From >= s.From && c.To <= s.To
	}
	for k := from; k < to; k++ {
		if p.t[k].Kind != lex.Number {
			d++
		}
		switch {
		case p.is(k, ","):
			d += commaApart
		case p.is(k, "but", "and", "y", "pero", "w", "with"):
			d += andApart
		}
		if d >= farthest {
			return d, false
		}
	}
	for i := firstFrom(conditions, from); i < len(conditions) && conditions[i].From < to; i++ {
		if o := &conditions[i]; o.To <= to {
			d++
			if _, _, ok := o.meaning(s.part); ok {
				d += conditionApart - 1
			}
		}
	}
	for i := firstFrom(parts, from); i < len(parts) && parts[i].From < to; i++ {
		if o := &parts[i]; o.To <= to {
			if _, _, ok := c.meaning(o.part); ok {
				d += partApart
			}
		}
	}
	return d, true
}

// firstFrom is the first mention that begins at token i or later.
func firstFrom(all []mention, i int) int {
	n, _ := slices.BinarySearchFunc(all, i, func(m mention, i int) int { return m.From - i })
	return n
}

// joinedTo are the parts of a list that share a condition: "rods and bearings
// good", "no broken reeds or rods".
func (p *parse) joinedTo(at int, c *mention, parts, conditions []mention) []int {
	var out []int
	step := -1
	if c.To <= parts[at].From {
		step = 1
	}
	for i := at + step; i >= 0 && i < len(parts); i += step {
		a, b := &parts[min(i, i-step)], &parts[max(i, i-step)]
		adjacent := a.To == b.From && p.is(c.From-1, "all", "both")
		if !adjacent && !p.onlyJoins(a.To, b.From) || p.hasOwn(&parts[i], c, conditions, step) {
			break
		}
		if _, _, ok := c.meaning(parts[i].part); !ok {
			break
		}
		out = append(out, i)
	}
	return out
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
		case p.is(k, ",", "and", "or", "&", "y", "o", "/", "nor", "ni", "+"):
			joined = true
		case p.is(k, "the", "a", "an", "no", "el", "la", "los", "las", "un", "una"):
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
		if _, _, ok := o.meaning(s.part); !ok {
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

// say notes what a condition says of a part.
func (p *parse) say(c, s *mention, conditions []mention) {
	f, seen, _ := c.meaning(s.part)
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
		if p.is(k, "or", "nor", "and", "ni", "o", "y", "/", "&") && !p.spacedDash(k) {
			return true
		}
	}
	return false
}

// noBefore: "no reeds broken" has its no before the part.
func (p *parse) noBefore(i int) bool {
	return p.is(i-1, "no", "not", "zero") && !p.is(i-1, ",") || p.is(i-1, "the", "any", "of") && p.is(i-2, "none", "no")
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

// isQuestion: the sentence ends in a question mark.
func (p *parse) isQuestion(i int) bool {
	for k := i; k < min(i+farOff, len(p.t)) && p.sentence[k] == p.sentence[i]; k++ {
		if p.is(k, "?") {
			return true
		}
	}
	return false
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
		if end, ok := p.listed("earlier", k); ok && !p.is(k-1, "since", "from", "than", "desde") && (k < from && end <= to || k >= to) {
			return true
		}
	}
	return false
}
