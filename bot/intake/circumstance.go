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

// spokenWord is a word with the sentence it stands in, as typed and with its
// spelling put right.
type spokenWord struct {
	text, word string
	sentence   int
}

func spoken(p *parse) []spokenWord {
	out := make([]spokenWord, 0, len(p.t))
	for i, t := range p.t {
		switch t.Kind {
		case lex.Word:
			out = append(out, spokenWord{t.Plain, t.Word, p.sentence[i]})
		case lex.Number:
			out = append(out, spokenWord{t.Text, t.Text, p.sentence[i]})
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
	if len(l) == 0 || !isOneOf(words[i], l[0]) || i > 0 && words[i-1].sentence == words[i].sentence && denies(words[i-1].text) {
		return false
	}
	at := i
	for _, alternatives := range l[1:] {
		next := -1
		for k := at + 1; k < len(words) && k <= at+1+looseGap && words[k].sentence == words[i].sentence; k++ {
			if isOneOf(words[k], alternatives) {
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
	case "no", "not", "isnt", "arent", "never", "without", "wasnt", "sin":
		return true
	}
	return false
}

func isOneOf(w spokenWord, alternatives []string) bool {
	for _, a := range alternatives {
		if w.text == a || w.word == a {
			return true
		}
	}
	return false
}
