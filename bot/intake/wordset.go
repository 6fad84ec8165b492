package intake

import (
	"fmt"

	"coldcase/bot/intake/lex"
)

// wordSets tells in which sets of single words a word is, so that the many questions
// "is it one of these" cost one look a word.
type wordSets struct {
	number map[string]int     // of a set
	of     map[string]setBits // word → the sets it is in
}

// setBits has a bit for each set.
type setBits [4]uint64

func (b setBits) has(n int) bool { return b[n/64]&(1<<(n%64)) != 0 }

func newWordSets(all ...map[string][]string) (wordSets, error) {
	w := wordSets{number: map[string]int{}, of: map[string]setBits{}}
	for _, sets := range all {
		for name := range sets {
			n := len(w.number)
			if n == 64*len(setBits{}) {
				return w, fmt.Errorf("lexicon: more than %d lists and sets", n)
			}
			w.number[name] = n
			for _, word := range sets[name] {
				b := w.of[word]
				b[n/64] |= 1 << (n % 64)
				w.of[word] = b
			}
		}
	}
	return w, nil
}

// setsOf are the sets of a token: as typed, and with its spelling put right.
func (w wordSets) setsOf(t *lex.Token) setBits {
	if t.Kind == lex.Number {
		return setBits{}
	}
	b := w.of[t.Word]
	if t.Plain != t.Word {
		for i, more := range w.of[t.Plain] {
			b[i] |= more
		}
	}
	return b
}

// noteSets looks up, once for all, in which sets the words of the message are.
func (p *parse) noteSets() {
	p.inSets = zeroed(&p.room.inSets, len(p.t))
	for i := range p.t {
		p.inSets[i] = p.r.sets.setsOf(&p.t[i])
	}
}

// isOne reports whether token i is a single word of a list or set of the lexicon.
func (p *parse) isOne(list string, i int) bool {
	if i < 0 || i >= len(p.t) {
		return false
	}
	if p.inSets == nil {
		return p.r.sets.setsOf(&p.t[i]).has(p.r.sets.number[list])
	}
	return p.inSets[i] != setBits{} && p.inSets[i].has(p.r.sets.number[list])
}
