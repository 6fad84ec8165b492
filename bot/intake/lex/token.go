// Package lex cuts a field text into words, numbers and marks, each with the
// bytes it came from, puts the spelling right where that is safe, and finds
// phrases in what is left. It knows nothing of readings.
package lex

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Kind of a token.
type Kind uint8

// The kinds.
const (
	Word Kind = iota
	Number
	Mark // one sign of punctuation
)

// Token is one piece of a text.
type Token struct {
	Kind     Kind
	Text     string // as typed
	Plain    string // lower case, no accents, no apostrophes
	Word     string // Plain with its spelling put right: the canonical word
	From, To int    // bytes of the text
	Value    float64
	Frac     bool   // typed as a fraction or a mixed number: 7/8, 1-3/8
	Decimal  bool   // typed with a decimal point or comma
	Signed   bool   // typed with a sign in front
	Spoken   bool   // said in words: "two forty"
	Glued    bool   // no space before it
	Known    bool   // a word that the spelling knows
	starts   uint32 // sets of phrases that a phrase may begin in here, when noted
	noted    bool
}

// Is reports whether the token is one of these words.
func (t *Token) Is(words ...string) bool {
	if t.Kind == Number {
		return false
	}
	for _, w := range words {
		if t.Word == w || t.Plain == w {
			return true
		}
	}
	return false
}

// Split cuts a text into tokens. Every byte that is not space, control
// character or broken UTF-8 is in one of them.
//
// Letters with digits behind them are two tokens ("suct28") unless whole holds
// them together ("in3", "co2") or the letter is a single one ("R22", "T1"). The tokens
// are put behind those of into.
func Split(text string, whole map[string]bool, into []Token) []Token {
	s := splitter{text: text, whole: whole, out: slices.Grow(into, len(text)/3+4)}
	for s.at < len(text) {
		s.next()
	}
	return s.out
}

type splitter struct {
	text  string
	whole map[string]bool
	at    int
	out   []Token
}

func (s *splitter) next() {
	r, size := utf8.DecodeRuneInString(s.text[s.at:])
	switch {
	case r == utf8.RuneError && size <= 1, unicode.IsSpace(r), unicode.IsControl(r), r == '\u200b', r == '\ufeff':
		s.at += size
	case isDigit(s.text, s.at), s.startsPoint():
		s.number()
	case unicode.IsLetter(r):
		s.word()
	case r == '½' || r == '¼' || r == '¾' || r == '⅛' || r == '⅜' || r == '⅝' || r == '⅞':
		s.vulgar(r, size)
	default:
		s.mark(r, size)
	}
}

// startsPoint sees ".5": a number that begins with its point.
func (s *splitter) startsPoint() bool {
	if s.text[s.at] != '.' || !isDigit(s.text, s.at+1) {
		return false
	}
	return s.at == 0 || !isDigit(s.text, s.at-1) && !isLetterByte(s.text[s.at-1])
}

var vulgarFractions = map[rune]float64{'½': .5, '¼': .25, '¾': .75, '⅛': .125, '⅜': .375, '⅝': .625, '⅞': .875}

func (s *splitter) vulgar(r rune, size int) {
	t := Token{Kind: Number, From: s.at, To: s.at + size, Value: vulgarFractions[r], Frac: true}
	s.at += size
	s.mix(&t)
	s.add(t)
}

func (s *splitter) mark(r rune, size int) {
	plain := string(r)
	switch r {
	case '’', '‘', '′', '`', '´':
		plain = "'"
	case '“', '”', '″':
		plain = `"`
	case '–', '—', '−', '‑':
		plain = "-"
	case 'º', '˚', '°':
		plain = "°"
	case '≈', '∼':
		plain = "~"
	}
	if plain == "'" && len(s.out) > 0 && s.text[s.at:min(len(s.text), s.at+size+size)] == strings.Repeat(string(r), 2) {
		plain, size = `"`, 2*size
	}
	s.add(Token{Kind: Mark, From: s.at, To: s.at + size, Plain: plain, Word: plain})
	s.at += size
}

// word takes letters, digits after them, and apostrophes inside.
func (s *splitter) word() {
	from := s.at
	var plain strings.Builder
	for s.at < len(s.text) {
		r, size := utf8.DecodeRuneInString(s.text[s.at:])
		if r == '\'' || r == '’' {
			next, _ := utf8.DecodeRuneInString(s.text[s.at+size:])
			if !unicode.IsLetter(next) {
				break
			}
			s.at += size
			continue
		}
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.Is(unicode.Mn, r) || r == utf8.RuneError && size <= 1 {
			break
		}
		if p := fold(r); p >= 0 {
			plain.WriteRune(p)
		}
		s.at += size
	}
	p := plain.String()
	if letters, digits := cutDigits(p); digits != "" && len(letters) > 1 && !s.whole[p] && s.at-from == len(p) {
		s.add(Token{Kind: Word, From: from, To: from + len(letters), Plain: letters, Word: letters})
		s.at = from + len(letters)
		return
	}
	s.add(Token{Kind: Word, From: from, To: s.at, Plain: p, Word: p})
}

func cutDigits(p string) (letters, digits string) {
	for i := range len(p) {
		if p[i] >= '0' && p[i] <= '9' {
			for _, c := range []byte(p[i:]) {
				if c < '0' || c > '9' {
					return p, ""
				}
			}
			return p[:i], p[i:]
		}
	}
	return p, ""
}

func (s *splitter) add(t Token) {
	t.Text = s.text[t.From:t.To]
	t.Glued = len(s.out) > 0 && s.out[len(s.out)-1].To == t.From
	if t.Kind == Word && t.Word == "" {
		t.Word = t.Plain
	}
	s.out = append(s.out, t)
}

// fold lowers a letter and takes its accent off; -1 drops it.
func fold(r rune) rune {
	if r < 0x80 {
		return unicode.ToLower(r)
	}
	if unicode.Is(unicode.Mn, r) {
		return -1
	}
	r = unicode.ToLower(r)
	if i := strings.IndexRune("áàâäãéèêëíìîïóòôöõúùûüñç", r); i >= 0 {
		n := utf8.RuneCountInString("áàâäãéèêëíìîïóòôöõúùûüñç"[:i])
		return rune("aaaaaeeeeiiiiooooouuuunc"[n])
	}
	return r
}

func isDigit(s string, i int) bool { return i >= 0 && i < len(s) && s[i] >= '0' && s[i] <= '9' }

func isLetterByte(b byte) bool { return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b >= 0x80 }
