package props

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/refdata/units"
)

// pick turns any number into one of the fluids.
func pick(t *testing.T, n uint16) *Fluid {
	all := AllModels()
	nm := all[int(n)%len(all)]
	f, err := LookupModel(nm.Name, nm.Model)
	require.NoError(t, err)
	return f
}

// sound holds every answer to the promise: a state of finite numbers that can
// be, or one of the typed errors.
func sound(t *testing.T, f *Fluid, s State, err error) {
	t.Helper()
	if err != nil {
		var far *RangeError
		var lost *NoConvergenceError
		var two *TwoPhaseError
		require.True(t, errors.As(err, &far) || errors.As(err, &lost) || errors.As(err, &two), "%s: untyped error %v", f.Name(), err)
		require.Equal(t, State{}, s, "a state beside an error")
		return
	}
	for _, v := range []float64{float64(s.T), float64(s.P), float64(s.Rho), float64(s.H), float64(s.S), float64(s.Cp), float64(s.Cv), float64(s.W), s.Quality} {
		require.True(t, units.Finite(v), "%s: %+v", f.Name(), s)
	}
	require.Positive(t, float64(s.T), f.Name())
	require.Positive(t, float64(s.Rho), f.Name())
	require.Contains(t, []Phase{Liquid, Vapor, TwoPhase, Supercritical}, s.Phase)
	if s.Phase == TwoPhase {
		require.True(t, s.Quality >= 0 && s.Quality <= 1, "%s: quality %v", f.Name(), s.Quality)
		return
	}
	require.Positive(t, float64(s.Cv), "%s: %+v", f.Name(), s)
	if mu, err := f.Viscosity(s); err == nil {
		require.True(t, mu > 0 && units.Finite(float64(mu)), "%s: viscosity of %+v", f.Name(), s)
	}
	if k, err := f.Conductivity(s); err == nil {
		require.True(t, k > 0 && units.Finite(float64(k)), "%s: conductivity of %+v", f.Name(), s)
	}
}

func seeds(f *testing.F, rows ...[2]float64) {
	for n := uint16(0); n < 68; n += 3 {
		for _, r := range rows {
			f.Add(n, r[0], r[1])
		}
	}
}

func FuzzAtTP(f *testing.F) {
	seeds(f, [2]float64{280, 3e5}, [2]float64{310, 2e6}, [2]float64{345, 3.6e6}, [2]float64{220, 1}, [2]float64{0, -1})
	f.Fuzz(func(t *testing.T, n uint16, temp, p float64) {
		fl := pick(t, n)
		s, err := fl.AtTP(units.Kelvin(temp), units.Pascal(p))
		sound(t, fl, s, err)
	})
}

func FuzzAtPH(f *testing.F) {
	seeds(f, [2]float64{3e5, 4e5}, [2]float64{2e6, 3e5}, [2]float64{4e6, 2.5e5}, [2]float64{1e5, 1e4}, [2]float64{1e7, 3e5})
	f.Fuzz(func(t *testing.T, n uint16, p, h float64) {
		fl := pick(t, n)
		s, err := fl.AtPH(units.Pascal(p), units.JoulesPerKilogram(h))
		sound(t, fl, s, err)
	})
}

func FuzzAtPS(f *testing.F) {
	seeds(f, [2]float64{3e5, 1800}, [2]float64{2e6, 1500}, [2]float64{4e6, 1300}, [2]float64{1e5, 10}, [2]float64{1e7, 1500})
	f.Fuzz(func(t *testing.T, n uint16, p, s float64) {
		fl := pick(t, n)
		st, err := fl.AtPS(units.Pascal(p), units.JoulesPerKilogramKelvin(s))
		sound(t, fl, st, err)
	})
}

func FuzzSaturation(f *testing.F) {
	seeds(f, [2]float64{260, 3e5}, [2]float64{340, 3.5e6}, [2]float64{213.15, 1e4}, [2]float64{350, 4.2e6})
	f.Fuzz(func(t *testing.T, n uint16, temp, p float64) {
		fl := pick(t, n)
		for _, at := range []func(units.Temperature) (State, error){fl.Bubble, fl.Dew, fl.LiquidAtBubble} {
			s, err := at(units.Kelvin(temp))
			sound(t, fl, s, err)
		}
		for _, at := range []func(units.Pressure) (State, error){fl.BubbleAtP, fl.DewAtP, fl.VaporAtDew} {
			s, err := at(units.Pascal(p))
			sound(t, fl, s, err)
		}
		for _, at := range []func(units.Pressure) (units.Temperature, error){fl.BubbleTemp, fl.DewTemp} {
			v, err := at(units.Pascal(p))
			require.True(t, err != nil || units.Finite(float64(v)) && v > 0)
		}
		for _, at := range []func(units.Temperature) (units.Pressure, error){fl.BubblePressure, fl.DewPressure} {
			v, err := at(units.Kelvin(temp))
			require.True(t, err != nil || units.Finite(float64(v)) && v > 0)
		}
	})
}

func FuzzIncipient(f *testing.F) {
	seeds(f, [2]float64{260, 0}, [2]float64{340, 0}, [2]float64{213.15, 0}, [2]float64{350, 0})
	f.Fuzz(func(t *testing.T, n uint16, temp, _ float64) {
		fl := pick(t, n)
		for _, at := range []func(units.Temperature) (Incipient, error){fl.FirstBubble, fl.FirstDrop} {
			z, err := at(units.Kelvin(temp))
			if err != nil {
				require.Empty(t, z)
				continue
			}
			sum := 0.0
			for _, x := range z.Fractions {
				require.True(t, x >= 0 && x <= 1, "%v", z)
				sum += x
			}
			require.InDelta(t, 1, sum, 1e-9)
		}
	})
}

// Transport takes a state that somebody may have put together by hand.
func FuzzTransport(f *testing.F) {
	seeds(f, [2]float64{280, 10}, [2]float64{310, 1100}, [2]float64{345, 500}, [2]float64{220, 1e-9}, [2]float64{0, -1})
	f.Fuzz(func(t *testing.T, n uint16, temp, rho float64) {
		fl := pick(t, n)
		s := State{T: units.Kelvin(temp), Rho: units.Density(rho), Quality: -1, Phase: Vapor}
		if mu, err := fl.Viscosity(s); err == nil {
			require.True(t, mu > 0 && units.Finite(float64(mu)), "%s: viscosity %v of %+v", fl.Name(), mu, s)
		}
		if k, err := fl.Conductivity(s); err == nil {
			require.True(t, k > 0 && units.Finite(float64(k)), "%s: conductivity %v of %+v", fl.Name(), k, s)
		}
	})
}

func FuzzLookup(f *testing.F) {
	f.Add("R448A", "mix")
	f.Add("R44", "")
	f.Add("../R22", "ppf")
	f.Add("R1234ze(E)", "pure")
	f.Add("", "\xff")
	f.Fuzz(func(t *testing.T, name, model string) {
		fl, err := LookupModel(name, model)
		if err != nil {
			var unknown *UnknownFluidError
			require.ErrorAs(t, err, &unknown)
			return
		}
		require.Equal(t, name, fl.Name())
	})
}
