package refrigerant

import "strings"

// Nearest is the known name that differs least from a mistyped one, "" when
// none is within two letters.
func Nearest(name string) string {
	best, least := "", 3
	for _, known := range Names() {
		if d := distance(strings.ToUpper(name), strings.ToUpper(known)); d < least {
			best, least = known, d
		}
	}
	return best
}

// distance is Levenshtein's.
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
