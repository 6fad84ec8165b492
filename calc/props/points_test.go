package props

import (
	"os"
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

// What go generate writes is what lies in refdata.
func TestGeneratedSheets(t *testing.T) {
	points, err := Points()
	require.NoError(t, err)
	kept, err := os.ReadFile("../../refdata/refrigerant/curves/points.txt")
	require.NoError(t, err)
	assert.Equal(t, string(kept), points, "run go generate ./refdata/...")
	for i, f := range AllModels() {
		if testing.Short() && i%8 != 0 {
			continue
		}
		text, err := Curves(f.Name, f.Model)
		require.NoError(t, err)
		kept, err := os.ReadFile("../../refdata/refrigerant/curves/" + refrigerant.CurveFile(f.Name, f.Model))
		require.NoError(t, err)
		assert.Equal(t, string(kept), text, "%s %s: run go generate ./refdata/...", f.Name, f.Model)
	}
}
