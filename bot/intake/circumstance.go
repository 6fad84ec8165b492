package intake

import (
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// circumstancePhrases are the phrases of one circumstance, cut into words with
// their alternatives.
type circumstancePhrases struct {
	name         vocab.Circumstance
	says, denied []loosePhrase
}

// loosePhrase is a row of words that stand in this order in one sentence; each
// word has alternatives.
type loosePhrase [][]string

// looseGap is how many other words may stand between two words of a phrase.
const looseGap = 4

func compileCircumstances(all []lexicon.Circumstance) []circumstancePhrases {
	var out []circumstancePhrases
	for _, c := range all {
		out = append(out, circumstancePhrases{name: c.Name, says: compilePhrases(c.Says), denied: compilePhrases(c.Denied)})
	}
	return out
}

func compilePhrases(texts []string) []loosePhrase {
	var out []loosePhrase
	for _, text := range texts {
		var p loosePhrase
		for _, alternatives := range strings.Fields(text) {
			p = append(p, strings.Split(alternatives, "|"))
		}
		out = append(out, p)
	}
	return out
}

// hear finds what the message tells besides readings, facts and findings.
func (r *Reader) hear(p *parse) map[vocab.Circumstance]bool {
	heard := map[vocab.Circumstance]bool{}
	words := spoken(p)
	for _, c := range r.said {
		if anySaid(c.denied, words) {
			heard[c.name] = false
			continue
		}
		if anySaid(c.says, words) {
			heard[c.name] = true
		}
	}
	return heard
}

// spokenWord is a word with the sentence it stands in; fractions are put
// together as they are typed.
type spokenWord struct {
	text     string
	sentence int
}

func spoken(p *parse) []spokenWord {
	var out []spokenWord
	for i := 0; i < len(p.t); i++ {
		t := p.t[i]
		if t.Kind == lex.Number && i+2 < len(p.t) && p.t[i+1].Text == "/" && p.t[i+2].Kind == lex.Number {
			out = append(out, spokenWord{t.Text + "/" + p.t[i+2].Text, p.sentence[i]})
			i += 2
			continue
		}
		if t.Kind != lex.Mark {
			out = append(out, spokenWord{t.Text, p.sentence[i]})
		}
	}
	return out
}

func anySaid(phrases []loosePhrase, words []spokenWord) bool {
	for _, p := range phrases {
		for i := range words {
			if p.begins(words, i) {
				return true
			}
		}
	}
	return false
}

func (l loosePhrase) begins(words []spokenWord, i int) bool {
	if len(l) == 0 || !isOneOf(words[i].text, l[0]) || i > 0 && words[i-1].sentence == words[i].sentence && denies(words[i-1].text) {
		return false
	}
	at := i
	for _, alternatives := range l[1:] {
		next := -1
		for k := at + 1; k < len(words) && k <= at+1+looseGap && words[k].sentence == words[i].sentence; k++ {
			if isOneOf(words[k].text, alternatives) {
				next = k
				break
			}
			if denies(words[k].text) {
				break // "condenser not dirty" is no dirty condenser
			}
		}
		if next < 0 {
			return false
		}
		at = next
	}
	return true
}

// denies reports a word that turns what follows around.
func denies(w string) bool {
	switch w {
	case "no", "not", "isnt", "isn't", "arent", "aren't", "never", "without", "wasnt", "wasn't", "sin":
		return true
	}
	return false
}

func isOneOf(w string, alternatives []string) bool {
	for _, a := range alternatives {
		if w == a {
			return true
		}
	}
	return false
}
