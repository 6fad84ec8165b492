// Package carrier holds what phone carriers and the SMS provider act on: words
// that opt a number out or in, and error codes with what to do about them.
package carrier

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
)

//go:embed codes.csv
var codesCSV string

//go:embed words.csv
var wordsCSV string

// Do is what to do about an error code.
type Do string

// What can be done.
const (
	Later       Do = "later"       // try again, growing apart
	Dead        Do = "dead"        // give up: wrong number or landline
	Silent      Do = "silent"      // give up and send nothing until START
	Unreachable Do = "unreachable" // again after 1, 5 and 30 minutes, then dead
	Alarm       Do = "alarm"       // give up; a lead must act
	Stop        Do = "stop"        // stop sending at all: wrong credentials
	Bug         Do = "bug"         // give up; ours to mend
)

// Code is one error code.
type Code struct {
	Number int
	Do     Do
	Why    string
}

// Act is what a carrier does on a word.
type Act string

// What carriers do.
const (
	ActNone  Act = ""
	ActStop  Act = "stop"
	ActStart Act = "start"
	ActHelp  Act = "help"
)

var (
	codes = mustCodes(codesCSV)
	words = mustWords(wordsCSV)
)

// CodeOf is what is known of an error code.
func CodeOf(n int) (Code, bool) {
	c, ok := codes[n]
	return c, ok
}

// ActOn tells what the carriers do on a message: only a word alone counts, in any
// letter case.
func ActOn(text string) Act {
	return words[strings.ToUpper(strings.TrimSpace(text))]
}

func rows(text string, fields int) [][]string {
	var all [][]string
	for i, line := range strings.Split(strings.TrimSpace(text), "\n") {
		if strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.SplitN(line, ",", fields)
		if len(f) != fields {
			panic(fmt.Sprintf("carrier data, line %d: %d fields, want %d", i+1, len(f), fields))
		}
		all = append(all, f)
	}
	return all
}

func mustCodes(text string) map[int]Code {
	known := map[Do]bool{Later: true, Dead: true, Silent: true, Unreachable: true, Alarm: true, Stop: true, Bug: true}
	m := map[int]Code{}
	for _, f := range rows(text, 3) {
		n, err := strconv.Atoi(f[0])
		if err != nil || !known[Do(f[1])] {
			panic("carrier data: code " + f[0] + " " + f[1])
		}
		m[n] = Code{Number: n, Do: Do(f[1]), Why: f[2]}
	}
	return m
}

func mustWords(text string) map[string]Act {
	m := map[string]Act{}
	for _, f := range rows(text, 2) {
		m[f[0]] = Act(f[1])
	}
	return m
}
