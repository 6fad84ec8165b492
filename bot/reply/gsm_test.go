package reply

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/refdata/gsm"
)

// Rows of the published alphabet, 16 a line as the standard prints its columns.
// Source: 3GPP TS 23.038, table 6.2.1 (1B is the escape) and 6.2.1.1.
var published = []string{
	"@£$¥èéùìòÇ\nØø\rÅå",
	"Δ_ΦΓΛΩΠΨΣΘΞ\x1bÆæßÉ",
	" !\"#¤%&'()*+,-./",
	"0123456789:;<=>?",
	"¡ABCDEFGHIJKLMNO",
	"PQRSTUVWXYZÄÖÑÜ§",
	"¿abcdefghijklmno",
	"pqrstuvwxyzäöñüà",
}

func TestAlphabetIsThePublishedOne(t *testing.T) {
	for row, line := range published {
		for col, r := range []rune(line) {
			c, ok := gsm.CodeOf(r)
			if r == 0x1b {
				assert.False(t, ok, "the escape is no character")
				continue
			}
			require.True(t, ok, "%q", r)
			assert.Equal(t, gsm.Code{Septet: byte(row*16 + col)}, c, "%q", r)
		}
	}
	extension := map[rune]byte{'\f': 0x0A, '^': 0x14, '{': 0x28, '}': 0x29, '\\': 0x2F, '[': 0x3C, '~': 0x3D, ']': 0x3E, '|': 0x40, '€': 0x65}
	n := 0
	for r := rune(0); r <= 0xFFFF; r++ {
		switch gsm.Width(r) {
		case 2:
			c, _ := gsm.CodeOf(r)
			assert.Equal(t, gsm.Code{Septet: extension[r], Extended: true}, c, "%q", r)
			n += 1000
		case 1:
			n++
		}
	}
	assert.Equal(t, 10*1000+127, n, "10 in the extension, 127 in the basic table")
}

func TestSeptetsAndSegments(t *testing.T) {
	rep := strings.Repeat
	for _, c := range []struct {
		name, text        string
		septets, segments int
	}{
		{"empty", "", 0, 1},
		{"plain", "448a suct 28 line 8", 19, 1},
		{"extension counts two", "[a]", 5, 1},
		{"euro", "€", 2, 1},
		{"in the table", "ΔΩ§à£", 5, 1},
		{"not in it", "40°F", -1, 1},
		{"one full", rep("a", 160), 160, 1},
		{"one over", rep("a", 161), 161, 2},
		{"two full", rep("a", 306), 306, 2},
		{"third begins", rep("a", 307), 307, 3},
		{"three full", rep("a", 459), 459, 3},
		{"fourth begins", rep("a", 460), 460, 4},
		{"two-septet character at the seam moves over", rep("a", 152) + "[" + rep("a", 152), 306, 3},
		{"the same, one letter fewer", rep("a", 152) + "[" + rep("a", 151), 305, 2},
		{"160 of the extension", rep("[", 80), 160, 1},
		{"153 is odd: 76 a part", rep("[", 81), 162, 2},
		{"UCS-2 full", rep("Ж", 70), -1, 1},
		{"UCS-2 over", rep("Ж", 71), -1, 2},
		{"UCS-2 two full", rep("Ж", 134), -1, 2},
		{"UCS-2 third", rep("Ж", 135), -1, 3},
		{"emoji takes two", rep("🧊", 35), -1, 1},
		{"emoji is not halved", rep("🧊", 67), -1, 3},
	} {
		assert.Equal(t, c.septets, Septets(c.text), c.name)
		assert.Equal(t, c.segments, Segments(c.text), c.name)
	}
}

func TestToGSM(t *testing.T) {
	for _, c := range []struct{ in, out string }{
		{"40 °F", "40 F"},
		{"18.4°C", "18.4C"},
		{"28–30 psig — hot", "28-30 psig - hot"},
		{"it’s “low” • go…", `it's "low" - go...`},
		{"a → b", "a -> b"},
		{"±2 × 1½ ≤ 5 µm", "+/-2 x 1-1/2 <= 5 um"},
		{"ê ç ğ Ł ﬁ", "e c g L fi"},
		{"é Ü ñ à", "é Ü ñ à"},
		{"Ω Δ ∆", "Ω Δ Δ"},
		{"⅞ line, 10² m³", "7/8 line, 10^2 m3"},
		{"a\tb\r\nc", "a b\nc"},
		{"−10", "-10"},
		{"5 ㎏", "5 kg"},
		{"hi 🧊", "hi ?"},
		{`Not understood: "Жара"`, `Not understood: "Жара"`},
		{"e\u0301", "é"},
	} {
		assert.Equal(t, c.out, ToGSM(c.in), c.in)
	}
}

func FuzzToGSM(f *testing.F) {
	for _, s := range append(published, "40 °F", `"Жара"`, "½", "\xff", strings.Repeat("€", 100)) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		out := ToGSM(s)
		assert.True(t, utf8.ValidString(out))
		if !strings.ContainsAny(s, "\"“”") {
			assert.GreaterOrEqual(t, Septets(out), 0, "without quotes all of it is GSM: %q", out)
		}
		assert.Equal(t, out, strings.Join(Split(out), ""), "no character is lost at a seam")
		for _, p := range Split(out) {
			assert.True(t, utf8.ValidString(p))
			assert.LessOrEqual(t, Septets(p), 160)
		}
	})
}
