package props

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// check_pure.csv and check_blend.csv: an independent evaluation of the same
// equations at (T, rho), h and s raw. The pressure of a liquid is a small
// difference of large terms, so that it is held against rho R T.
func checkState(t *testing.T, m *model, r row, misses worst) {
	t.Helper()
	const tol = 1e-9
	raw := *m
	raw.hShift, raw.sShift = 0, 0
	temp, rho := r.num(t, "T_K"), r.num(t, "rho_mol_m3")
	s := raw.stateOf(temp, rho)
	for key, got := range map[string]float64{
		"h_J_kg": float64(s.H), "s_J_kgK": float64(s.S), "cp_J_kgK": float64(s.Cp), "cv_J_kgK": float64(s.Cv), "w_m_s": float64(s.W),
	} {
		if r[key] != "" { // no speed of sound where the equation is not stable
			misses.note(r, key, relative(got, r.num(t, key)), tol)
		}
	}
	misses.note(r, "p_Pa", (float64(s.P)-r.num(t, "p_Pa"))/(rho*m.gasR*temp), tol)
}

func (w worst) require(t *testing.T) {
	t.Helper()
	w.report(t)
	for k, m := range w {
		require.Less(t, m.share, 1.0, "%s: %s", k, m.what)
	}
}

func TestCheckPure(t *testing.T) {
	misses := worst{}
	for _, r := range readRows(t, "check_pure.csv") {
		c, err := readComponent(r["component"])
		require.NoError(t, err)
		r["refrigerant"] = r["component"]
		checkState(t, pureModel(c), r, misses)
	}
	assert.Len(t, misses, 32)
	misses.require(t)
}

func TestCheckBlend(t *testing.T) {
	misses := worst{}
	for _, r := range readRows(t, "check_blend.csv") {
		f, err := Lookup(r["blend"])
		require.NoError(t, err)
		r["refrigerant"] = r["blend"]
		checkState(t, f.m, r, misses)
		rho, temp := r.num(t, "rho_mol_m3"), r.num(t, "T_K")
		ph := f.m.phaseAt(temp, rho, f.m.x)
		for i, phi := range r.list(t, "fugacity_coefficients") {
			misses.note(r, "fugacity coefficient", relative(math.Exp(ph.lnF[i])/(f.m.x[i]*r.num(t, "p_Pa")), phi), 1e-8)
		}
	}
	assert.Len(t, misses, 35)
	misses.require(t)
}

// The compositions of the first bubble and the first drop.
func TestIncipientTable(t *testing.T) {
	misses := worst{}
	for _, r := range readRows(t, "incipient.csv") {
		f := r.fluid(t)
		at, err := f.saturation(bubble, r.num(t, "T_K"))
		require.NoError(t, err)
		end, err := f.saturation(dew, r.num(t, "T_K"))
		require.NoError(t, err)
		for i, y := range r.list(t, "y_vapor_at_bubble") {
			misses.note(r, "y", at.y[i]-y, 1e-6)
		}
		for i, x := range r.list(t, "x_liquid_at_dew") {
			misses.note(r, "x", end.x[i]-x, 1e-6)
		}
	}
	misses.require(t)
}

// The folded isotherm against the plain sum of the terms.
func TestIsothermAgainstPlainSum(t *testing.T) {
	for _, name := range []string{"R717", "R744", "R125", "R123", "R1234yf"} {
		c, err := readComponent(name)
		require.NoError(t, err)
		m := pureModel(c)
		for _, tau := range []float64{0.8, 1.02, 1.4} {
			for _, delta := range []float64{1e-3, 0.3, 2.4} {
				var iso isotherm
				iso.fill(m, tau)
				want, got := c.res.at(tau, delta), iso.at(m, delta)
				d, dd := iso.pressureTerms(m, delta)
				for _, v := range [][2]float64{{want.a, got.a}, {want.d, got.d}, {want.t, got.t}, {want.dd, got.dd}, {want.tt, got.tt}, {want.dt, got.dt}, {want.d, d}, {want.dd, dd}} {
					assert.InDelta(t, v[0], v[1], 1e-10*(1+math.Abs(v[0])), "%s tau %v delta %v", name, tau, delta)
				}
			}
		}
	}
}
