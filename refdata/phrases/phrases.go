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

//go:embed causes.csv
var causeTable string

type phrase struct{ label, ask string }

var phrases = sync.OnceValue(func() map[string]phrase {
	m := map[string]phrase{}
	for _, r := range rowsOf(table) {
		m[r[0]] = phrase{r[1], r[2]}
	}
	return m
})

var causeWords = sync.OnceValue(func() map[string][]string {
	m := map[string][]string{}
	for _, r := range rowsOf(causeTable) {
		m[r[0]] = strings.Fields(r[1])
	}
	return m
})

// rowsOf are the rows of an embedded table without its head.
func rowsOf(table string) [][]string {
	r := csv.NewReader(strings.NewReader(table))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) == 0 {
		return nil // a test holds that the embedded tables are well formed
	}
	return rows[1:]
}

// Label says a key in a word or two; a key the table lacks is said by its own words.
func Label(key string) string {
	if p, ok := phrases()[key]; ok {
		return p.label
	}
	return strings.ReplaceAll(key, "_", " ")
}

// Ask is the question that gets the key, "" when the table has none.
func Ask(key string) string { return phrases()[key].ask }

// CauseWords are the words by which people of the trade call a cause, beside its title.
func CauseWords(cause string) []string { return causeWords()[cause] }
