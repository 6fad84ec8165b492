package lexicon

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestEmbeddedWordsAreRight(t *testing.T) {
	l, err := Load()
	require.NoError(t, err)
	require.NotEmpty(t, l.Readings)
	require.NotEmpty(t, l.Circumstances)
}

func TestEveryMistakeIsToldWithItsPlace(t *testing.T) {
	l, err := Load()
	require.NoError(t, err)
	words := len(l.Words)
	err = l.Add("ours.yaml", []byte("words:\n  suction: [\"two words\", disch]\nreadings:\n  - {say: [foo], is: [suction_pressur]}\n  - {sy: [foo]}\nnothing: []\n"))
	require.Error(t, err)
	for _, want := range []string{
		`ours.yaml:2:13: "two words" is more than one word`,
		`ours.yaml:2:26: "disch" already stands for "discharge"`,
		`ours.yaml:4:5: unknown reading "suction_pressur": use a key of readings.md, perhaps suction_pressure`,
		`ours.yaml:5:6: unknown field "sy"`,
		`ours.yaml:6:1: unknown section "nothing"`,
	} {
		require.ErrorContains(t, err, want)
	}
	require.Len(t, l.Words, words, "a file with mistakes changes nothing")
}

func TestScalesAreCheckedWhenTheyAreRead(t *testing.T) {
	l, err := Load()
	require.NoError(t, err)
	for text, want := range map[string]string{
		"sizes: {least_lin_V: 90}":  "field least_lin_V not found",
		"sizes: {least_line_V: -1}": "least_line_V is missing: give it a number above 0",
		"weights: {comma: 2.55}":    "2.55 is no whole number of tenths",
		"reaches: {name: none}":     "cannot unmarshal",
	} {
		require.ErrorContains(t, l.Add("ours.yaml", []byte(text)), want)
	}
	require.NoError(t, l.Add("ours.yaml", []byte("sizes: {least_line_V: 90}")))
	require.Equal(t, 90.0, l.Sizes.LeastLineVolts)
	require.Equal(t, 1000.0, l.Sizes.LeastLoad, "what is not given stays")
}

func TestOwnWordsAreAdded(t *testing.T) {
	l, err := Load()
	require.NoError(t, err)
	require.NoError(t, l.Add("ours.yaml", []byte("words:\n  suction: [chupada]\n")))
	require.Equal(t, "suction", l.Variants()["chupada"])
}
