package intake

import "coldcase/bot/intake/lex"

func (p *parse) anyListed(list string, from, to int) bool {
	for i := from; i < to && i < len(p.t); i++ {
		if lex.EndsClause(&p.t[i]) {
			return false
		}
		if _, ok := p.listed(list, i); ok {
			return true
		}
	}
	return false
}

func (p *parse) saysAny(phrases *lex.Phrases) bool {
	for k := range p.t {
		if phrases.At(p.t, k).To > k {
			return true
		}
	}
	return false
}

func (p *parse) anyOf(list string, from, to int) bool {
	for k := from; k < to; k++ {
		if _, ok := p.listed(list, k); ok {
			return true
		}
	}
	return false
}

// manyWords is more than a message has, each counted once; a longer one says most of
// its words again.
const manyWords = 128

// saysOne: one of the words of a set stands in the message.
func (p *parse) saysOne(set string) bool {
	for _, w := range p.r.words.Sets[set] {
		if p.says(w) {
			return true
		}
	}
	return false
}

// says: one of the words stands in the message.
func (p *parse) says(words ...string) bool {
	if p.said == nil {
		p.said = make(map[string]struct{}, min(2*len(p.t), manyWords))
		for k := range p.t {
			if t := &p.t[k]; t.Kind != lex.Number {
				p.said[t.Word], p.said[t.Plain] = struct{}{}, struct{}{}
			}
		}
	}
	for _, w := range words {
		if _, ok := p.said[w]; ok {
			return true
		}
	}
	return false
}

// listed reports whether a phrase of a word list begins at token i, and its end.
func (p *parse) listed(list string, i int) (end int, ok bool) {
	if i < 0 || i >= len(p.t) {
		return i, false
	}
	for _, l := range p.lists[i] {
		if p.r.listNames[l.list] == list {
			return l.to, true
		}
	}
	return i, false
}

// listAt is a phrase of a word list that begins at a token.
type listAt struct{ list, to int }

// hearLists finds, once for all, where phrases of the word lists begin.
func (p *parse) hearLists() {
	for i := range p.t {
		first := len(p.heardLists)
		p.r.lists.All(p.t, i, func(list, to int) {
			switch p.r.listNames[list] {
			case "corrections":
				p.corrects = true
			case "doubt", "doubt_phrases":
				p.unsure = true
			case "doubtful":
				p.doubts = true
			case "earlier":
				p.recalls = true
			case "asking", "asking_first":
				p.wonders = true
			}
			for k := first; k < len(p.heardLists); k++ {
				if l := &p.heardLists[k]; l.list == list {
					l.to = max(l.to, to)
					return
				}
			}
			p.heardLists = append(p.heardLists, listAt{list, to})
		})
		p.lists[i] = p.heardLists[first:]
	}
}

// listedBefore reports whether a phrase of a word list ends right before token i.
func (p *parse) listedBefore(list string, i int) (from int, ok bool) {
	for k := i - 1; k >= 0 && k >= i-3; k-- {
		if end, ok := p.listed(list, k); ok && end == i {
			return k, true
		}
	}
	return i, false
}

func (p *parse) heard(list string) bool {
	for k := range p.t {
		if _, ok := p.listed(list, k); ok {
			return true
		}
	}
	return false
}
