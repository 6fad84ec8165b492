package intake

import (
	"strings"

	"coldcase/refdata/lexicon"
)

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
