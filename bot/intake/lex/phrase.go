package lex

// Phrases finds the longest phrase that begins at a token. Each phrase carries
// the number of the entry it belongs to.
type Phrases struct {
	root  *node
	words map[string]bool
}

type node struct {
	next  map[string]*node
	entry int // -1 where no phrase ends
}

// NewPhrases makes an empty set.
func NewPhrases() *Phrases {
	return &Phrases{root: &node{entry: -1}, words: map[string]bool{}}
}

// Add puts a phrase in; it reports the entry that holds the phrase already, or
// -1. The first one stays.
func (p *Phrases) Add(phrase string, entry int) int {
	n := p.root
	for _, t := range Cut(phrase) {
		if n.next == nil {
			n.next = map[string]*node{}
		}
		if n.next[t.Text] == nil {
			n.next[t.Text] = &node{entry: -1}
		}
		n = n.next[t.Text]
		if t.Kind == Word {
			p.words[t.Text] = true
		}
	}
	if n.entry >= 0 {
		return n.entry
	}
	n.entry = entry
	return -1
}

// Words lists the single words of all phrases.
func (p *Phrases) Words() map[string]bool { return p.words }

// At finds the longest phrase that begins at token i: its entry and how many
// tokens it takes; 0 tokens when none does.
func (p *Phrases) At(tokens []Token, i int) (entry, length int) {
	n := p.root
	entry = -1
	for j := i; j < len(tokens) && n.next != nil; j++ {
		n = n.next[tokens[j].Text]
		if n == nil {
			break
		}
		if n.entry >= 0 {
			entry, length = n.entry, j-i+1
		}
	}
	return entry, length
}

// Found is one phrase in a message.
type Found struct {
	Entry    int
	From, To int // tokens, To is one past the last
}

// All finds the phrases of a message from left to right, longest first, none
// overlapping.
func (p *Phrases) All(tokens []Token) []Found {
	var found []Found
	for i := 0; i < len(tokens); {
		entry, length := p.At(tokens, i)
		if length == 0 {
			i++
			continue
		}
		found = append(found, Found{entry, i, i + length})
		i += length
	}
	return found
}
