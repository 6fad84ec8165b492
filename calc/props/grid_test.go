package props

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/refdata/units"
)

// steps is how fine a grid is.
func steps(long int) int {
	if testing.Short() {
		return max(long/10, 8)
	}
	return long
}

// From -60 C to 0.985 of the critical temperature every refrigerant has a bubble
// and a dew point, by temperature and by pressure, that belong together: lines
// that rise, liquid denser than vapor, incipient phases that sum to one, and the
// same point from either side.
func TestSaturationOverTheGrid(t *testing.T) {
	const cold, top = 213.15, 0.985
	everyFluid(t, func(t *testing.T, f *Fluid, _ *rand.Rand) {
		low, high := f.satSpan()
		low = max(low, cold)
		high = min(high, top*f.tCrit)
		n := steps(250)
		for _, s := range []side{bubble, dew} {
			var before saturated
			for i := range n + 1 {
				at := low + (high-low)*float64(i)/float64(n)
				x, err := f.saturation(s, at)
				require.NoError(t, err, "%v at %v K", s, at)
				require.True(t, x.p > before.p && !math.IsNaN(x.p), "%v at %v K: %v Pa after %v", s, at, x.p, before.p)
				if f.Model() != ModelPseudo { // its points have one phase only
					require.Greater(t, x.rhoLiq, x.rhoVap, "%v at %v K", s, at)
				}
				if before.rhoLiq > 0 { // the root that is followed does not change
					require.InEpsilon(t, before.rhoLiq, x.rhoLiq, 0.2, "%v at %v K", s, at)
				}
				f.requireFractions(t, x)
				back, err := f.saturationAtP(s, x.p)
				require.NoError(t, err, "%v at %v Pa", s, x.p)
				require.InDelta(t, at, back.t, 1e-6, "%v at %v Pa", s, x.p)
				require.InDelta(t, x.rhoVap, back.rhoVap, 1e-6*x.rhoVap)
				before = x
			}
		}
	})
}

func (f *Fluid) requireFractions(t *testing.T, x saturated) {
	t.Helper()
	if !f.isMixture() {
		return
	}
	for _, z := range [][maxParts]float64{x.x, x.y} {
		sum := 0.0
		for i := range f.m.parts {
			require.True(t, z[i] > 0 && z[i] < 1, "%v", z)
			sum += z[i]
		}
		require.InDelta(t, 1, sum, 1e-12)
	}
}

// Gas below the dew pressure is thinner than the dew, liquid above the bubble
// pressure denser than the bubble: neither solver crosses the dome.
func TestNeitherRootCrossesTheDome(t *testing.T) {
	everyFluid(t, func(t *testing.T, f *Fluid, _ *rand.Rand) {
		low, high := f.satSpan()
		n := steps(60)
		for i := range n + 1 {
			at := low + (high-low)*float64(i)/float64(n)
			b, err := f.saturation(bubble, at)
			require.NoError(t, err)
			d, err := f.saturation(dew, at)
			require.NoError(t, err)
			for _, share := range []float64{1e-6, 0.01, 0.3, 0.7, 0.9, 0.97, 0.999} {
				gas, err := f.AtTP(units.Kelvin(at), units.Pascal(share*d.p))
				require.NoError(t, err, "%v K, %v of dew", at, share)
				assert.Equal(t, Vapor, gas.Phase)
				assert.Less(t, float64(gas.Rho), d.rhoVap*f.m.molarMass, "%v K, %v of dew", at, share)
				liquid, err := f.AtTP(units.Kelvin(at), units.Pascal(min((1.001+share)*b.p, f.m.pHigh)))
				require.NoError(t, err, "%v K, %v of bubble", at, 1.001+share)
				assert.Greater(t, float64(liquid.Rho), b.rhoLiq*f.m.molarMass, "%v K, %v of bubble", at, 1.001+share)
			}
		}
	})
}

// The last stretch of a pure fluid's line, from 0.97 to 0.9995 of the critical
// temperature, and the ends of every span.
func TestSaturationToTheTop(t *testing.T) {
	everyFluid(t, func(t *testing.T, f *Fluid, _ *rand.Rand) {
		low, high := f.satSpan()
		for _, s := range []side{bubble, dew} {
			_, err := f.saturation(s, low)
			require.NoError(t, err)
			last := 0.0
			for i := range steps(400) + 1 {
				at := high - float64(i)/float64(steps(400))*max(high-0.97*f.tCrit, 0)
				x, err := f.saturation(s, at)
				require.NoError(t, err, "%v at %v of Tc", s, at/f.tCrit)
				require.True(t, last == 0 || x.p <= last, "%v at %v K", s, at)
				last = x.p
			}
		}
	})
}
