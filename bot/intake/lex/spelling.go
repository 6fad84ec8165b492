package lex

import "strings"

// Spelling knows the words of the trade and of plain English, and puts a
// mistyped trade word right when there is one way only to do so.
type Spelling struct {
	canonical map[string]string   // every trade word and variant → canonical word
	english   map[string]struct{} // words that are right as they are
	weak      map[string]struct{} // words of phrases only
	frame     map[string]string   // the same with doubled ones once
	shape     map[string]string   // consonants of the trade's words → canonical word, "" where several share them
	near      map[string][]string // what is left of a trade word after deleting letters → those words
}

// NewSpelling builds a spelling from variants (variant → canonical) and the
// words that must never be taken for a mistyped one.
//
// also are words that phrases hold, some of them English: a mistyped word may be
// meant to be one where no other word of the trade is as near.
func NewSpelling(variants map[string]string, english, also []string) *Spelling {
	s := &Spelling{
		canonical: variants,
		english:   make(map[string]struct{}, len(english)),
		shape:     make(map[string]string, len(variants)),
		weak:      make(map[string]struct{}, len(also)),
		frame:     make(map[string]string, len(variants)),
		near:      make(map[string][]string, 8*len(variants)),
	}
	for _, w := range english {
		s.english[w] = struct{}{}
	}
	for _, w := range also {
		s.weak[w] = struct{}{}
		if _, trade := variants[w]; !trade {
			s.mayMean(w, w)
		}
	}
	for w, c := range variants {
		if other, ok := s.shape[consonants(w)]; ok && other != c {
			c = ""
		}
		s.shape[consonants(w)] = c
		s.mayMean(w, variants[w])
	}
	return s
}

// mayMean notes what a mistyped word may stand for.
func (s *Spelling) mayMean(w, c string) {
	if f := frame(w); len(f) >= shortestFrame {
		if other, ok := s.frame[f]; ok && other != c {
			c = ""
		}
		s.frame[f] = c
	}
	if reach(len(w)) > 0 {
		deletions(w, reach(len(w)), func(d string) { s.near[d] = append(s.near[d], w) })
	}
}

// shortestFrame is how many consonants a word needs to be known by them alone.
const shortestFrame = 4

// frame is the consonants of a word, doubled ones once: "comprsr" and "compressor".
func frame(w string) string {
	c := []byte(consonants(w))
	n := 0
	for i := range c {
		if i == 0 || c[i] != c[i-1] {
			c[n] = c[i]
			n++
		}
	}
	return string(c[:n])
}

// shortest word that may have any slip; a shorter one may only lack a letter in
// its middle ("hed").
const shortest = 4

// reach is how many slips a word of n letters may have: short words none, since
// one letter makes another word of them.
func reach(n int) int {
	switch {
	case n < 3 || n > 18:
		return 0
	case n < 8:
		return 1
	}
	return 2
}

// Fix puts the spelling of all words right, in place.
func (s *Spelling) Fix(tokens []Token) {
	for i := range tokens {
		if tokens[i].Kind == Word {
			tokens[i].Word, tokens[i].Known = s.Canonical(tokens[i].Plain)
		}
	}
}

// Canonical is the canonical form of a word, and whether the word is known.
func (s *Spelling) Canonical(w string) (string, bool) {
	if c, ok := s.canonical[w]; ok {
		return c, true
	}
	if _, ok := s.english[w]; ok {
		return w, true
	}
	if c, ok := s.repair(w); ok {
		return c, true
	}
	return w, false
}

// Exact is the canonical form of a word that is spelled right.
func (s *Spelling) Exact(w string) (string, bool) { c, ok := s.canonical[w]; return c, ok }

// Trade reports whether w is a word of the trade's lexicon as typed.
func (s *Spelling) Trade(w string) bool { _, ok := s.canonical[w]; return ok }

// repair finds the one canonical word within reach that begins with the same
// letter (or has its first two swapped). Two different ones: none.
func (s *Spelling) repair(w string) (string, bool) {
	n := reach(len(w))
	if n == 0 || s.severalShortened(w) {
		return "", false
	}
	best, found, by, tie := n+2, "", "", false
	deletions(w, n, func(d string) {
		for _, cand := range s.near[d] {
			if !sameStart(w, cand) || len(cand) > len(w)+n || len(w) > len(cand)+n {
				continue
			}
			c, trade := s.canonical[cand]
			dist := distance(w, cand)
			if dist > min(reach(len(cand)), reach(len(w))) || len(w) < shortest && !lacksMiddle(w, cand) && !sameLetters(w, cand) && !otherMiddle(w, cand) {
				continue
			}
			if !trade {
				c = cand
			}
			if _, weak := s.weak[cand]; weak {
				dist++ // a word of the trade's own comes first
			}
			switch {
			case dist < best:
				best, found, by, tie = dist, c, cand, false
			case dist == best && c != found && sameLetters(w, cand):
				found, by, tie = c, cand, false
			case dist == best && c != found && !sameLetters(w, by):
				tie = true
			}
		}
	})
	if found == "" {
		found = s.frame[frame(w)]
	}
	return found, found != "" && !tie
}

// lacksMiddle: "hed" for head.
func lacksMiddle(w, cand string) bool {
	return len(cand) == len(w)+1 && w[len(w)-1] == cand[len(cand)-1]
}

// severalShortened: "rds", typed without vowels, is rods as well as reeds.
func (s *Spelling) severalShortened(w string) bool {
	c, ok := s.shape[w]
	return ok && c == "" && consonants(w) == w
}

// consonants is a word without its vowels.
func consonants(w string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune("aeiou", r) {
			return -1
		}
		return r
	}, w)
}

// otherMiddle: "oyl" for oil.
func otherMiddle(w, cand string) bool {
	const vowels = "aeiouy"
	return len(w) == 3 && len(cand) == 3 && w[0] == cand[0] && w[2] == cand[2] &&
		strings.IndexByte(vowels, w[1]) >= 0 && strings.IndexByte(vowels, cand[1]) >= 0
}

// sameLetters: a word with two letters swapped is likelier than one with a letter
// changed.
func sameLetters(a, b string) bool {
	if len(a) != len(b) {
		return false
	}
	var count [256]int8
	for i := range len(a) {
		count[a[i]]++
		count[b[i]]--
	}
	return count == [256]int8{}
}

func sameStart(a, b string) bool {
	return a[0] == b[0] || len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0]
}

// deletions calls f with w and every word made by taking up to n letters out.
func deletions(w string, n int, f func(string)) {
	f(w)
	if n == 0 || len(w) < 3 {
		return
	}
	var buf [24]byte
	if len(w) > len(buf) {
		return
	}
	for i := range len(w) {
		k := copy(buf[:], w[:i])
		k += copy(buf[k:], w[i+1:])
		one := string(buf[:k])
		f(one)
		if n < 2 {
			continue
		}
		for j := i; j < len(one); j++ {
			f(one[:j] + one[j+1:])
		}
	}
}

// distance counts slips: a letter too many, missing, wrong, or two swapped
// (optimal string alignment).
func distance(a, b string) int {
	var rows [3][26]int
	if len(a) > 24 || len(b) > 24 {
		return 99
	}
	prev2, prev, row := &rows[0], &rows[1], &rows[2]
	for j := 0; j <= len(b); j++ {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(prev[j]+1, row[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], prev2[j-2]+1)
			}
		}
		prev2, prev, row = prev, row, prev2
	}
	return prev[len(b)]
}
