package rules

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func compiled(t testing.TB, text string) *condition {
	t.Helper()
	c, err := newCompiler().compile(&File{path: "test.yaml", raw: []byte(text)}, Text{Value: text, line: 1, col: 1})
	require.NoError(t, err, text)
	return c
}

// TestMissingIsNotFalse holds single expressions: what is missing leaves unknown
// only what hangs on it.
func TestMissingIsNotFalse(t *testing.T) {
	for _, row := range []struct {
		when string
		want Truth
	}{
		{"subcooling_dF < 5", Unknown},
		{"total_superheat_dF < 5", True},
		{"total_superheat_dF > 5 && subcooling_dF < 5", False}, // false whatever the other
		{"subcooling_dF < 5 && total_superheat_dF > 5", False},
		{"total_superheat_dF < 5 && subcooling_dF < 5", Unknown},
		{"total_superheat_dF < 5 || subcooling_dF < 5", True}, // true whatever the other
		{"subcooling_dF < 5 || total_superheat_dF < 5", True},
		{"total_superheat_dF > 5 || subcooling_dF < 5", Unknown},
		{"!(subcooling_dF < 5)", Unknown},
		{"subcooling_dF - total_superheat_dF < 5", Unknown},
		{"abs(total_superheat_dF - 9) <= 8", True},
		{"refrigerant == \"R290\"", Unknown},
		{"refrigerant in [\"R290\"]", Unknown},
		{"application != \"low\"", True},
		{"application in [\"medium\", \"high\"]", True},
		{"application not in [\"low\"]", True},
		{"oil_acid == false", Unknown},
		{"oil_acid", Unknown},
		{"!grounded", True},
		{"seen.oil_acid", False},
		{"told.dead", False},
		{"isknown.subcooling_dF", False},
		{"isknown.total_superheat_dF && isknown.application && isknown.grounded", True},
		{"1.5 * total_superheat_dK <= 0.84", True}, // one F is 0.556 K
		{"0 < total_superheat_dF < 2", True},
	} {
		e := blank()
		e.set("total_superheat_dF", 1)
		e.set("total_superheat_dK", 1/1.8)
		e.fact("application", "medium")
		e.setTruth("grounded", false)
		require.Equal(t, row.want, compiled(t, row.when).holds(e), row.when)
	}
}

// TestUnknownNeverGuesses: whatever is true or false with names missing is the same
// however they turn out to be.
func TestUnknownNeverGuesses(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	leaves := []string{"grounded", "oil_acid", "oil_dark", "total_superheat_dF < 5", "subcooling_dF > 8", "total_superheat_dF > subcooling_dF"}
	var write func(depth int) string
	write = func(depth int) string {
		if depth == 0 {
			return leaves[rng.IntN(len(leaves))]
		}
		a, b := write(depth-1), write(depth-1)
		return []string{"(" + a + " && " + b + ")", "(" + a + " || " + b + ")", "!(" + a + ")", a}[rng.IntN(4)]
	}
	settled := 0
	for range 300 {
		text := write(3)
		c := compiled(t, text)
		for range 20 {
			e, whole := blank(), blank()
			for _, name := range []string{"grounded", "oil_acid", "oil_dark", "total_superheat_dF", "subcooling_dF"} {
				v := float64(rng.IntN(20))
				known := rng.IntN(2) == 0
				whole.set(name, v)
				whole.setTruth(name, v > 9)
				if known {
					e.set(name, v)
					e.setTruth(name, v > 9)
				}
			}
			if got := c.holds(e); got != Unknown {
				settled++
				require.Equal(t, c.holds(whole), got, text)
			}
			require.NotEqual(t, Unknown, c.holds(whole), text)
		}
	}
	require.Greater(t, settled, 500)
}

// TestNothingWithoutBound: what could loop, grow or keep the checker busy is refused.
func TestNothingWithoutBound(t *testing.T) {
	deep := strings.Repeat("abs(", 11)
	for _, text := range []string{
		"1..1000000000 == 1", "count(1..1000000000, true) > 1", "map([1,2], # * 2) == []", "reduce(1..9999999, #acc + #) > 1",
		"filter([1,2,3], # > 1) == []", "repeat(\"a\", 1000000000) == \"\"", "refrigerant matches \"(a+)+$\"", "let x = 1; x == 1",
		"refrigerant + refrigerant + refrigerant == \"\"", "2 ** 9999999 > 1", "2 ^ 99 > 1", "total_superheat_dF % 2 == 1", "$env == 1", "$env.limits.nothing > 1",
		"toJSON(limits) == \"\"", "fromJSON(\"{}\") == 1", "len(refrigerant) > 1", "limits[refrigerant] > 1", "seen[refrigerant]", "limits?.wet_suction_dF > 1",
		"if true { true } else { false }", "true ? true : false", "{\"a\": 1} == {\"a\": 1}", "[1,2][0] == 1", "total_superheat_dF / subcooling_dF > 1", "total_superheat_dF / 0 > 1", "total_superheat_dF / -0.0 > 1",
		strings.Repeat("(", 500) + "true" + strings.Repeat(")", 500), strings.Repeat("!", 1900) + "true", strings.Repeat("-", 1900) + "1 > 0", strings.Repeat("not ", 400) + "true",
		strings.Repeat("total_superheat_dF < 1 || ", 70) + "true", "true" + strings.Repeat(" && true", 150), deep + "1" + strings.Repeat(")", 11) + " > abs(", fmt.Sprintf("refrigerant == %q", strings.Repeat("x", 3000)),
		"now() > 1", "refrigerant.foo == 1", "limits.wet_suction_dF.x > 1", "true; true", "nil == nil", "seen == seen", "limits == limits", "total_superheat_dF in [1]", "\"a\" in limits", "refrigerant[0:2] == \"R4\"", "total_superheat_dF | abs() > 1 ?? true",
	} {
		_, err := newCompiler().compile(&File{path: "bad.yaml", raw: []byte(text)}, Text{Value: text, line: 1, col: 1})
		require.Error(t, err, "%.80s", text)
		require.Contains(t, err.Error(), "bad.yaml:1:", "%.80s", text)
	}
}
