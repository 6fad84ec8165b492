package lex

// Mender puts small typing mistakes right: one letter wrong, missing, too many
// or swapped, and two in long words. A word that people use for something else
// is never mended, nor one that could be two words.
type Mender struct {
	known    map[string]bool
	everyday map[string]bool
	byLength [maxMend + 1][]string
}

const (
	minMend = 4 // letters: shorter words are too near to each other
	twoFrom = 8 // letters from which two mistakes are mended
	maxMend = 24
)

// NewMender makes a mender of trade words; everyday words stay as they are.
func NewMender(known map[string]bool, everyday []string) *Mender {
	m := &Mender{known: known, everyday: map[string]bool{}}
	for _, w := range everyday {
		m.everyday[fold(w)] = true
	}
	for w := range known {
		if len(w) > minMend && len(w) <= maxMend {
			m.byLength[len(w)] = append(m.byLength[len(w)], w)
		}
	}
	return m
}

// Mend replaces the text of mistyped words in place.
func (m *Mender) Mend(tokens []Token) {
	for i := range tokens {
		if t := &tokens[i]; t.Kind == Word {
			if w, ok := m.word(t.Text); ok {
				t.Text = w
			}
		}
	}
}

// Known reports whether a word is a trade word or an everyday one.
func (m *Mender) Known(w string) bool { return m.known[w] || m.everyday[w] }

func (m *Mender) word(w string) (string, bool) {
	if len(w) < minMend || len(w) > maxMend || m.known[w] || m.everyday[w] {
		return "", false
	}
	allowed := 1
	if len(w) >= twoFrom {
		allowed = 2
	}
	best, least, tie := "", allowed+1, false
	for n := max(len(w)-allowed, 0); n <= min(len(w)+allowed, maxMend); n++ {
		for _, k := range m.byLength[n] {
			if k[0] != w[0] {
				continue
			}
			switch d := distance(w, k, allowed); {
			case d < least:
				best, least, tie = k, d, false
			case d == least && d <= allowed && k != best:
				tie = true
			}
		}
	}
	return best, least <= allowed && !tie
}

// distance counts insertions, deletions, changes and swaps of neighbours, up to
// one more than is allowed.
func distance(a, b string, allowed int) int {
	var rows [3][maxMend + 2]int
	before, last, now := &rows[0], &rows[1], &rows[2]
	for j := 0; j <= len(b); j++ {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		now[0] = i
		least := i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			now[j] = min(last[j]+1, now[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				now[j] = min(now[j], before[j-2]+1)
			}
			least = min(least, now[j])
		}
		if least > allowed {
			return allowed + 1
		}
		before, last, now = last, now, before
	}
	return last[len(b)]
}
