package casenumber_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/casenumber"
)

func TestNumbersOfTheDesign(t *testing.T) {
	for n, want := range map[casenumber.Number]string{ // source: conversation.md, interfaces.md; Damm 2004 for 572
		1042: "1042-9", 1: "1-3", 572: "572-4",
	} {
		assert.Equal(t, want, n.String())
	}
}

func TestEveryWayOfTyping(t *testing.T) {
	for _, typed := range []string{"1042-9", "10429", "1042 9", " 1042-9 "} {
		n, err := casenumber.Parse(typed)
		require.NoError(t, err, typed)
		assert.Equal(t, casenumber.Number(1042), n)
	}
}

func TestWhatIsNoNumber(t *testing.T) {
	for _, typed := range []string{"", "9", "abc", "10a2-9", "-", "0-0", "1234567890123456789"} {
		_, err := casenumber.Parse(typed)
		require.Error(t, err, typed)
	}
}

// Every wrong digit and every swap of neighbours is caught, not most of them.
func TestCheckDigitCatchesEverySlip(t *testing.T) {
	for n := casenumber.Number(1); n < 3000; n++ {
		right := n.String()
		back, err := casenumber.Parse(right)
		require.NoError(t, err)
		require.Equal(t, n, back)
		digits := []byte(fmt.Sprintf("%d%c", n, right[len(right)-1]))
		for i, was := range digits {
			for d := byte('0'); d <= '9'; d++ {
				if digits[i] = d; d != was && digits[0] != '0' {
					_, err := casenumber.Parse(string(digits))
					require.ErrorIs(t, err, casenumber.ErrCheck, string(digits))
				}
			}
			digits[i] = was
		}
		for i := 1; i < len(digits); i++ {
			digits[i], digits[i-1] = digits[i-1], digits[i]
			if digits[i] != digits[i-1] && digits[0] != '0' {
				_, err := casenumber.Parse(string(digits))
				require.ErrorIs(t, err, casenumber.ErrCheck, string(digits))
			}
			digits[i], digits[i-1] = digits[i-1], digits[i]
		}
	}
}
