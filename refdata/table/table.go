// Package table reads the embedded CSV tables of refdata strictly: a column that
// is missing or a field that is no number is an error, never a zero.
package table

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Row is one line of a table by the names of its columns.
type Row struct {
	line    int
	columns []string
	fields  []string
}

// BadTableError says where a table is not as it should be.
type BadTableError struct {
	Line            int
	Column, Problem string
}

func (e *BadTableError) Error() string {
	return fmt.Sprintf("line %d, column %s: %s", e.Line, e.Column, e.Problem)
}

// Read parses a table whose header must have the needed columns.
func Read(text string, needed ...string) ([]Row, error) {
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, &BadTableError{Line: 1, Problem: "no header"}
	}
	for _, c := range needed {
		if !slices.Contains(all[0], c) {
			return nil, &BadTableError{Line: 1, Column: c, Problem: "missing"}
		}
	}
	var out []Row
	for i, fields := range all[1:] {
		out = append(out, Row{line: i + 2, columns: all[0], fields: fields})
	}
	return out, nil
}

// Text is a field as it stands; a column that is not there is empty.
func (r Row) Text(column string) string {
	if i := slices.Index(r.columns, column); i >= 0 {
		return r.fields[i]
	}
	return ""
}

// Number is a field as a number.
func (r Row) Number(column string) (float64, error) {
	v, err := strconv.ParseFloat(r.Text(column), 64)
	if err != nil {
		return 0, &BadTableError{Line: r.line, Column: column, Problem: "no number: " + r.Text(column)}
	}
	return v, nil
}
