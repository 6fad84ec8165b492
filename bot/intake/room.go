package intake

import (
	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
)

// room is the memory that reading one message takes; the next message gets it again.
// Nothing of it is part of a Message.
type room struct {
	tokens  []lex.Token
	use     []use
	inSets  []setBits
	places  []int // sentence, chunk, nameOf and numOf of each token
	lists   [][]listAt
	heard   []listAt
	gap     []lexicon.Tenths
	names   []name
	nums    []quantity
	choices []choice
	options [][]choice
	cells   []cell
	table   [][]cell
	words   []spokenWord
	parts   []mention
	conds   []mention
}

// zeroed is n empty places of the memory, more of it when it is too small.
func zeroed[T any](memory *[]T, n int) []T {
	if cap(*memory) < n {
		*memory = make([]T, n)
	}
	s := (*memory)[:n]
	clear(s)
	return s
}

// begin readies the parse for a message.
func (p *parse) begin(text string, ctx Context) {
	*p = parse{r: p.r, text: text, ctx: ctx, room: p.room}
	p.t = lex.Split(text, p.r.whole, p.room.tokens[:0])
	n := len(p.t)
	p.use, p.lists, p.gap = zeroed(&p.room.use, n), zeroed(&p.room.lists, n), zeroed(&p.room.gap, n+1)
	places := zeroed(&p.room.places, 4*n)
	p.sentence, p.chunk, p.nameOf, p.numOf = places[:n], places[n:2*n], places[2*n:3*n], places[3*n:]
	p.names, p.nums, p.heardLists = p.room.names[:0], p.room.nums[:0], p.room.heard[:0]
}

// leave keeps the memory, as far as it grew, for the next message.
func (p *parse) leave() {
	p.room.tokens, p.room.names, p.room.nums, p.room.heard = p.t, p.names, p.nums, p.heardLists
	p.r.parses.Put(p)
}
