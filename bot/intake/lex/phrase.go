package lex

import (
	"fmt"
	"strings"
)

// Phrases finds phrases in tokens, the longest at each place.
//
// A pattern is words separated by spaces, with
//
//	a|b    either word
//	a?     a word that may be missing (also a|b?)
//	..     up to three words of anything but a mark
//	#      a number; \# is the sign itself
//
// Between two words of a pattern small words (the, of, is …) may stand, a comma
// or a full stop may not.
type Phrases struct {
	root    *node
	small   map[string]struct{}
	longest int
	bit     uint32 // of Starts; 0 is none
}

// Starts tells for a word in which of several sets a phrase can begin with it, so
// that one look spares a look into each.
type Starts map[string]uint32

// NewStarts looks through the sets, at most 32; none may be added to afterwards.
func NewStarts(sets ...*Phrases) Starts {
	s := Starts{}
	for i, p := range sets {
		p.bit = 1 << i
		for w := range p.root.next {
			s[w] |= p.bit
		}
	}
	return s
}

// Note keeps with each token what can begin there. A token that is changed is to be
// noted again.
func (s Starts) Note(tokens []Token) {
	for i := range tokens {
		t := &tokens[i]
		t.noted = true
		if t.Kind == Number {
			t.starts = s[t.Text] | s[anyNumber]
			continue
		}
		t.starts = s[t.Word]
		if t.Plain != t.Word {
			t.starts |= s[t.Plain]
		}
	}
}

// mayBegin is false when no phrase of the set begins with the token.
func (p *Phrases) mayBegin(t *Token) bool {
	if t.noted && p.bit != 0 {
		return t.starts&p.bit != 0
	}
	return p.root.step(t) != nil
}

type node struct {
	next map[string]*node
	gap  *node
	ids  []int
}

// Match is one phrase found.
type Match struct {
	ID       int    // as given to Add
	From, To int    // tokens: from, one past the last
	Said     uint64 // which of them are words of the pattern
	Negated  bool
	DeniedAt int // token of the denial, when it stands in front
	Hedged   bool
}

// NewPhrases makes an empty set; small words may stand between the words of a
// pattern without breaking it.
func NewPhrases(small []string) *Phrases {
	p := &Phrases{root: &node{}, small: map[string]struct{}{}}
	for _, w := range small {
		p.small[w] = struct{}{}
	}
	return p
}

// Add puts in a pattern under an id. canonical turns each of its words into the
// form that tokens carry.
func (p *Phrases) Add(pattern string, id int, canonical func(string) string) error {
	words := strings.Fields(strings.ToLower(pattern))
	if len(words) == 0 {
		return fmt.Errorf("empty phrase")
	}
	if words[0] == ".." || words[len(words)-1] == ".." {
		return fmt.Errorf("phrase %q: .. stands between two words", pattern)
	}
	p.longest = max(p.longest, len(words))
	p.root.add(words, id, canonical, false)
	return nil
}

func (n *node) add(words []string, id int, canonical func(string) string, some bool) {
	if len(words) == 0 {
		if some {
			n.ids = append(n.ids, id)
		}
		return
	}
	w, optional := strings.CutSuffix(words[0], "?")
	if optional {
		n.add(words[1:], id, canonical, some)
	}
	if w == ".." {
		if n.gap == nil {
			n.gap = &node{}
		}
		n.gap.add(words[1:], id, canonical, some)
		return
	}
	for _, alt := range strings.Split(w, "|") {
		switch alt {
		case "#":
			alt = anyNumber
		case `\#`:
			alt = "#"
		default:
			alt = canonical(alt)
		}
		n.child(alt).add(words[1:], id, canonical, true)
	}
}

// anyNumber is the edge of # in the tree of phrases.
const anyNumber = "<number>"

func (n *node) child(w string) *node {
	if n.next == nil {
		n.next = map[string]*node{}
	}
	c := n.next[w]
	if c == nil {
		c = &node{}
		n.next[w] = c
	}
	return c
}

// Find gives the phrases that stand in the tokens, the longest at each place
// and none inside another of the same set. The work is linear in the tokens.
func (p *Phrases) Find(tokens []Token) []Match {
	var out []Match
	for i := 0; i < len(tokens); {
		f := p.At(tokens, i)
		if f.To == i {
			i++
			continue
		}
		for _, id := range f.IDs {
			out = append(out, Match{ID: id, From: i, To: f.To, Said: f.Said})
		}
		i = f.To
	}
	return out
}

// Found is the longest phrase that begins at a token; To is that token when
// there is none. Said has a bit for each token, counted from the first, that is
// a word of the pattern and not one skipped between two of them.
type Found struct {
	IDs  []int
	To   int
	Said uint64
}

// At gives the longest phrase that begins at token i.
func (p *Phrases) At(tokens []Token, i int) Found {
	if i < 0 || i >= len(tokens) || !p.mayBegin(&tokens[i]) {
		return Found{To: i}
	}
	w := walker{p: p, tokens: tokens, start: i, found: Found{To: i}}
	w.walk(p.root, i, 0)
	return w.found
}

// All calls f with the longest phrase of each id that begins at token i.
func (p *Phrases) All(tokens []Token, i int, f func(id, to int)) {
	if i < 0 || i >= len(tokens) || !p.mayBegin(&tokens[i]) {
		return
	}
	w := walker{p: p, tokens: tokens, start: i, found: Found{To: i}, each: f}
	w.walk(p.root, i, 0)
}

const (
	gapWords   = 3 // most words that .. stands for
	smallWords = 2 // most small words skipped between two words of a phrase
)

type walker struct {
	p      *Phrases
	tokens []Token
	start  int
	found  Found
	each   func(id, to int)
}

// walk follows the pattern from node n at token i.
func (w *walker) walk(n *node, i int, said uint64) {
	if w.each != nil && i > w.start {
		for _, id := range n.ids {
			w.each(id, i)
		}
	}
	if len(n.ids) > 0 && i > w.found.To {
		w.found = Found{IDs: n.ids, To: i, Said: said}
	}
	w.take(n, i, said)
	if i == w.start || i >= len(w.tokens) {
		return
	}
	if t := &w.tokens[i]; t.Kind == Mark && t.Plain == "-" {
		w.take(n, i+1, said)
	}
	for j := i; j < i+smallWords && j < len(w.tokens) && w.p.isSmall(&w.tokens[j]); j++ {
		w.take(n, j+1, said)
	}
	if n.gap == nil {
		return
	}
	for j := i; j <= i+gapWords && j < len(w.tokens) && (j == i || w.tokens[j-1].Kind != Mark); j++ {
		w.take(n.gap, j, said)
	}
}

// take steps over token i when the pattern has it next.
func (w *walker) take(n *node, i int, said uint64) {
	if i >= len(w.tokens) || i-w.start > 60 {
		return
	}
	t := &w.tokens[i]
	if c := n.step(t); c != nil {
		w.walk(c, i+1, said|1<<(i-w.start))
	}
	if t.Kind == Number && n.next[t.Text] != nil && n.next[anyNumber] != nil {
		w.walk(n.next[anyNumber], i+1, said|1<<(i-w.start)) // "2 phases" and "# of # phases"
	}
}

func (n *node) step(t *Token) *node {
	if n.next == nil {
		return nil
	}
	if t.Kind == Number {
		if c := n.next[t.Text]; c != nil {
			return c
		}
		return n.next[anyNumber]
	}
	if c := n.next[t.Word]; c != nil {
		return c
	}
	if t.Plain != t.Word {
		return n.next[t.Plain]
	}
	return nil
}

func (p *Phrases) isSmall(t *Token) bool {
	if t.Kind != Word {
		return false
	}
	_, ok := p.small[t.Plain]
	return ok
}
