package intake

import (
	"slices"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// hearing finds questions whose words stand anywhere: "404a riser 22 ft 42000 btu, what
// pipe".
type hearing struct {
	phrases *lex.Phrases // id is the number of the part
	wants   []heardParts
}

// heardParts are the parts that all have to be said for a question.
type heardParts struct {
	question int
	parts    []int
	heard    *lexicon.Heard
}

func newHearing(b *phraseBook, questions []lexicon.Question) hearing {
	h := hearing{phrases: b.empty()}
	parts := 0
	for q := range questions {
		for i := range questions[q].Heard {
			w := heardParts{question: q, heard: &questions[q].Heard[i]}
			for _, say := range w.heard.All {
				b.add(h.phrases, say, parts)
				w.parts = append(w.parts, parts)
				parts++
			}
			h.wants = append(h.wants, w)
		}
	}
	return h
}

// hearQuestion is the first question all parts of which are said, -1 when there is none.
func (p *parse) hearQuestion() int {
	said := map[int][2]int{} // part → tokens
	for k := range p.t {
		p.r.heard.phrases.All(p.t, k, func(part, to int) { said[part] = [2]int{k, to} })
	}
	for i := range p.r.heard.wants {
		w := &p.r.heard.wants[i]
		missing := slices.ContainsFunc(w.parts, func(part int) bool { _, ok := said[part]; return !ok })
		if missing || w.heard.Asks && !p.isAsking() || p.ruledOut(w.question) || !p.hasAll(w.heard) {
			continue
		}
		for _, part := range w.parts {
			p.mark(said[part][0], said[part][1], named)
		}
		return w.question
	}
	return -1
}

// ruledOut: the question is not asked beside some word or number.
func (p *parse) ruledOut(question int) bool {
	return p.saysAny(p.r.unless[question]) || slices.ContainsFunc(p.r.words.Questions[question].Lacks, p.hasNumber)
}

// hasAll: the message has every number that is wanted, and none of the others.
func (p *parse) hasAll(h *lexicon.Heard) bool {
	return !slices.ContainsFunc(h.Has, func(n string) bool { return !p.hasNumber(n) }) && !slices.ContainsFunc(h.Lacks, p.hasNumber)
}

// hasNumber: a key was read, or a number stands in a unit of the kind.
func (p *parse) hasNumber(name string) bool {
	if _, key := vocab.Define(vocab.Key(name)); key {
		return p.seen(vocab.Key(name))
	}
	return slices.ContainsFunc(p.nums, func(q quantity) bool {
		kind := lexicon.Kind(name)
		return q.fits(kind) && (q.unit != nil || q.frac && kind == lexicon.Size)
	})
}
