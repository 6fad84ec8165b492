package props

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/refdata/refrigerant"
)

// The estimate for blends against the critical points of E.W. Lemmon, Int. J.
// Thermophys. 24 (2003) 991, the pseudo-pure equations of the same blends.
func TestCritical(t *testing.T) {
	for _, name := range []string{"R404A", "R407C", "R410A", "R507A"} {
		published, err := LookupModel(name, ModelPseudo)
		require.NoError(t, err)
		f, err := Lookup(name)
		require.NoError(t, err)
		wantT, wantP := published.Critical()
		gotT, gotP := f.Critical()
		assert.InDelta(t, float64(wantT), float64(gotT), 1.5, "%s, K", name)
		assert.InEpsilon(t, float64(wantP), float64(gotP), 0.02, "%s, Pa", name)
	}
}

// What go generate writes is what lies in refdata, but for the last digits, which
// are the rounding of the machine.
func TestGeneratedSheets(t *testing.T) {
	points, err := Points()
	require.NoError(t, err)
	sameSheet(t, "points.txt", points)
	for i, f := range AllModels() {
		if testing.Short() && i%8 != 0 {
			continue
		}
		text, err := Curves(f.Name, f.Model)
		require.NoError(t, err)
		sameSheet(t, refrigerant.CurveFile(f.Name, f.Model), text)
	}
}

func sameSheet(t *testing.T, file, made string) {
	t.Helper()
	const tol = 1e-6 // K, or ln p
	kept, err := os.ReadFile("../../refdata/refrigerant/curves/" + file)
	require.NoError(t, err)
	want, got := strings.Fields(string(kept)), strings.Fields(made)
	require.Len(t, got, len(want), "%s: run go generate ./refdata/...", file)
	for i := range want {
		a, errA := strconv.ParseFloat(want[i], 64)
		b, errB := strconv.ParseFloat(got[i], 64)
		if errA != nil || errB != nil {
			require.Equal(t, want[i], got[i], "%s: run go generate ./refdata/...", file)
			continue
		}
		require.InDelta(t, a, b, tol*max(1, math.Abs(a)), "%s: run go generate ./refdata/...", file)
	}
}

// Every blend that rests on a pair without fitted parameters says so, and by how
// much; no other does.
func TestDoubts(t *testing.T) {
	blends, err := refrigerant.OpenBlends()
	require.NoError(t, err)
	for _, section := range blends.Sections("blend.") {
		f, err := Lookup(strings.TrimPrefix(section, "blend."))
		require.NoError(t, err)
		b, d := f.ExpectedError()
		if blends.Text(section, "pair_quality") == "all-fitted" {
			assert.Empty(t, f.Doubt(), section)
			assert.Zero(t, d, section)
			continue
		}
		assert.NotEmpty(t, f.Doubt(), section)
		named := math.Round(d.Percent())
		if named == 0 {
			named = d.Percent()
		}
		assert.Contains(t, f.Doubt(), fmt.Sprintf("%g %%", named), "%s: the sentence names the error", section)
		assert.LessOrEqual(t, len(f.Doubt()), 140, "%s: a doubt fits one text", section)
		assert.True(t, d > 0 && b > 0 && d < 0.1, section)
	}
}
