package props

import (
	"encoding/csv"
	"math"
	"os"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/refdata/units"
)

// The rows under testdata are copies of a reference table: numbers computed with
// an open Helmholtz-energy library (CoolProp 8.0.1dev, commit ea27c639, HEOS
// backend, July 2026), 10 significant digits, IIR reference state.

// Tolerances of the issue that asked for the engine.
const (
	tolT   = 0.005  // K
	tolRho = 0.0002 // relative
	tolH   = 60.0   // J/kg
	tolS   = 0.25   // J/(kg K)
)

type row map[string]string

func (r row) num(t testing.TB, key string) float64 {
	v, err := strconv.ParseFloat(r[key], 64)
	require.NoError(t, err, key)
	return v
}

func (r row) list(t testing.TB, key string) []float64 {
	var out []float64
	for _, text := range strings.Split(r[key], ";") {
		v, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err, key)
		out = append(out, v)
	}
	return out
}

func readRows(t testing.TB, name string) []row {
	f, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var rows []row
	for _, fields := range all[1:] {
		r := row{}
		for i, key := range all[0] {
			r[key] = fields[i]
		}
		rows = append(rows, r)
	}
	return rows
}

func (r row) fluid(t testing.TB) *Fluid {
	f, err := LookupModel(r["refrigerant"], r["model"])
	require.NoError(t, err, "%s %s", r["refrigerant"], r["model"])
	return f
}

// worst keeps the largest miss of each refrigerant, as a share of its tolerance.
type worst map[string]miss

type miss struct {
	share float64
	what  string
}

func (w worst) note(r row, what string, off, tol float64) {
	key := r["refrigerant"] + " " + r["model"]
	share := math.Abs(off) / tol
	if math.IsNaN(share) {
		share = math.Inf(1)
	}
	if share > w[key].share || w[key].what == "" {
		w[key] = miss{share, what + " at " + r["T_K"] + " K, off " + strconv.FormatFloat(off, 'g', 3, 64)}
	}
}

func (w worst) report(t *testing.T) {
	keys := make([]string, 0, len(w))
	for k := range w {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		t.Logf("%-18s %8.4f of tolerance: %s", k, w[k].share, w[k].what)
	}
}

func relative(got, want float64) float64 { return got/want - 1 }

// Every row of saturation.csv, both sides, from T and back from p. No row is left
// out: those above 0.97 of the critical temperature and of mix-lb blends hold too.
func TestSaturationTable(t *testing.T) {
	w := worst{}
	for _, r := range readRows(t, "saturation.csv") {
		f := r.fluid(t)
		temp := units.Kelvin(r.num(t, "T_K"))
		for _, end := range []struct {
			at    func(units.Temperature) (State, error)
			atP   func(units.Pressure) (State, error)
			p, of string
		}{{f.Bubble, f.BubbleAtP, "p_bubble_Pa", "liq"}, {f.Dew, f.DewAtP, "p_dew_Pa", "vap"}} {
			s, err := end.at(temp)
			if err != nil {
				w.note(r, end.of+": "+err.Error(), math.Inf(1), 1)
				continue
			}
			back, err := end.atP(units.Pascal(r.num(t, end.p)))
			if err != nil {
				w.note(r, end.of+" at p: "+err.Error(), math.Inf(1), 1)
				continue
			}
			w.note(r, "T("+end.p+")", float64(back.T-temp), tolT)
			w.note(r, "rho_"+end.of, relative(float64(s.Rho), r.num(t, "rho_"+end.of+"_kg_m3")), tolRho)
			w.note(r, "h_"+end.of, float64(s.H)-r.num(t, "h_"+end.of+"_J_kg"), tolH)
			w.note(r, "s_"+end.of, float64(s.S)-r.num(t, "s_"+end.of+"_J_kgK"), tolS)
			w.note(r, "cp_"+end.of, relative(float64(s.Cp), r.num(t, "cp_"+end.of+"_J_kgK")), 0.002)
			w.note(r, "w_"+end.of, relative(float64(s.W), r.num(t, "w_"+end.of+"_m_s")), 0.002)
		}
	}
	w.report(t)
	for k, m := range w {
		require.Less(t, m.share, 1.0, "%s: %s", k, m.what)
	}
}

func TestSuperheatedTable(t *testing.T) {
	w := worst{}
	for _, r := range readRows(t, "superheated.csv") {
		f := r.fluid(t)
		s, err := f.AtTP(units.Kelvin(r.num(t, "T_K")), units.Pascal(r.num(t, "p_Pa")))
		if err != nil {
			w.note(r, err.Error(), math.Inf(1), 1)
			continue
		}
		w.note(r, "rho", relative(float64(s.Rho), r.num(t, "rho_kg_m3")), tolRho)
		w.note(r, "h", float64(s.H)-r.num(t, "h_J_kg"), tolH)
		w.note(r, "s", float64(s.S)-r.num(t, "s_J_kgK"), tolS)
		w.note(r, "cv", relative(float64(s.Cv), r.num(t, "cv_J_kgK")), 0.002)
		for _, c := range []string{"30C", "40C", "50C"} {
			if r["T2s_"+c+"_K"] == "" {
				continue
			}
			end, err := f.AtPS(units.Pascal(r.num(t, "p2_"+c+"_Pa")), s.S)
			if err != nil {
				w.note(r, "isentrope: "+err.Error(), math.Inf(1), 1)
				continue
			}
			w.note(r, "T2s", float64(end.T)-r.num(t, "T2s_"+c+"_K"), tolT)
			w.note(r, "h2s", float64(end.H)-r.num(t, "h2s_"+c+"_J_kg"), tolH)
		}
		if strings.Contains(r["note"], "discharge-wet") && r["p2_50C_Pa"] != "" && r["T2s_50C_K"] == "" {
			end, err := f.AtPS(units.Pascal(r.num(t, "p2_50C_Pa")), s.S)
			require.NoError(t, err)
			require.Equal(t, TwoPhase, end.Phase, "%v", r)
		}
	}
	w.report(t)
	for k, m := range w {
		require.Less(t, m.share, 1.0, "%s: %s", k, m.what)
	}
}

func TestSubcooledTable(t *testing.T) {
	w := worst{}
	for _, r := range readRows(t, "subcooled.csv") {
		s, err := r.fluid(t).AtTP(units.Kelvin(r.num(t, "T_K")), units.Pascal(r.num(t, "p_Pa")))
		if err != nil {
			w.note(r, err.Error(), math.Inf(1), 1)
			continue
		}
		w.note(r, "rho", relative(float64(s.Rho), r.num(t, "rho_kg_m3")), tolRho)
		w.note(r, "h", float64(s.H)-r.num(t, "h_J_kg"), tolH)
		w.note(r, "s", float64(s.S)-r.num(t, "s_J_kgK"), tolS)
	}
	w.report(t)
	for k, m := range w {
		require.Less(t, m.share, 1.0, "%s: %s", k, m.what)
	}
}
