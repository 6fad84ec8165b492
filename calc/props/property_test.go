package props

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/refdata/units"
)

// everyFluid runs a property for each refrigerant by each model, with a source
// of random states of its own so that a failure repeats.
func everyFluid(t *testing.T, property func(t *testing.T, f *Fluid, r *rand.Rand)) {
	for _, nm := range AllModels() {
		t.Run(nm.Name+"/"+nm.Model, func(t *testing.T) {
			t.Parallel()
			f, err := LookupModel(nm.Name, nm.Model)
			require.NoError(t, err)
			property(t, f, rand.New(rand.NewPCG(7, 11)))
		})
	}
}

// states is how many random states a property is tried at.
func states(long int) int {
	if testing.Short() {
		return max(long/10, 3)
	}
	return long
}

// between is a random temperature of the saturation span, from -60 C or the
// triple point up.
func (f *Fluid) between(r *rand.Rand, top float64) units.Temperature {
	low, high := f.satSpan()
	low = max(low, 213.15)
	return units.Temperature(low + r.Float64()*(top*high-low))
}

// The fast curves and the equations agree to 1 mK, both ways, both sides.
func TestCurvesAgreeWithEquations(t *testing.T) {
	everyFluid(t, func(t *testing.T, f *Fluid, _ *rand.Rand) {
		n := states(60)
		worst := 0.0
		for _, s := range []side{bubble, dew} {
			c := &f.table.pressure[s]
			for i := range n + 1 {
				at := c.low + (c.high-c.low)*float64(i)/float64(n)
				exact, err := f.saturation(s, min(at, c.high))
				require.NoError(t, err, "%v %v K", s, at)
				back := f.table.temperature[s].at(math.Log(exact.p))
				worst = max(worst, math.Abs(back-at))
				fast, err := f.pressureAt(s, min(at, c.high))
				require.NoError(t, err)
				again, err := f.saturationAtP(s, exact.p)
				require.NoError(t, err)
				worst = max(worst, math.Abs(again.t-at), math.Abs(math.Log(fast/exact.p))/f.steepness(s, at))
			}
		}
		t.Logf("worst %.4f mK", 1000*worst)
		assert.Less(t, worst, 1e-3, "K")
	})
}

// steepness is d ln p/dT.
func (f *Fluid) steepness(s side, at float64) float64 {
	c := &f.table.pressure[s]
	const h = 0.05
	a, b := max(at-h, c.low), min(at+h, c.high)
	return (c.at(b) - c.at(a)) / (b - a)
}

func TestSaturationRises(t *testing.T) {
	everyFluid(t, func(t *testing.T, f *Fluid, r *rand.Rand) {
		for range states(100) {
			at := f.between(r, 1)
			pb, err := f.BubblePressure(at)
			require.NoError(t, err)
			pd, err := f.DewPressure(at)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, float64(pb), float64(pd)*(1-1e-9), "%v K", at)
			tb, err := f.BubbleTemp(pb)
			require.NoError(t, err)
			td, err := f.DewTemp(pd)
			require.NoError(t, err)
			assert.InDelta(t, float64(at), float64(tb), 1e-3)
			assert.InDelta(t, float64(at), float64(td), 1e-3)
			assert.Positive(t, f.steepness(bubble, float64(at)))
			assert.Positive(t, f.steepness(dew, float64(at)))
		}
	})
}

// dp/dT = (h” - h')/(T (v” - v')) on the line of a pure fluid.
func TestClausiusClapeyron(t *testing.T) {
	everyFluid(t, func(t *testing.T, f *Fluid, r *rand.Rand) {
		if f.Model() != ModelPure {
			t.Skip("one vapor pressure only of a pure fluid")
		}
		for range states(30) {
			at := f.between(r, 0.98)
			const h = 0.02
			up, err := f.saturation(dew, float64(at)+h)
			require.NoError(t, err)
			down, err := f.saturation(dew, float64(at)-h)
			require.NoError(t, err)
			l, err := f.Bubble(at)
			require.NoError(t, err)
			v, err := f.Dew(at)
			require.NoError(t, err)
			want := float64(v.H-l.H) / (float64(at) * (1/float64(v.Rho) - 1/float64(l.Rho)))
			assert.InEpsilon(t, want, (up.p-down.p)/(2*h), 2e-5, "%v K", at)
		}
	})
}

func TestHeatCapacityIsTheSlopeOfEnthalpy(t *testing.T) {
	everyFluid(t, func(t *testing.T, f *Fluid, r *rand.Rand) {
		for range states(30) {
			dewAt := f.between(r, 0.95)
			p, err := f.DewPressure(dewAt)
			require.NoError(t, err)
			const h = 0.01
			at := min(dewAt+units.Temperature(1+40*r.Float64()), units.Temperature(f.m.tHigh-1))
			low, err := f.AtTP(at-h, p)
			require.NoError(t, err)
			mid, err := f.AtTP(at, p)
			require.NoError(t, err)
			high, err := f.AtTP(at+h, p)
			require.NoError(t, err)
			assert.InEpsilon(t, float64(mid.Cp), float64(high.H-low.H)/(2*h), 1e-5, "%v K %v Pa", at, p)
			assert.InEpsilon(t, float64(mid.Cp)/float64(at), float64(high.S-low.S)/(2*h), 1e-5)
			assert.Equal(t, Vapor, mid.Phase)
		}
	})
}

// There and back: compress along the isentrope, return along it; find every
// state again from (p, h) and (p, s), inside the dome too.
func TestStatesReturn(t *testing.T) {
	everyFluid(t, func(t *testing.T, f *Fluid, r *rand.Rand) {
		for range states(30) {
			dewAt := f.between(r, 0.85)
			p, err := f.DewPressure(dewAt)
			require.NoError(t, err)
			s, err := f.AtTP(dewAt+units.Temperature(1+20*r.Float64()), p)
			require.NoError(t, err)
			end, err := f.AtPS(p*units.Pressure(1+3*r.Float64()), s.S)
			if err != nil {
				var far *RangeError
				require.ErrorAs(t, err, &far)
				continue
			}
			back, err := f.AtPS(p, end.S)
			require.NoError(t, err)
			assert.InDelta(t, float64(s.T), float64(back.T), 1e-4)
			again, err := f.AtPH(p, s.H)
			require.NoError(t, err)
			assert.InDelta(t, float64(s.T), float64(again.T), 1e-4)
		}
	})
}

func TestInsideTheDome(t *testing.T) {
	everyFluid(t, func(t *testing.T, f *Fluid, r *rand.Rand) {
		for range states(12) {
			p, err := f.BubblePressure(f.between(r, 0.97))
			require.NoError(t, err)
			l, err := f.BubbleAtP(p)
			require.NoError(t, err)
			v, err := f.DewAtP(p)
			if err != nil {
				continue // a blend's dew line ends a little lower than its bubble line
			}
			share := r.Float64()
			h := l.H + units.Enthalpy(share)*(v.H-l.H)
			s, err := f.AtPH(p, h)
			require.NoError(t, err, "%v of the way at %v Pa", share, p)
			assert.Equal(t, TwoPhase, s.Phase)
			assert.InDelta(t, float64(h), float64(s.H), 0.5)
			assert.InDelta(t, share, s.Quality, 0.25)
			assert.GreaterOrEqual(t, float64(s.T), float64(l.T)-1e-6)
			assert.LessOrEqual(t, float64(s.T), float64(v.T)+1e-6)
			again, err := f.AtPS(p, s.S)
			require.NoError(t, err)
			assert.InDelta(t, float64(s.T), float64(again.T), 1e-3)
			assert.InDelta(t, s.Quality, again.Quality, 1e-4)
		}
	})
}

func TestFugacitiesEqual(t *testing.T) {
	everyFluid(t, func(t *testing.T, f *Fluid, r *rand.Rand) {
		if f.Model() == ModelPseudo {
			t.Skip("a pseudo-pure equation has its pressures by definition")
		}
		n := len(f.m.parts)
		for range states(30) {
			at := f.between(r, 1)
			for _, s := range []side{bubble, dew} {
				x, err := f.saturation(s, float64(at))
				require.NoError(t, err)
				l, v := f.m.phaseAt(x.t, x.rhoLiq, x.x[:n]), f.m.phaseAt(x.t, x.rhoVap, x.y[:n])
				assert.InEpsilon(t, v.p, l.p, 1e-6, "%v at %v K", s, at)
				for i := range n {
					assert.InDelta(t, v.lnF[i], l.lnF[i], 1e-7, "%v at %v K, component %d", s, at, i)
				}
			}
		}
	})
}
