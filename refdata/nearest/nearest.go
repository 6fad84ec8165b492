// Package nearest finds the known name that a mistyped one was meant to be.
package nearest

import "strings"

// To is the name that differs from what was typed by the fewest letters, letter
// case aside; "" when none is within that many. The first of equals wins.
func To(typed string, names []string, within int) string {
	best, least := "", within+1
	for _, known := range names {
		if d := distance(strings.ToUpper(typed), strings.ToUpper(known)); d < least {
			best, least = known, d
		}
	}
	return best
}

// distance is Levenshtein's, in bytes.
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
