package tube

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/refdata/table"
	"coldcase/refdata/units"
)

// Every row of the table: bore from outside diameter and wall, area, volume a foot.
func TestCopperTubePublishedFigures(t *testing.T) {
	rows, err := table.Read(copper, "type", "od_in", "wall_in", "id_in", "bore_area_in2", "bore_in3_per_ft", "source", "from_memory")
	require.NoError(t, err)
	require.Len(t, All(), len(rows))
	for i, r := range rows {
		got := All()[i]
		want := func(column string) float64 {
			v, err := r.Number(column)
			require.NoError(t, err)
			return v
		}
		area, perFoot := got.Bore().SquareInches(), got.Bore().SquareInches()*12
		t.Logf("%-13s %-6s expected bore %.3f in, %.4f in2, %.2f in3/ft; got %.3f, %.4f, %.2f; from memory: %s; source %s", got.Type, got.Nominal, want("id_in"), want("bore_area_in2"), want("bore_in3_per_ft"), got.ID.Inches(), area, perFoot, r.Text("from_memory"), got.Source)
		assert.InDelta(t, want("od_in")-2*want("wall_in"), got.ID.Inches(), 1e-9, "bore, %s", got.Source)
		assert.InDelta(t, want("bore_area_in2"), area, 0.00006, "area to the digits printed")
		assert.InDelta(t, want("bore_in3_per_ft"), perFoot, 0.006, "volume to the digits printed")
	}
}

func TestFittingsCoverEverySize(t *testing.T) {
	od := map[string]bool{}
	for _, s := range All() {
		od[s.Nominal] = true
	}
	memory := 0
	for _, f := range Fittings() {
		assert.True(t, od[f.TubeOD], "%s on unlisted %s", f.Name, f.TubeOD)
		assert.Positive(t, float64(f.Equivalent))
		assert.NotEmpty(t, f.Source)
		if f.FromMemory {
			memory++
		}
	}
	require.Len(t, Fittings(), 141)
	t.Logf("%d of %d rows are from memory: %s", memory, len(Fittings()), Fittings()[0].Source)
	ell, err := Equivalent("ell_90_standard", mustACR(t, 1.125))
	require.NoError(t, err)
	long, err := Equivalent("ell_90_long_radius", mustACR(t, 1.125))
	require.NoError(t, err)
	assert.Greater(t, ell, long)
	_, err = Equivalent("flux_capacitor", mustACR(t, 1.125))
	var unknown *UnknownFittingError
	assert.ErrorAs(t, err, &unknown)
}

func mustACR(t *testing.T, inches float64) Tube {
	t.Helper()
	got, err := ACR(units.Inches(inches))
	require.NoError(t, err)
	return got
}

func TestBadTablesAreRefused(t *testing.T) {
	for _, text := range []string{"", "type,od_in\nL,1", "type,od_nominal_in,od_in,id_in,source\nL,1,one,0.9,x"} {
		_, err := readTubes(text)
		assert.Error(t, err, strconv.Quote(text))
	}
	_, err := readFittings("fitting,tube_od_in,equivalent_ft,source,from_memory\nell,1/2,far,x,no")
	assert.Error(t, err)
}

func TestPlumbingNominalIsSpotted(t *testing.T) {
	for _, inches := range []float64{1, 1.25, 1.5, 2} {
		_, err := ACR(units.Inches(inches))
		var unknown *UnknownSizeError
		if assert.ErrorAs(t, err, &unknown) {
			assert.True(t, unknown.PlumbingNominal, "%g in", inches)
		}
	}
}

func TestLookupAllocatesNothing(t *testing.T) {
	od := units.Inches(1.375)
	assert.Zero(t, testing.AllocsPerRun(100, func() { _, _ = ACR(od) }))
}
