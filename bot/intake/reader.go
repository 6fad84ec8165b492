package intake

import (
	"fmt"
	"sort"
	"strings"
	"sync"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// Reader reads messages by a lexicon. It is safe for concurrent use.
type Reader struct {
	words     *lexicon.Lexicon
	slots     *lex.Phrases
	units     *lex.Phrases
	facts     *lex.Phrases
	partNames *lex.Phrases
	present   *lex.Phrases
	absent    *lex.Phrases
	equipment *lex.Phrases
	condNames []string
	condSets  map[string]*lex.Phrases
	subjects  []*lex.Phrases // one set a subject: a word may belong to several
	negators  *lex.Phrases
	hedges    *lex.Phrases
	unchecked *lex.Phrases
	mender    *lex.Mender
	said      []circumstancePhrases
}

// New makes a reader of a lexicon.
func New(words *lexicon.Lexicon) *Reader {
	r := &Reader{words: words, slots: lex.NewPhrases(), units: lex.NewPhrases(), facts: lex.NewPhrases(), partNames: lex.NewPhrases(), condSets: map[string]*lex.Phrases{}}
	for i, s := range words.Slots {
		addAll(r.slots, s.Words, i)
	}
	for i, u := range words.Units {
		addAll(r.units, u.Words, i)
	}
	for i, f := range words.Facts.Facts {
		addAll(r.facts, f.Words, i)
	}
	for i, f := range words.Facts.Parts {
		addAll(r.partNames, f.Words, i)
	}
	r.present, r.absent, r.equipment = setOf(words.Facts.Present), setOf(words.Facts.Absent), setOf(words.Facts.Equipment)
	r.negators, r.hedges, r.unchecked = setOf(words.Findings.Negators), setOf(words.Findings.Hedges), setOf(words.Findings.Unchecked)
	for _, s := range words.Findings.Subjects {
		r.subjects = append(r.subjects, setOf(s.Words))
	}
	for name, words := range words.Findings.Conditions {
		r.condNames = append(r.condNames, name)
		r.condSets[name] = setOf(words)
	}
	sort.Strings(r.condNames)
	r.said = compileCircumstances(words.Circumstances)
	r.mender = lex.NewMender(r.knownWords(), words.Everyday)
	return r
}

func addAll(p *lex.Phrases, words []string, entry int) {
	for _, w := range words {
		p.Add(w, entry)
	}
}

func setOf(words []string) *lex.Phrases {
	p := lex.NewPhrases()
	addAll(p, words, 0)
	return p
}

func (r *Reader) knownWords() map[string]bool {
	known := map[string]bool{}
	sets := append([]*lex.Phrases{r.slots, r.units, r.facts, r.partNames, r.present, r.absent, r.equipment, r.negators, r.hedges, r.unchecked}, r.subjects...)
	for _, set := range r.condSets {
		sets = append(sets, set)
	}
	for _, p := range sets {
		for w := range p.Words() {
			known[w] = true
		}
	}
	for _, m := range []map[string]int{ones, teens, tens, hundreds} {
		for w := range m {
			known[w] = true
		}
	}
	for w := range parts {
		known[w] = true
	}
	for w := range r.words.Facts.RefrigerantWords {
		known[w] = true
	}
	for _, c := range r.words.Circumstances {
		for _, phrase := range append(c.Says, c.Denied...) {
			for _, w := range strings.FieldsFunc(phrase, func(c rune) bool { return c == ' ' || c == '|' }) {
				known[w] = true
			}
		}
	}
	for _, w := range []string{"point", "hundred", "thousand", "minus", "negative"} {
		known[w] = true
	}
	return known
}

var builtIn = sync.OnceValues(func() (*Reader, error) {
	words, err := lexicon.Load()
	if err != nil {
		return nil, fmt.Errorf("built-in words: %w", err)
	}
	return New(words), nil
})

// BuiltIn is the reader of the built-in words.
func BuiltIn() (*Reader, error) { return builtIn() }

// maxText bounds what is read of one message, in bytes: a message is 1,600
// characters at most, a pasted log may be longer.
const maxText = 16 << 10

// Read reads one message.
func (r *Reader) Read(text string, ctx Context) Message {
	if len(text) > maxText {
		text = text[:maxText]
	}
	p := &parse{r: r, text: text, ctx: ctx, t: lex.Cut(text)}
	p.saidIn = map[vocab.Finding]int{}
	p.m = Message{Facts: vocab.Facts{}, Findings: map[vocab.Finding]bool{}}
	r.mender.Mend(p.t)
	p.taken = make([]bool, len(p.t))
	p.sentences()
	p.findSlots()
	p.findCase()
	p.findRefrigerant()
	p.findPlace()
	p.findNumbers()
	p.findPair()
	p.attach()
	p.leftOver()
	p.findFacts()
	p.findFindings()
	p.m.Circumstances = r.hear(p)
	p.contradictions()
	p.findState()
	p.findQuestion()
	p.findUnread()
	return p.m
}

// parse is one message being read.
type parse struct {
	r        *Reader
	text     string
	ctx      Context
	t        []lex.Token
	sentence []int  // [token] number of its sentence
	chunk    []int  // [token] number of its part between commas
	taken    []bool // [token] means something already
	slots    []slotAt
	nums     []quantity
	m        Message
	readAt   []int                 // [reading] token of its number
	saidIn   map[vocab.Finding]int // sentence that a finding was last said in
}

// slotAt is a slot's words in the message.
type slotAt struct {
	*lexicon.Slot
	from, to int
	taken    map[vocab.Key]bool
}

// sentences numbers the sentences and the parts between commas.
func (p *parse) sentences() {
	p.sentence, p.chunk = make([]int, len(p.t)), make([]int, len(p.t))
	s, c := 0, 0
	for i, t := range p.t {
		p.sentence[i], p.chunk[i] = s, c
		switch t.Text {
		case ".", ";", "!", "?", "\n":
			s++
			c++
		case ",":
			c++
		}
	}
}

func (p *parse) take(from, to int) {
	for i := from; i < to; i++ {
		p.taken[i] = true
	}
}

// ask adds a question once.
func (p *parse) ask(key, why string) {
	for _, a := range p.m.Asks {
		if a.Key == key {
			return
		}
	}
	p.m.Asks = append(p.m.Asks, Ask{Key: key, Why: why})
}
