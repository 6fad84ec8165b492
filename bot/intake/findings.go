package intake

import (
	"slices"
	"sort"
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// mention is a subject or a condition in the message.
type mention struct {
	from, to int
	subject  int    // -1 for a condition
	name     string // of a condition
}

// findFindings pairs conditions with the subjects that they are said of.
func (p *parse) findFindings() {
	subjects, conditions := p.subjects(), p.conditions()
	for _, c := range conditions {
		if p.isUnchecked(c) || p.isLRA(c) || p.cutsPart(c) {
			continue
		}
		if !p.combined(c, conditions, subjects) {
			p.pairUp(c, subjects)
		}
	}
}

func (p *parse) subjects() []mention {
	var all []mention
	for i, set := range p.r.subjects {
		for _, f := range set.All(p.t) {
			if m := (mention{f.From, f.To, i, ""}); !p.cutsPart(m) {
				all = append(all, m)
			}
		}
	}
	sort.SliceStable(all, func(a, b int) bool {
		if all[a].from != all[b].from {
			return all[a].from < all[b].from
		}
		return all[a].to > all[b].to
	})
	return all
}

// conditions finds every condition; one phrase may belong to several.
func (p *parse) conditions() []mention {
	var all []mention
	for _, name := range p.r.condNames {
		for _, f := range p.r.condSets[name].All(p.t) {
			all = append(all, mention{f.From, f.To, -1, name})
		}
	}
	sort.SliceStable(all, func(a, b int) bool {
		if all[a].from != all[b].from {
			return all[a].from < all[b].from
		}
		return all[a].to > all[b].to
	})
	return all
}

// pairUp finds the nearest subject that gives the condition a meaning.
func (p *parse) pairUp(c mention, subjects []mention) {
	best, cost := -1, 1000
	for i, s := range subjects {
		inside := s.from >= c.from && s.to <= c.to
		if p.sentence[s.from] != p.sentence[c.from] || s.from < c.to && c.from < s.to && !inside {
			continue
		}
		if !p.meaning(s.subject, c.name) {
			continue
		}
		if d, ok := p.apart(s, c, subjects); ok && d < cost {
			best, cost = i, d
		}
	}
	negative := p.negated(c.from) || p.flipped(c)
	if best < 0 {
		p.standAlone(c, negative)
		return
	}
	s := p.r.words.Findings.Subjects[subjects[best].subject]
	if names, ok := s.True[c.name]; ok {
		if subjects[best].to <= c.from && p.negated(subjects[best].from) && p.saysNo(subjects[best].from) {
			negative = true
		}
		p.found(names, !negative, c, subjects[best])
		p.alsoOf(best, c, subjects, !negative)
		return
	}
	if names, ok := s.False[c.name]; ok && cost <= goodReach {
		p.found(names, p.negatedBeside(c.from), c, subjects[best])
	}
}

// goodReach is how near "good" must stand to what is good.
const goodReach = 5

// alsoOf gives the condition to a subject that is joined to the one it was given
// to: suction reeds and discharge reeds broken.
func (p *parse) alsoOf(best int, c mention, subjects []mention, yes bool) {
	s := subjects[best]
	if s.from > c.from {
		return
	}
	for _, o := range subjects {
		if o.to > s.from || s.from-o.to != 1 || o.subject == s.subject {
			continue
		}
		switch p.t[o.to].Text {
		case "and", "&", "y":
			if names, ok := p.r.words.Findings.Subjects[o.subject].True[c.name]; ok {
				p.found(names, yes, c, o)
			}
		}
	}
}

// negatedBeside reports "not" right before a good word.
func (p *parse) negatedBeside(i int) bool {
	for k := i - 1; k >= 0 && k >= i-2; k-- {
		if w := word(p.t, k); w == "not" || strings.HasSuffix(w, "n't") || w == "isnt" || w == "arent" || w == "no" && k == i-1 {
			return true
		}
	}
	return false
}

// flipped reads "acid test neg": a word behind the condition denies it.
func (p *parse) flipped(c mention) bool {
	set := p.r.condSets[p.r.words.Findings.FlippedBy[c.name]]
	if set == nil {
		return false
	}
	for k := c.to; k < len(p.t) && k < c.to+5 && p.chunk[k] == p.chunk[c.from]; k++ {
		if _, n := set.At(p.t, k); n > 0 {
			return true
		}
	}
	return false
}

func (p *parse) meaning(subject int, condition string) bool {
	s := p.r.words.Findings.Subjects[subject]
	_, yes := s.True[condition]
	_, no := s.False[condition]
	return yes || no
}

// apart is how far a condition is from a subject; a comma and a subject between
// them count more.
func (p *parse) apart(s, c mention, subjects []mention) (int, bool) {
	from, to := s.to, c.from
	after := s.from >= c.to
	if after {
		from, to = c.to, s.from
	}
	d := max(to-from, 0)
	if after {
		d += 1
	}
	for k := from; k < to; k++ {
		switch {
		case p.t[k].Text == ",":
			d += 5
		case p.t[k].Text == "but" || p.t[k].Text == "and" || p.t[k].Text == "y":
			d += 1
			if after {
				d += 3
			}
		}
		for _, o := range subjects {
			if o.from == k && o.subject != s.subject && p.meaning(o.subject, c.name) {
				d += 2
			}
		}
	}
	return d, d <= 12
}

// combined reads two conditions that make one finding together: rods worn and
// progressive.
func (p *parse) combined(c mention, all, subjects []mention) bool {
	for i := range p.r.words.Findings.Subjects {
		for pair, names := range p.r.words.Findings.Subjects[i].True {
			first, second, found := strings.Cut(pair, "+")
			if !found || c.name != first || second == "" {
				continue
			}
			for _, o := range all {
				if o.name != second || p.sentence[o.from] != p.sentence[c.from] {
					continue
				}
				for _, s := range subjects {
					if s.subject != i || p.sentence[s.from] != p.sentence[c.from] {
						continue
					}
					d1, ok1 := p.apart(s, c, subjects)
					d2, ok2 := p.apart(s, o, subjects)
					if ok1 && ok2 && d1 <= 8 && d2 <= 8 {
						p.found(names, !p.negated(c.from) && !p.negated(o.from), c, s)
						return true
					}
				}
			}
		}
	}
	return false
}

// standAlone reads conditions that need no subject: metal, grounded.
func (p *parse) standAlone(c mention, negative bool) {
	f, ok := p.r.words.Findings.Alone[c.name]
	if !ok || slices.Contains(p.r.words.Findings.NotAlone[c.name], p.joined(c)) {
		return
	}
	if p.justATest(c) {
		return
	}
	name, denies := strings.CutPrefix(string(f), "!")
	p.found(lexicon.Names{vocab.Finding(name)}, !denies && !negative, c, c)
}

// cutsPart keeps the oil of an oil separator from being the oil.
func (p *parse) cutsPart(m mention) bool {
	for _, f := range p.r.partNames.All(p.t) {
		if m.from < f.To && f.From < m.to && !(m.from <= f.From && f.To <= m.to) {
			return true
		}
	}
	return false
}

// justATest keeps "acid test kit" from saying that there is acid.
func (p *parse) justATest(c mention) bool {
	w := word(p.t, c.to)
	if c.name != "acid" || w != "test" && w != "kit" && w != "tested" {
		return false
	}
	for k := c.to; k < len(p.t) && k < c.to+6; k++ {
		for _, set := range []string{"positive", "negative"} {
			if _, n := p.r.condSets[set].At(p.t, k); n > 0 {
				return false
			}
		}
	}
	return true
}

// isLRA keeps "locked rotor 170" on a nameplate from being a finding.
func (p *parse) isLRA(c mention) bool {
	if c.name != "locked" {
		return false
	}
	for _, s := range p.slots {
		if s.Name == "lra" && s.from <= c.from && c.to <= s.to && len(s.taken) > 0 {
			return true
		}
	}
	for k := c.to; k < c.to+3 && k < len(p.t); k++ {
		if word(p.t, k) == "amps" || word(p.t, k) == "amp" {
			return true
		}
	}
	return p.plateTold(c.from) && c.to < len(p.t) && (p.t[c.to].Kind == lex.Number || ones[word(p.t, c.to)] > 0)
}

func (p *parse) plateTold(i int) bool {
	for _, s := range p.slots {
		if s.Plate && p.sentence[s.from] == p.sentence[i] {
			return true
		}
	}
	return false
}

func (p *parse) joined(c mention) string {
	words := make([]string, 0, c.to-c.from)
	for _, t := range p.t[c.from:c.to] {
		words = append(words, t.Text)
	}
	return strings.Join(words, " ")
}

// found notes the findings, or asks when the sender was not sure.
func (p *parse) found(names lexicon.Names, yes bool, c, s mention) {
	for _, n := range names {
		if p.hedged(c, s) {
			p.ask(string(n), "Can you tell for sure?")
			delete(p.m.Findings, n)
			continue
		}
		if n == vocab.ReedBroken && p.whichReed(c) {
			continue
		}
		if was, said := p.m.Findings[n]; !said || yes || was && p.sentence[c.from] > p.saidIn[n] {
			p.m.Findings[n] = yes
			p.saidIn[n] = p.sentence[c.from]
		}
		p.take(c.from, c.to)
		p.take(s.from, s.to)
	}
}

// whichReed keeps a reed whose side was said from counting as an unknown one.
func (p *parse) whichReed(c mention) bool {
	for _, f := range []vocab.Finding{vocab.ReedBrokenSuction, vocab.ReedBrokenDischarge} {
		if v, ok := p.m.Findings[f]; ok && v {
			return true
		}
	}
	return false
}

// negated looks back from a condition for a negation that reaches it.
func (p *parse) negated(i int) bool {
	for k := i - 1; k >= 0 && k >= i-5 && p.sentence[k] == p.sentence[i]; k-- {
		if _, n := p.r.negators.At(p.t, k); n > 0 && k+n <= i {
			return !(word(p.t, k) == "no" && k+1 < len(p.t) && p.t[k+1].Text == ",")
		}
		switch p.t[k].Text {
		case ",", "but", "though", "tho", "?":
			return false
		case "and", "or", "y":
			if p.t[k].Text == "and" && i-k > 3 {
				return false
			}
		}
		if p.isVerb(k) {
			return false
		}
	}
	return false
}

// isVerb stops a negation: "no oil and rods are worn".
func (p *parse) isVerb(k int) bool {
	switch word(p.t, k) {
	case "is", "are", "was", "were", "looks", "look", "has", "broke", "got", "its":
		return true
	}
	return false
}

// saysNo reports "no" just before a subject: "no broken rods" has it before the
// condition, "no reeds broken" before the subject.
func (p *parse) saysNo(i int) bool {
	w := word(p.t, i-1)
	return w == "no" || w == "sin" || w == "not" || w == "none"
}

func (p *parse) hedged(c, s mention) bool {
	from, to := min(c.from, s.from), max(c.to, s.to)
	for k := max(from-4, 0); k < min(to+5, len(p.t)); k++ {
		if p.sentence[k] != p.sentence[c.from] {
			continue
		}
		if _, n := p.r.hedges.At(p.t, k); n > 0 && word(p.t, k+n) != "which" && (k < from || p.chunk[k] == p.chunk[c.from]) {
			return true
		}
	}
	return false
}

func (p *parse) isUnchecked(c mention) bool {
	for k := max(c.from-7, 0); k < c.from; k++ {
		if p.sentence[k] != p.sentence[c.from] {
			continue
		}
		if _, n := p.r.unchecked.At(p.t, k); n > 0 {
			return true
		}
	}
	return false
}
