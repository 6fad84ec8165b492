package lex

// Scope judges whether a phrase found in a text is denied or doubted there.
type Scope struct {
	Deny, DenyAfter, Turn, Doubt map[string]bool
	DoubtPhrases                 *Phrases
}

// Reach of a denial or doubt, in words: "no sign of any metal" is a denial.
const (
	denyBefore = 6
	denyAfter  = 2
)

// Judge sets Negated and Hedged of a match from the words around it in its clause.
func (s *Scope) Judge(tokens []Token, m *Match) {
	m.Negated = s.denied(tokens, m)
	m.Hedged = s.doubted(tokens, m.From, m.To)
}

// JudgeDenied is Judge where the text holds no word of doubt.
func (s *Scope) JudgeDenied(tokens []Token, m *Match) {
	m.Negated, m.Hedged = s.denied(tokens, m), false
}

// denied: a denial in front of the phrase, inside it, or right behind it.
// A denial that is a word of the pattern turns nothing: the phrase means what it says.
func (s *Scope) denied(tokens []Token, m *Match) bool {
	from, to := m.From, m.To
	for i := from; i < to; i++ {
		if s.Deny[tokens[i].Word] {
			m.DeniedAt = i
			return m.Said&(1<<(i-from)) == 0
		}
	}
	for i := from - 1; i >= 0 && i >= from-denyBefore; i-- {
		t := &tokens[i]
		if EndsClause(t) || t.Kind == Mark && t.Plain == "/" && !t.Glued || s.Turn[t.Word] {
			break
		}
		if s.Deny[t.Word] {
			m.DeniedAt = i
			return true
		}
	}
	m.DeniedAt = from
	return s.deniedAfter(tokens, to)
}

func (s *Scope) deniedAfter(tokens []Token, to int) bool {
	for i := to; i < len(tokens) && i < to+denyAfter; i++ {
		t := &tokens[i]
		if t.Kind == Mark && t.Plain != ":" && t.Plain != "-" && t.Plain != "=" {
			return false
		}
		if s.DenyAfter[t.Word] || s.DenyAfter[t.Plain] {
			// "oil dark no metal": the no belongs to what follows it
			return i+1 >= len(tokens) || tokens[i+1].Kind == Mark || t.Word != "no"
		}
	}
	return false
}

// doubted: a word of doubt in the same clause, before or after.
func (s *Scope) doubted(tokens []Token, from, to int) bool {
	lo, hi := Clause(tokens, from, to)
	for i := lo; i < hi; i++ {
		if i >= from && i < to {
			continue
		}
		if s.Doubt[tokens[i].Word] || s.Doubt[tokens[i].Plain] {
			return true
		}
		if s.DoubtPhrases != nil {
			if s.DoubtPhrases.At(tokens, i).To > i {
				return true
			}
		}
	}
	return false
}

// farOff bounds a clause in tokens: words farther off have no bearing.
const farOff = 40

// Clause is the stretch of tokens around a phrase up to the marks that end it.
func Clause(tokens []Token, from, to int) (lo, hi int) {
	lo, hi = from, to
	for lo > 0 && lo > from-farOff && !EndsClause(&tokens[lo-1]) {
		lo--
	}
	for hi < len(tokens) && hi < to+farOff && !EndsClause(&tokens[hi]) {
		hi++
	}
	return lo, hi
}

// EndsSentence reports whether a token is a mark that ends a sentence.
func EndsSentence(t *Token) bool {
	return t.Kind == Mark && (t.Plain == "." || t.Plain == ";" || t.Plain == "!" || t.Plain == "?")
}

// EndsClause reports whether a token is a mark that ends a clause.
func EndsClause(t *Token) bool {
	if t.Kind != Mark {
		return false
	}
	switch t.Plain {
	case ".", ";", "!", "?", ",", "(", ")":
		return true
	}
	return false
}
