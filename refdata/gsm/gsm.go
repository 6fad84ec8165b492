// Package gsm holds the 7-bit alphabet of text messages, its extension, and the
// stand-ins for characters that it lacks.
package gsm

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

//go:embed alphabet.csv
var alphabetCSV string

//go:embed standin.csv
var standInCSV string

// Code is the place of a character: its septet, or the one after the escape.
type Code struct {
	Septet   byte
	Extended bool
}

var (
	alphabet = mustAlphabet(alphabetCSV)
	standIns = mustStandIns(standInCSV)
)

// Width is the septets that a character takes, 0 when it is in neither table.
func Width(r rune) int {
	c, ok := alphabet[r]
	switch {
	case !ok:
		return 0
	case c.Extended:
		return 2
	}
	return 1
}

// CodeOf is the place of a character in the tables.
func CodeOf(r rune) (Code, bool) {
	c, ok := alphabet[r]
	return c, ok
}

// StandIn is what is written for a character that the tables lack.
func StandIn(r rune) (string, bool) {
	s, ok := standIns[r]
	return s, ok
}

// rows of our two small files: fields apart by a comma, # starts a remark.
func rows(text string, fields int) [][]string {
	var all [][]string
	for i, line := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.Split(line, ",")
		if len(f) != fields {
			panic(fmt.Sprintf("gsm data, line %d: %d fields, want %d", i+1, len(f), fields))
		}
		all = append(all, f)
	}
	return all
}

func mustRune(hex string) rune {
	n, err := strconv.ParseUint(hex, 16, 21)
	if err != nil || !utf8.ValidRune(rune(n)) {
		panic("gsm data: no character " + hex)
	}
	return rune(n)
}

func mustAlphabet(text string) map[rune]Code {
	m := map[rune]Code{}
	for _, f := range rows(text, 3) {
		n, err := strconv.ParseUint(f[1], 16, 7)
		if err != nil {
			panic("gsm data: no septet " + f[1])
		}
		m[mustRune(f[2])] = Code{Septet: byte(n), Extended: f[0] == "extension"}
	}
	return m
}

func mustStandIns(text string) map[rune]string {
	m := map[rune]string{}
	for _, f := range rows(text, 2) {
		w := f[1]
		for _, r := range w {
			if Width(r) == 0 {
				panic("gsm data: the stand-in for " + f[0] + " is not in the alphabet")
			}
		}
		m[mustRune(f[0])] = w
	}
	return m
}
