// Package lex cuts a field message into tokens and finds phrases among them.
package lex

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Kind of a token.
type Kind uint8

// The kinds.
const (
	Word   Kind = iota // letters, or letters first and digits after: suct, t1, r448a
	Number             // digits with a decimal point or comma
	Mark               // one other character
)

// Token is one piece of a message.
type Token struct {
	Kind  Kind
	Text  string // lower case, accents taken off
	Raw   string
	Start int // byte offsets in the message
	End   int
	Glued bool // nothing stood between it and the token before
}

// Cut splits a message. Line breaks are marks of their own; bytes that are no
// UTF-8 are passed over.
func Cut(text string) []Token {
	tokens := make([]Token, 0, len(text)/4+4)
	end := -1
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		start := i
		switch {
		case r == utf8.RuneError && size <= 1, r != '\n' && unicode.IsSpace(r), unicode.IsControl(r) && r != '\n':
			i += max(size, 1)
			continue
		case isDigit(r) || r == '.' && i+1 < len(text) && isDigit(rune(text[i+1])) && !endsInDigit(tokens, i):
			i = endOfNumber(text, i)
			tokens = append(tokens, Token{Kind: Number, Text: text[start:i], Raw: text[start:i], Start: start, End: i, Glued: start == end})
		case unicode.IsLetter(r):
			i = endOfWord(text, i, start == end && len(tokens) > 0 && tokens[len(tokens)-1].Kind == Number)
			tokens = append(tokens, Token{Kind: Word, Text: fold(text[start:i]), Raw: text[start:i], Start: start, End: i, Glued: start == end})
		default:
			i += size
			tokens = append(tokens, Token{Kind: Mark, Text: mark(r, text[start:i]), Raw: text[start:i], Start: start, End: i, Glued: start == end})
		}
		end = i
	}
	return tokens
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// endsInDigit keeps the dot of a date like 3.4.26 out of a number.
func endsInDigit(tokens []Token, at int) bool {
	return len(tokens) > 0 && tokens[len(tokens)-1].Kind == Number && tokens[len(tokens)-1].End == at
}

func endOfNumber(text string, i int) int {
	seen := false // a decimal mark
	for i < len(text) {
		c := rune(text[i])
		if isDigit(c) {
			i++
			continue
		}
		if (c == '.' || c == ',') && !(seen && c == '.') && i+1 < len(text) && isDigit(rune(text[i+1])) {
			seen = seen || c == '.'
			i++
			continue
		}
		break
	}
	return i
}

// endOfWord runs over letters and apostrophes inside a word, and over digits
// unless the word is glued to a number as its unit.
func endOfWord(text string, i int, unit bool) int {
	for i < len(text) {
		r, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case unicode.IsLetter(r), isDigit(r) && !unit:
			i += size
		case (r == '\'' || r == '’') && i+size < len(text) && i > 0:
			next, _ := utf8.DecodeRuneInString(text[i+size:])
			if !unicode.IsLetter(next) {
				return i
			}
			i += size
		default:
			return i
		}
	}
	return i
}

var plain = strings.NewReplacer("á", "a", "é", "e", "í", "i", "ó", "o", "ú", "u", "ü", "u", "ñ", "n", "’", "'", "Á", "a", "É", "e", "Í", "i", "Ó", "o", "Ú", "u", "Ñ", "n")

// fold takes case and accents off.
func fold(s string) string {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return plain.Replace(strings.ToLower(s))
		}
	}
	return strings.ToLower(s)
}

func mark(r rune, s string) string {
	switch r {
	case '″', '“', '”':
		return `"`
	case '’', '′', '‘':
		return "'"
	case '–', '—', '−':
		return "-"
	case 'º':
		return "°"
	}
	return s
}
