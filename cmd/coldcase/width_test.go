package main

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

func TestFolded(t *testing.T) {
	for _, c := range []struct {
		text, want string
		width      int
	}{
		{"> What is the suction line temp at the compressor?", "> What is the suction\n  line temp at the\n  compressor?", 22},
		{"  superheat at the compressor 18.6 °F", "  superheat at the\n    compressor 18.6 °F", 22},
		{"exactly ten\n", "exactly ten\n", 11},
		{"°°°° °°°°", "°°°°\n  °°°°", 6},
		{"averyverylongword", "averyverylongword", 10},
		{"left as it is, however long", "left as it is, however long", 0},
	} {
		require.Equal(t, c.want, folded(c.text, c.width))
	}
}

// FuzzFolded holds that folding loses and adds nothing but line breaks and indents.
func FuzzFolded(f *testing.F) {
	f.Add("! DANGER: Lock out and tag every feed.\n  ratio 9.2 °F", 12)
	f.Fuzz(func(t *testing.T, text string, width int) {
		if !utf8.ValidString(text) {
			return
		}
		require.Equal(t, strings.Fields(text), strings.Fields(folded(text, width)))
	})
}
