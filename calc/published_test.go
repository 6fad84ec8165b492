package calc

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/refdata/table"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
)

func published(t *testing.T, name string, columns ...string) []table.Row {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "testdata", "published", name))
	require.NoError(t, err)
	rows, err := table.Read(string(text), columns...)
	require.NoError(t, err)
	return rows
}

// fields of a cell: "suction_psig=14.0;altitude_ft=4600", a word alone is "name".
type fields map[string]string

func parse(cell string) fields {
	out := fields{}
	for _, part := range strings.Split(cell, ";") {
		key, value, ok := strings.Cut(part, "=")
		if !ok {
			key, value = "name", part
		}
		if _, seen := out[key]; seen {
			continue // the refrigerant stands first
		}
		out[strings.TrimSpace(key)] = strings.TrimSpace(value)
	}
	return out
}

func (f fields) num(t *testing.T, key string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.Fields(f[key] + " ")[0], 64)
	require.NoError(t, err, "%s=%q", key, f[key])
	return v
}

// three comma-separated numbers.
func (f fields) three(t *testing.T, key string) [3]float64 {
	t.Helper()
	var out [3]float64
	for i, s := range strings.Split(f[key], ",") {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		out[i] = v
	}
	return out
}

// size "1-3/8 ACR drawn" as a tube.
func size(t *testing.T, s string) tube.Tube {
	t.Helper()
	nominal := strings.Fields(s)[0]
	for _, x := range tube.Sizes() {
		if x.Nominal == nominal {
			return x
		}
	}
	require.Fail(t, "no tube", s)
	return tube.Tube{}
}

// lastPlace is one unit of the last printed digit: what a value without a
// tolerance of its own kind is held to.
func lastPlace(printed string) float64 {
	_, decimals, _ := strings.Cut(printed, ".")
	return math.Pow(10, -float64(len(decimals)))
}

// tolerance of one expected value of a row: "2%" of it; "0.5 F" for temperatures,
// "0.3 psi" for pressures, "0.02" as it stands; other kinds of value of such a row
// are held to their last printed digit.
func tolerance(t *testing.T, row, key, printed string, want float64) float64 {
	t.Helper()
	if pct, ok := strings.CutSuffix(row, "%"); ok {
		v, err := strconv.ParseFloat(pct, 64)
		require.NoError(t, err)
		return math.Abs(want)*v/100 + lastPlace(printed)/2
	}
	parts := strings.Fields(row)
	v, err := strconv.ParseFloat(parts[0], 64)
	require.NoError(t, err, row)
	if len(parts) == 1 {
		return v
	}
	degrees := strings.HasSuffix(key, "_f") || strings.HasPrefix(key, "t_dis") || strings.Contains(key, "superheat") || key == "subcooling" || strings.Contains(key, "_td_") || strings.Contains(key, "split")
	pressure := strings.HasSuffix(key, "_psi") || strings.HasSuffix(key, "_psig")
	if parts[1] == "F" && degrees || parts[1] == "psi" && pressure {
		return v + lastPlace(printed)/2
	}
	return lastPlace(printed)
}

// hold compares one figure and prints source, expected and got.
func hold(t *testing.T, r table.Row, what string, want, got, tol float64) {
	t.Helper()
	t.Logf("%-24s expected %-10.5g got %-10.5g tol %-8.3g from memory: %s; source: %s", what, want, got, tol, r.Text("from_memory"), r.Text("source"))
	assert.InDelta(t, want, got, tol, "%s; source: %s", what, r.Text("source"))
}

func f(v float64) units.Temperature { return units.Fahrenheit(v) }
