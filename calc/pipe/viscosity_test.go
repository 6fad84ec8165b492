package pipe

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/calc/props"
	"coldcase/refdata/units"
)

// Corresponding states against the correlations, in suction gas.
func TestGasViscosityIsNearTheCorrelation(t *testing.T) {
	for _, name := range []string{"R134a", "R22", "R744", "R290", "R32", "R717", "R404A", "R507A", "R448A"} {
		f, err := props.Lookup(name)
		require.NoError(t, err)
		p, err := f.DewPressure(units.Fahrenheit(0))
		require.NoError(t, err)
		s, err := f.AtTP(units.Fahrenheit(30), p)
		require.NoError(t, err)
		want, err := f.Viscosity(s)
		require.NoError(t, err)
		assert.Equal(t, want, GasViscosity(f, s), "the correlation where there is one")
		got := correspondingViscosity(f, s)
		t.Logf("%s: correlation %.2f uPas, corresponding states %.2f", name, float64(want)*1e6, float64(got)*1e6)
		assert.InEpsilon(t, float64(want), float64(got), 0.12)
	}
}
