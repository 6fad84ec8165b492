package intake

import (
	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// read takes the message apart, step by step: words, numbers, names, what belongs to
// what, and what is left.
func (p *parse) read() Message {
	p.m = Message{Facts: vocab.Facts{}, Findings: map[vocab.Finding]bool{}}
	p.r.spelling.Fix(p.t)
	p.passChat()
	p.passEnumeration()
	p.settleWords()
	p.r.starts.Note(p.t)
	p.noteSets()
	p.hearLists()
	p.sentences()
	p.findCase()
	p.findRefrigerant()
	p.findPlace()
	p.findNumbers()
	p.findNames()
	p.setAside()
	p.tellTests()
	p.attach()
	p.leftOver()
	p.crossCheck()
	p.inOrder()
	p.findFacts()
	p.findFindings()
	if p.saysEqual() {
		p.m.Findings[vocab.PressuresEqualized] = true
	}
	p.m.Circumstances = p.r.hear(p)
	if p.otherGas() {
		p.m.Circumstances[vocab.OtherGasAtHand] = true
	}
	if p.swapped {
		p.m.Circumstances[vocab.SwappedGauges] = true
	}
	p.findState()
	p.findQuestion()
	p.findUnread()
	return p.m
}

// use says what a token was used for.
type use uint8

const (
	unused  use = iota
	named       // part of the words of something read
	counted     // a number that was read, asked about or set aside
)

// parse is one message being read.
type parse struct {
	r          *Reader
	text       string
	ctx        Context
	t          []lex.Token
	sentence   []int            // [token] number of its sentence
	open       int              // numbers asked about for want of a name
	unkept     [][2]int         // tokens of numbers that are understood and have no place in a case
	swapped    bool             // head was read under suction
	gap        []lexicon.Tenths // [token] what the tokens before it cost between a name and a number
	even       []int            // tokens of numbers that are both gauges
	chunk      []int            // [token] number of its part between commas
	inSets     []setBits        // [token] the sets of single words that it is in
	use        []use            // [token]
	lists      [][]listAt       // [token]
	heardLists []listAt         // of all tokens, one after the other
	room       room
	nameOf     []int // [token] index of the name it is part of, -1
	numOf      []int // [token] index of the number it is part of, -1
	states     []stateAt
	// site's words, and a refrigerant that is along but not in the system
	siteFrom, siteTo int
	atHandGas        string
	// what the message does somewhere: take back ("no wait"), doubt a number ("can't
	// remember"), tell of another day or machine ("yesterday"), ask
	corrects, doubts, recalls, unsure, wonders bool
	names                                      []name
	nums                                       []quantity
	m                                          Message
	said                                       map[string]struct{} // every word, once it is asked for
	past                                       []int               // parts between commas that tell what was before
	readAt                                     []int               // [reading] token of its number
	hasFound                                   []lex.Match
	// directFound are the phrases that said a finding alone.
	directFound []lex.Match
	impossible  []refusal // numbers of no value that they can have
	looks       []Reading // at the gauge between the first and the last of a decay test
}

func (p *parse) mark(from, to int, u use) {
	for i := from; i < to; i++ {
		p.use[i] = max(p.use[i], u)
	}
}

// is reports whether token i is one of these words; out of range it is none.
func (p *parse) is(i int, words ...string) bool {
	return i >= 0 && i < len(p.t) && p.t[i].Is(words...)
}

// window is the part of token i between commas, at most some tokens around it: words
// farther off have no bearing, and the work stays linear.
func (p *parse) window(i int) (lo, hi int) {
	lo, hi = i, i+1
	for lo > 0 && lo > i-farOff && p.chunk[lo-1] == p.chunk[i] {
		lo--
	}
	for hi < len(p.t) && hi < i+farOff && p.chunk[hi] == p.chunk[i] {
		hi++
	}
	return lo, hi
}

const farOff = 40

func (p *parse) textOf(from, to int) string { return p.text[p.t[from].From:p.t[to-1].To] }

// ask adds a question once.
func (p *parse) ask(key, why string) {
	for _, a := range p.m.Asks {
		if a.Key == key {
			return
		}
	}
	p.m.Asks = append(p.m.Asks, Ask{Key: key, Why: why})
}
