package intake

import (
	"slices"
	"strconv"
	"strings"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// circumstancePhrases finds the phrases of all circumstances by their first word.
type circumstancePhrases map[string][]circumstancePhrase

type circumstancePhrase struct {
	name   vocab.Circumstance
	denies bool
	across bool // over the end of a sentence as well
	loosePhrase
}

// loosePhrase is a row of words that stand in this order in one sentence; each
// word has alternatives.
type loosePhrase [][]string

func compileCircumstances(all []lexicon.Circumstance) circumstancePhrases {
	out := circumstancePhrases{}
	for _, c := range all {
		out.add(c.Says, circumstancePhrase{name: c.Name})
		out.add(c.Across, circumstancePhrase{name: c.Name, across: true})
		out.add(c.Denied, circumstancePhrase{name: c.Name, denies: true})
	}
	return out
}

func (c circumstancePhrases) add(texts []string, as circumstancePhrase) {
	for _, text := range texts {
		var p loosePhrase
		for alternatives := range strings.FieldsSeq(text) {
			p = append(p, strings.Split(alternatives, "|"))
		}
		if len(p) == 0 {
			continue
		}
		as.loosePhrase = p
		for _, first := range p[0] {
			c[first] = append(c[first], as)
		}
	}
}

// hear finds what the message tells besides readings, facts and findings. A
// phrase that denies a circumstance outweighs those that say it.
//
// What the sender means to do is told by saying so, or by asking leave ("ok to braze
// it?", "how do i pump it down"); a question about the machine ("does it need gas?")
// announces nothing.
func (r *Reader) hear(p *parse) map[vocab.Circumstance]bool {
	heard := map[vocab.Circumstance]bool{}
	words := spoken(p)
	note := func(first string, i int) {
		for _, c := range r.said[first] {
			if yes, told := heard[c.name]; told && !(yes && c.denies) {
				continue
			}
			if c.name.Announces() && p.onlyAsks(words[i].at) {
				continue
			}
			if c.begins(words, i, r.words.Reaches.Gap, c.across) {
				heard[c.name] = !c.denies
			}
		}
	}
	for i, w := range words {
		note(w.text, i)
		if w.word != w.text {
			note(w.word, i)
		}
	}
	r.hearDrier(words, heard)
	r.hearAcross(words, heard)
	return heard
}

// onlyAsks: the sentence of token i asks, and asks no leave to do anything.
func (p *parse) onlyAsks(i int) bool {
	if !p.wonders && !p.says("?") {
		return false
	}
	lo, hi := p.sentenceAround(i)
	asks := false
	for k := lo; k < hi; k++ {
		if _, leave := p.listed("asking_leave", k); leave {
			return false
		}
		_, first := p.listed("asking_first", k)
		asks = asks || p.is(k, "?") || first && p.beginsPart(k) && p.isOne("asked_subjects", k+1) || k == lo && p.isOne("asking", k)
	}
	return asks
}

// spokenWord is a word with the sentence it stands in, as typed and with its
// spelling put right.
type spokenWord struct {
	text, word string
	sentence   int
	at         int // its token
}

func spoken(p *parse) []spokenWord {
	out := p.room.words[:0]
	for i := range p.t {
		t := &p.t[i]
		switch {
		case p.inSite(i):
			out = append(out, spokenWord{sentence: p.sentence[i], at: i})
		case t.Kind == lex.Word:
			out = append(out, spokenWord{t.Plain, t.Word, p.sentence[i], i})
		case t.Kind == lex.Number:
			out = append(out, spokenWord{t.Text, t.Text, p.sentence[i], i})
		}
	}
	p.room.words = out
	return out
}

func (l loosePhrase) begins(words []spokenWord, i, gap int, across bool) bool {
	if len(l) == 0 || !isOneOf(words[i], l[0]) || i > 0 && words[i-1].sentence == words[i].sentence && denies(words[i-1].text) {
		return false
	}
	at := i
	for _, alternatives := range l[1:] {
		next := -1
		for k := at + 1; k < len(words) && k <= at+1+gap && (across || words[k].sentence == words[i].sentence); k++ {
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
	case "no", "not", "isnt", "arent", "never", "without", "wasnt", "dont", "don't", "sin":
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

// hearDrier tells a drier that is cold behind from one that is not.
func (r *Reader) hearDrier(words []spokenWord, heard map[vocab.Circumstance]bool) {
	size := &r.words.Sizes
	for i, w := range words {
		if w.word != "drier" && w.text != "drier" && w.text != "dryer" {
			continue
		}
		in, okIn := r.numberBeside(words, i, "in", "inlet", "entering")
		out, okOut := r.numberBeside(words, i, "out", "outlet", "leaving", "after")
		if okIn && okOut && in < size.HottestDrier && out < size.HottestDrier {
			heard[vocab.DrierCold] = in-out > size.DrierDrop
		}
	}
}

// hearAcross tells a drier by the liquid ahead of it, at the receiver or condenser, and
// behind it: "after drier 63, at receiver 78".
func (r *Reader) hearAcross(words []spokenWord, heard map[vocab.Circumstance]bool) {
	ahead, behind, okAhead, okBehind := 0.0, 0.0, false, false
	for i, w := range words {
		switch w.text {
		case "drier", "dryer":
			if i > 0 && (words[i-1].text == "after" || words[i-1].text == "past" || words[i-1].text == "behind" || words[i-1].text == "leaving") {
				behind, okBehind = numberNext(words, i)
			} else if i > 0 && (words[i-1].text == "before" || words[i-1].text == "into" || words[i-1].text == "entering") {
				ahead, okAhead = numberNext(words, i)
			}
		case "receiver", "rcvr":
			if !okAhead {
				ahead, okAhead = numberNext(words, i)
			}
		}
	}
	if okAhead && okBehind && ahead < r.words.Sizes.HottestDrier && behind < r.words.Sizes.HottestDrier {
		heard[vocab.DrierCold] = ahead-behind > r.words.Sizes.DrierDrop
	}
}

// numberNext is the number right behind a word, an "is" or "at" between them aside.
func numberNext(words []spokenWord, i int) (float64, bool) {
	for k := i + 1; k < len(words) && k <= i+2 && words[k].sentence == words[i].sentence; k++ {
		if v, err := strconv.ParseFloat(words[k].text, 64); err == nil {
			return v, true
		}
		if words[k].text != "is" && words[k].text != "at" && words[k].text != "was" {
			break
		}
	}
	return 0, false
}

// numberBeside finds the number right behind one of the names in the words after
// i, or right before it: "in 95", "95 in".
func (r *Reader) numberBeside(words []spokenWord, i int, names ...string) (float64, bool) {
	numberAt := func(k int) (float64, bool) {
		if k <= i || k >= len(words) || words[k].sentence != words[i].sentence {
			return 0, false
		}
		v, err := strconv.ParseFloat(words[k].text, 64)
		return v, err == nil
	}
	for k := i + 1; k < len(words) && k <= i+r.words.Reaches.Drier && words[k].sentence == words[i].sentence; k++ {
		if !slices.Contains(names, words[k].text) {
			continue
		}
		if _, first := numberAt(i + 1); first {
			return numberAt(k - 1)
		}
		return numberAt(k + 1)
	}
	return 0, false
}
