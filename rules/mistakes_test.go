package rules

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite the golden complaints; read them before committing")

// TestMistakes loads each bad file and holds what it is told against the golden
// complaint beside it: place, what is wrong, what to do.
func TestMistakes(t *testing.T) {
	files, err := filepath.Glob("testdata/bad/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		raw, err := os.ReadFile(file)
		require.NoError(t, err)
		_, err = WithExtra(fstest.MapFS{filepath.Base(file): {Data: raw}})
		require.Error(t, err, file)
		golden := strings.TrimSuffix(file, ".yaml") + ".txt"
		if *update {
			require.NoError(t, os.WriteFile(golden, []byte(err.Error()+"\n"), 0o600))
		}
		want, readErr := os.ReadFile(golden)
		require.NoError(t, readErr)
		require.Equal(t, string(want), err.Error()+"\n", file)
		require.Contains(t, err.Error(), filepath.Base(file)+":", "a place")
	}
}

// FuzzLoad loads anything: it loads or complains with a place, and never panics.
func FuzzLoad(f *testing.F) {
	f.Add("rules: []")
	f.Add(floor)
	f.Add("a: &a [*a, *a]")
	f.Add("rules: [{when: \"((((((((((((((((1))))))))))))))))\"}]")
	f.Fuzz(func(t *testing.T, text string) {
		file, mistakes := readFile("fuzz.yaml", []byte(text))
		for _, m := range mistakes {
			require.Contains(t, m.Error(), "fuzz.yaml:")
		}
		if file != nil {
			s := &Set{topics: map[string]string{}}
			s.add(file, newCompiler(), 0)
		}
	})
}
