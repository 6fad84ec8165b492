// Package phrases holds how a person of the trade says each key of the
// vocabulary and each computed number, and how it is asked for.
package phrases

import (
	_ "embed"
	"encoding/csv"
	"strings"
	"sync"
)

//go:embed phrases.csv
var table string

type phrase struct{ label, ask string }

var phrases = sync.OnceValue(func() map[string]phrase {
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		return nil // a test holds that the embedded table is well formed
	}
	m := make(map[string]phrase, len(rows))
	for _, r := range rows[1:] {
		m[r[0]] = phrase{r[1], r[2]}
	}
	return m
})

// Label says a key in a word or two; a key the table lacks is said by its own words.
func Label(key string) string {
	if p, ok := phrases()[key]; ok {
		return p.label
	}
	return strings.ReplaceAll(key, "_", " ")
}

// Ask is the question that gets the key, "" when the table has none.
func Ask(key string) string { return phrases()[key].ask }
