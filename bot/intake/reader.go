package intake

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// Reader reads messages by the words of one lexicon. It is not changed by
// reading, so many may read with it at once.
type Reader struct {
	words                        *lexicon.Lexicon
	spelling                     *lex.Spelling
	scope                        *lex.Scope
	lists                        *lex.Phrases // word lists of the lexicon; id is the number of the list
	listNames                    []string
	names                        *lex.Phrases // of readings
	units                        *lex.Phrases
	values                       *lex.Phrases
	has                          *lex.Phrases
	parts                        *lex.Phrases
	direct                       *lex.Phrases
	conditions                   *lex.Phrases
	condition                    []string // name of a condition by its phrase
	said                         circumstancePhrases
	contraction                  map[string]bool
	questions                    *lex.Phrases
	unless                       []*lex.Phrases // [question]
	heard                        hearing
	beside                       *lex.Phrases // words beside a question; id is the number of the name
	besideNames                  []string
	starts                       lex.Starts
	chat                         *lex.Phrases // small talk made of words of the trade
	inchesVacuum, minutes, hours *lexicon.Unit
	supply                       map[[2]float64]bool // pairs of voltages that stand on one nameplate
	whole                        map[string]bool     // words with digits at their end: co2, in3
}

// New makes a reader of a lexicon.
func New(words *lexicon.Lexicon) (*Reader, error) {
	r := &Reader{words: words}
	r.spelling = lex.NewSpelling(r.variants(), append(lexicon.English(), r.listWords()...), r.phraseWords())
	b := phraseBook{r: r, small: words.Lists["small"]}
	r.names, r.units, r.values, r.has = b.empty(), b.bare(), b.bare(), b.empty()
	r.parts, r.direct, r.conditions = b.empty(), b.empty(), b.empty()
	for i, n := range words.Readings {
		b.add(r.names, n.Say, i)
	}
	for i, u := range words.Units {
		b.add(r.units, u.Say, i)
	}
	for i := range words.Units {
		if words.Units[i].As[lexicon.Time] == units.CodeMinute && words.Units[i].Times == 0 {
			r.minutes = &words.Units[i]
		}
		if words.Units[i].As[lexicon.Time] == units.CodeHour {
			r.hours = &words.Units[i]
		}
		if words.Units[i].As[lexicon.Pressure] == units.CodeInHgVacuum {
			r.inchesVacuum = &words.Units[i]
		}
	}
	for i, v := range words.Values {
		b.add(r.values, v.Say, i)
	}
	for i, v := range words.Has {
		b.add(r.has, v.Say, i)
	}
	for i, p := range words.Parts {
		b.add(r.parts, p.Say, i)
	}
	for i, d := range words.Direct {
		b.add(r.direct, d.Say, i)
	}
	for i, name := range slices.Sorted(maps.Keys(words.Conditions)) {
		r.condition = append(r.condition, name)
		b.add(r.conditions, words.Conditions[name], i)
	}
	r.lists = b.empty()
	r.listNames = slices.Sorted(maps.Keys(words.Lists))
	for i, name := range r.listNames {
		b.add(r.lists, words.Lists[name], i)
	}
	doubts := b.bare()
	b.add(doubts, words.Lists["doubt_phrases"], 0)
	r.chat = b.bare()
	for _, say := range words.Lists["chat_phrases"] {
		if err := r.chat.Add(say, 0, strings.ToLower); err != nil { // as typed: a drawing is no current
			return nil, fmt.Errorf("lexicon: %w", err)
		}
	}
	r.questions = b.empty()
	for i, q := range words.Questions {
		b.add(r.questions, q.Say, i)
		r.unless = append(r.unless, b.empty())
		b.add(r.unless[i], q.Unless, i)
	}
	r.heard = newHearing(&b, words.Questions)
	r.beside = b.empty()
	r.besideNames = slices.Sorted(maps.Keys(words.QuestionWords))
	for i, name := range r.besideNames {
		b.add(r.beside, words.QuestionWords[name], i)
	}
	r.scope = &lex.Scope{Deny: set(words.Lists["deny"]), DenyAfter: set(words.Lists["deny_after"]), Turn: set(words.Lists["turn"]), Doubt: set(words.Lists["doubt"]), DoubtPhrases: doubts}
	r.contraction = set(words.Lists["contractions"])
	r.whole = set(words.Lists["with_digits"])
	r.supply = map[[2]float64]bool{}
	for _, pair := range words.Lists["supply_pairs"] {
		var low, high float64
		if _, err := fmt.Sscanf(pair, "%g/%g", &low, &high); err != nil {
			return nil, fmt.Errorf("lexicon: supply_pairs: %q: write 208/230", pair)
		}
		r.supply[[2]float64{low, high}] = true
	}
	r.said = compileCircumstances(words.Circumstances)
	sets := []*lex.Phrases{r.names, r.units, r.values, r.has, r.parts, r.direct, r.conditions, r.lists, r.questions, r.beside, r.heard.phrases}
	r.starts = lex.NewStarts(sets...)
	return r, b.err
}

// variants are the words whose spelling is put right: the trade's, and the
// numbers said in words.
func (r *Reader) variants() map[string]string {
	v := r.words.Variants()
	english := set(lexicon.English())
	for _, m := range []map[string]float64{r.words.Numbers, r.words.Fractions} {
		for w := range m {
			if _, taken := v[w]; !taken {
				v[w] = w
			}
		}
	}
	for _, say := range r.words.Phrases() {
		for w := range strings.FieldsSeq(strings.ToLower(say)) {
			for alt := range strings.SplitSeq(strings.TrimSuffix(w, "?"), "|") {
				if _, taken := v[alt]; !taken && !english[alt] && len(alt) > 1 && alt[0] >= 'a' && alt[0] <= 'z' {
					v[alt] = alt
				}
			}
		}
	}
	return v
}

// listWords are the words of the plain lists: right as they are.
func (r *Reader) listWords() []string {
	var out []string
	for _, list := range r.words.Lists {
		for _, say := range list {
			for w := range strings.FieldsSeq(say) {
				out = append(out, strings.Split(strings.TrimSuffix(w, "?"), "|")...)
			}
		}
	}
	return out
}

// phraseWords are the words that stand in phrases only: those that are no English,
// and English ones of some length.
func (r *Reader) phraseWords() []string {
	const shortest = 5
	own, english := r.words.Variants(), set(lexicon.English())
	seen, out := map[string]bool{}, []string(nil)
	for _, say := range r.words.Phrases() {
		for w := range strings.FieldsSeq(strings.ToLower(say)) {
			for alt := range strings.SplitSeq(strings.TrimSuffix(w, "?"), "|") {
				if _, has := own[alt]; has || seen[alt] || english[alt] && len(alt) < shortest {
					continue
				}
				seen[alt] = true
				out = append(out, alt)
			}
		}
	}
	return out
}

// phraseBook fills sets of phrases and keeps the first mistake.
type phraseBook struct {
	r     *Reader
	small []string
	err   error
}

func (b *phraseBook) empty() *lex.Phrases { return lex.NewPhrases(b.small) }

// bare phrases have no small words between theirs.
func (b *phraseBook) bare() *lex.Phrases { return lex.NewPhrases(nil) }

func (b *phraseBook) add(p *lex.Phrases, say []string, id int) {
	for _, s := range say {
		if err := p.Add(s, id, b.r.canonical); err != nil && b.err == nil {
			b.err = fmt.Errorf("lexicon: %w", err)
		}
	}
}

func (r *Reader) canonical(w string) string {
	if c, ok := r.spelling.Exact(w); ok {
		return c
	}
	return w
}

func set(words []string) map[string]bool {
	m := make(map[string]bool, len(words))
	for _, w := range words {
		m[w] = true
	}
	return m
}

var builtIn = sync.OnceValues(func() (*Reader, error) {
	words, err := lexicon.Load()
	if err != nil {
		return nil, fmt.Errorf("built-in words: %w", err)
	}
	return New(words)
})

// BuiltIn is the reader of the built-in words.
func BuiltIn() (*Reader, error) { return builtIn() }

// maxText bounds what is read of one message, in bytes: a message is 1,600
// characters at most, a pasted log may be longer.
const maxText = 16 << 10

// Read reads one message.
func (r *Reader) Read(text string, ctx Context) Message { return r.parse(text, ctx).m }

func (r *Reader) parse(text string, ctx Context) *parse {
	if len(text) > maxText {
		text = text[:maxText]
	}
	p := &parse{r: r, text: text, ctx: ctx, t: lex.Split(text, r.whole)}
	p.m = Message{Facts: vocab.Facts{}, Findings: map[vocab.Finding]bool{}}
	r.spelling.Fix(p.t)
	p.use = make([]use, len(p.t))
	p.passChat()
	p.passEnumeration()
	p.settleWords()
	r.starts.Note(p.t)
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
	p.m.Circumstances = r.hear(p)
	if p.swapped {
		p.m.Circumstances[vocab.SwappedGauges] = true
	}
	p.findState()
	p.findQuestion()
	p.findUnread()
	return p
}

// passChat takes small talk out that is made of words of the trade: "head out at 5",
// "just in case", "low on gas".
func (p *parse) passChat() {
	for _, m := range p.r.chat.Find(p.t) {
		for k := m.From; k < m.To; k++ {
			if p.t[k].Kind == lex.Word {
				p.t[k].Word, p.t[k].Plain, p.use[k] = chatted, chatted, named
			}
		}
	}
}

// passEnumeration takes the "1)" of a numbered list for the end of a sentence.
func (p *parse) passEnumeration() {
	open := false
	for i := 0; i+1 < len(p.t); i++ {
		open = (open || p.is(i, "(")) && !p.is(i-1, ")")
		if p.t[i].Kind == lex.Number && p.is(i+1, ")") && p.t[i+1].Glued && !open && p.t[i].Value < 20 && !p.t[i].Decimal && !p.t[i].Frac {
			p.use[i] = counted
			p.t[i].Kind, p.t[i].Plain, p.t[i].Word = lex.Mark, ";", ";"
		}
	}
}

// chatted stands for a word of small talk; no phrase of the lexicon has it.
const chatted = "\x00"

// use says what a token was used for.
type use uint8

const (
	unused  use = iota
	named       // part of the words of something read
	counted     // a number that was read, asked about or set aside
)

// parse is one message being read.
type parse struct {
	r        *Reader
	text     string
	ctx      Context
	t        []lex.Token
	sentence []int      // [token] number of its sentence
	swapped  bool       // head was read under suction
	even     []int      // tokens of numbers that are both gauges
	chunk    []int      // [token] number of its part between commas
	use      []use      // [token]
	lists    [][]listAt // [token]
	nameOf   []int      // [token] index of the name it is part of, -1
	numOf    []int      // [token] index of the number it is part of, -1
	states   []stateAt
	// what the message does somewhere: take back ("no wait"), doubt a number ("can't
	// remember"), tell of another day or machine ("yesterday")
	corrects, doubts, recalls, unsure bool
	names                             []name
	nums                              []quantity
	m                                 Message
	said                              map[string]struct{} // every word, once it is asked for
	past                              []int               // parts between commas that tell what was before
	readAt                            []int               // [reading] token of its number
	hasFound                          []lex.Match
	// directFound are the phrases that said a finding alone.
	directFound []lex.Match
	impossible  []refusal // numbers of no value that they can have
	looks       []Reading // at the gauge between the first and the last of a decay test
}

// settleWords looks through "the low side's" and "meg'd it", and takes the "no" that
// answers for one that denies nothing.
func (p *parse) settleWords() {
	for i, t := range p.t {
		if t.Plain == "no" && p.is(i+1, "the", "its", "it", "that", "this", "i", "we") {
			p.t[i].Word, p.t[i].Plain = "nope", "nope"
		}
		if t.Kind != lex.Word || len(t.Plain) == len(t.Text) {
			continue
		}
		switch lower := strings.ReplaceAll(strings.ToLower(t.Text), "’", "'"); {
		case strings.HasSuffix(lower, "'s") && !p.r.contraction[t.Plain]:
			p.t[i].Word, p.t[i].Known = p.r.spelling.Canonical(lower[:len(lower)-2])
		case strings.HasSuffix(lower, "'d") && p.r.spelling.Trade(lower[:len(lower)-2]):
			p.t[i].Word, p.t[i].Known = p.r.spelling.Canonical(lower[:len(lower)-2])
		}
	}
}

// sentences numbers the sentences and the parts between commas.
func (p *parse) sentences() {
	n := len(p.t)
	both := make([]int, 2*n)
	p.sentence, p.chunk = both[:n], both[n:]
	s, c := 0, 0
	for i, t := range p.t {
		p.sentence[i], p.chunk[i] = s, c
		switch {
		case lex.EndsSentence(t):
			if p.isAbbreviation(i) {
				continue
			}
			if i+1 < n && lex.EndsSentence(p.t[i+1]) {
				continue // "twelve ounces... no make that nine"
			}
			s++
			c++
		case lex.EndsClause(t), p.spacedDash(i):
			c++
		}
	}
}

// isAbbreviation: the dot of "suct. 22" ends nothing; that of "24 suct. 212 head." does.
func (p *parse) isAbbreviation(i int) bool {
	if !p.is(i, ".") || !p.t[i].Glued || i+1 >= len(p.t) || p.t[i+1].Kind != lex.Number {
		return false
	}
	if _, ok := p.listedBefore("abbreviations", i); !ok {
		return false
	}
	return i < 2 || p.t[i-2].Kind != lex.Number || p.ownNumber(i-2)
}

// spacedDash sees " - " between two remarks.
func (p *parse) spacedDash(i int) bool {
	return p.t[i].Kind == lex.Mark && (p.t[i].Plain == "-" || p.t[i].Plain == "/") && !p.t[i].Glued && i+1 < len(p.t) && !p.t[i+1].Glued
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
	p.lists = make([][]listAt, len(p.t))
	for i := range p.t {
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
			}
			for k, l := range p.lists[i] {
				if l.list == list {
					p.lists[i][k].to = max(l.to, to)
					return
				}
			}
			p.lists[i] = append(p.lists[i], listAt{list, to})
		})
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
