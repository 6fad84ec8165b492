package intake

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A misspelt name of a list or set would be a list of nothing: each that the code asks for
// is in the lexicon, and each set of the lexicon is asked for.
func TestEveryListAskedForIsInTheLexicon(t *testing.T) {
	r, err := BuiltIn()
	require.NoError(t, err)
	asks := regexp.MustCompile(`\b(?:isOne|saysOne|listed|listedBefore|anyOf|anyListed|heard)\("(\w+)"`)
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	asked := map[string]bool{}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, m := range asks.FindAllStringSubmatch(string(text), -1) {
			asked[m[1]] = true
			require.NotEmpty(t, append(slices.Clone(r.words.Lists[m[1]]), r.words.Sets[m[1]]...), "%s asks for %s", file, m[1])
		}
	}
	for name := range r.words.Sets {
		require.True(t, asked[name], "nothing asks for the set %s", name)
	}
}
