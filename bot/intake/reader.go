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
)

// Reader reads messages by the words of one lexicon. It is not changed by
// reading, so many may read with it at once.
type Reader struct {
	words                        *lexicon.Lexicon
	stories                      []story
	spelling                     *lex.Spelling
	scope                        *lex.Scope
	lists                        *lex.Phrases // word lists of the lexicon; id is the number of the list
	listNames                    []string
	sets                         wordSets     // the single words of each list and set
	names                        *lex.Phrases // of readings
	units                        *lex.Phrases
	values                       *lex.Phrases
	has                          *lex.Phrases
	parts                        *lex.Phrases
	direct                       *lex.Phrases
	conditions                   *lex.Phrases
	condition                    []string    // name of a condition by its phrase
	meanings                     [][]meaning // [part][condition]
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
	parses                       sync.Pool           // of *parse: their memory is used again
	whole                        map[string]bool     // words with digits at their end: co2, in3
}

// New makes a reader of a lexicon.
func New(words *lexicon.Lexicon) (*Reader, error) {
	r := &Reader{words: words, stories: storiesOf(words.Sizes)}
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
	r.meanings = meanings(words.Parts, r.condition)
	r.lists = b.empty()
	r.listNames = slices.Sorted(maps.Keys(words.Lists))
	for i, name := range r.listNames {
		b.add(r.lists, words.Lists[name], i)
	}
	sets, err := newWordSets(words.Lists, words.Sets)
	if err != nil {
		return nil, err
	}
	r.sets = sets
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
	for name := range properNames() {
		if _, letters := splitDigits(name); letters != "" {
			r.whole[name] = true
		}
	}
	r.supply = map[[2]float64]bool{}
	for _, pair := range words.Lists["supply_pairs"] {
		var low, high float64
		if _, err := fmt.Sscanf(pair, "%g/%g", &low, &high); err != nil {
			return nil, fmt.Errorf("lexicon: supply_pairs: %q: write 208/230", pair)
		}
		r.supply[[2]float64{low, high}] = true
	}
	r.said = compileCircumstances(words.Circumstances)
	phrases := []*lex.Phrases{r.names, r.units, r.values, r.has, r.parts, r.direct, r.conditions, r.lists, r.questions, r.beside, r.heard.phrases}
	r.starts = lex.NewStarts(phrases...)
	return r, b.err
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
func (r *Reader) Read(text string, ctx Context) Message {
	if m, ok := r.answerInWords(text, ctx); ok {
		return m
	}
	p := r.parse(text, ctx)
	defer p.leave()
	return p.m
}

func (r *Reader) parse(text string, ctx Context) *parse {
	if len(text) > maxText {
		text = text[:maxText]
	}
	p, again := r.parses.Get().(*parse)
	if !again {
		p = &parse{r: r}
	}
	p.begin(text, ctx)
	p.read()
	return p
}
