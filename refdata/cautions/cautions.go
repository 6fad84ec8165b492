// Package cautions is the catalogue of warnings about people: each with its
// severity, its words (at most 140 characters that every phone can show) and its
// source.
package cautions

import (
	_ "embed"
	"encoding/csv"
	"strings"
	"sync"
)

//go:embed cautions.csv
var catalogue string

// Caution is one warning.
type Caution struct {
	ID, Severity, Text, Source string
	FromMemory                 bool
	Topics                     []string // codes it is reported under; its id where the table names none
}

// All gives the catalogue by id.
func All() map[string]Caution { return all() }

var all = sync.OnceValue(func() map[string]Caution {
	out := map[string]Caution{}
	rows, err := csv.NewReader(strings.NewReader(catalogue)).ReadAll()
	if err != nil {
		return out // a test holds that the embedded table is well formed
	}
	for _, r := range rows[1:] {
		topics := strings.Fields(r[7])
		if len(topics) == 0 {
			topics = []string{r[0]}
		}
		out[r[0]] = Caution{ID: r[0], Severity: r[1], Text: r[3], Source: r[5], FromMemory: r[6] == "yes", Topics: topics}
	}
	return out
})
