package intake

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// usual is a message of the common length and kind.
const usual = "Freezer 2 at Gannet Pier Seafood. Suct 12, head 220, R404A. Box is at 4 and climbing. Coil iced up solid."

func BenchmarkUsualMessage(b *testing.B) {
	r, err := BuiltIn()
	require.NoError(b, err)
	for b.Loop() {
		r.Read(usual, Context{})
	}
}

// noise is 4 kB of the given piece over and over.
func noise(piece string) string { return strings.Repeat(piece, 4096/len(piece)+1)[:4096] }

func BenchmarkFourKilobytes(b *testing.B) {
	r, err := BuiltIn()
	require.NoError(b, err)
	for name, text := range map[string]string{
		"readings": noise("suct 28 head 210 line 31 liq 92 oil dark rods broken "),
		"words":    noise("xqzvby wrtplk mnbgh qwertyop suctoin dischrge "),
		"numbers":  noise("12 34.5 7/8 1-3/8 230/229/231 "),
		"spoken":   noise("two forty five thirty one hundred and six point two "),
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				r.Read(text, Context{})
			}
		})
	}
}
