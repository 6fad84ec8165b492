package phrases

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
	"unicode"
)

//go:embed asking.txt
var askingWords string

// asking are the word sequences of asking.txt by their kind.
var asking = sync.OnceValue(func() map[string][][]string {
	m := map[string][][]string{}
	for line := range strings.Lines(askingWords) {
		if kind, words, ok := strings.Cut(strings.TrimSpace(line), ": "); ok && !strings.HasPrefix(kind, "#") {
			m[kind] = append(m[kind], strings.Fields(words))
		}
	}
	return m
})

// IsQuestion reports whether a text asks something: it ends in a question mark, or a
// sentence of it begins as a question does.
func IsQuestion(text string) bool {
	for _, s := range sentences(text) {
		if strings.HasSuffix(s, "?") || strings.HasPrefix(s, "¿") {
			return true
		}
		words := wordsOf(s)
		if hasPrefix(words, "begin") || contains(words, "anywhere") {
			return true
		}
	}
	return false
}

// AsksToRun reports whether a text speaks of running, starting or stopping the machine.
func AsksToRun(text string) bool {
	return contains(wordsOf(text), "run")
}

// hasPrefix reports whether words begin with a sequence of a kind.
func hasPrefix(words []string, kind string) bool {
	return slices.ContainsFunc(asking()[kind], func(b []string) bool {
		return len(words) >= len(b) && slices.Equal(words[:len(b)], b)
	})
}

// contains reports whether a sequence of a kind stands anywhere in words.
func contains(words []string, kind string) bool {
	for i := range words {
		if hasPrefix(words[i:], kind) {
			return true
		}
	}
	return false
}

// sentences cuts a text behind its stops; a question mark stays with its sentence.
func sentences(text string) []string {
	var out []string
	for rest := strings.TrimSpace(text); rest != ""; {
		end := strings.IndexAny(rest, ".?!\n;")
		if end < 0 {
			end = len(rest) - 1
		}
		if s := strings.TrimSpace(strings.TrimRight(rest[:end+1], ".!;\n")); s != "" {
			out = append(out, s)
		}
		rest = rest[end+1:]
	}
	return out
}

func wordsOf(text string) []string {
	text = strings.NewReplacer("'", "", "’", "").Replace(strings.ToLower(text))
	return strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}
