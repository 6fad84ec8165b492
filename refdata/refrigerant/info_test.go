package refrigerant

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Published figures of ASHRAE 34 and of the trade, from memory; the boiling and
// critical points come from the equations of state.
func TestInfoAgainstTheTrade(t *testing.T) {
	for _, c := range []struct {
		name                              string
		safety                            SafetyGroup
		boilingC, glideK, critC, gwp      float64
		tolBoil, tolGlide, tolCrit, tolPc float64
		source                            string
	}{
		{"R134a", A1, -26.1, 0, 101.1, 1430, 0.1, 0.01, 0.1, 0, "ASHRAE Handbook Fundamentals, refrigerant table, from memory"},
		{"R404A", A1, -46.2, 0.7, 72.1, 3922, 0.2, 0.2, 0.5, 0.5, "same; GWP AR4 as in EU 517/2014, from memory"},
		{"R410A", A1, -51.4, 0.1, 71.4, 2088, 0.2, 0.1, 0.5, 0.5, "same"},
		{"R407C", A1, -43.6, 7.0, 86.0, 1774, 0.3, 0.5, 1, 0.5, "same"},
		{"R448A", A1, -46.1, 6.2, 83.7, 1387, 0.6, 0.6, 2, 1.5, "common data, from memory"},
		{"R290", A3, -42.1, 0, 96.7, 3, 0.1, 0.01, 0.1, 0, "ASHRAE Handbook Fundamentals, from memory"},
		{"R717", B2L, -33.3, 0, 132.4, 0, 0.1, 0.01, 0.2, 0, "same"},
		{"R744", A1, -78.5, 0, 31.0, 1, 0.1, 0.01, 0.1, 0, "same; sublimes"},
		{"R454B", A2L, -50.9, 1.3, 78.1, 466, 0.7, 0.5, 1, 1, "common data, from memory"},
	} {
		f, err := Info(c.name)
		require.NoError(t, err, c.name)
		assert.Equal(t, c.safety, f.Safety, c.name)
		assert.InDelta(t, c.boilingC, f.Boiling.C(), c.tolBoil, "%s boiling (%s)", c.name, c.source)
		assert.InDelta(t, c.glideK, f.Glide.DegreesC(), c.tolGlide, "%s glide (%s)", c.name, c.source)
		assert.InDelta(t, c.critC, f.CriticalTemp.C(), c.tolCrit, "%s critical (%s)", c.name, c.source)
		assert.InDelta(t, c.gwp, f.GWPAR4, c.tolPc, "%s GWP (%s)", c.name, c.source)
	}
}

func TestInfoOfEveryRefrigerant(t *testing.T) {
	claimed := map[string]string{}
	for _, name := range Names() {
		f, err := Info(name)
		require.NoError(t, err, name)
		assert.NotEmpty(t, f.Oils, name)
		assert.NotEmpty(t, f.Words, name)
		assert.NotEmpty(t, f.Equation, name)
		assert.Greater(t, len(f.PhaseOut), 40, name)
		assert.Contains(t, []SafetyGroup{A1, A2L, A2, A3, B1, B2L}, f.Safety, name)
		assert.Greater(t, float64(f.CriticalPressure), 2e6, name)
		sum := 0.0
		for _, p := range f.Parts {
			sum += p.Mass.Percent()
		}
		if len(f.Parts) > 0 {
			assert.InDelta(t, 100, sum, 1e-9, name)
		} else {
			assert.NotEmpty(t, f.ChemicalName, name)
		}
		for _, w := range f.Words {
			assert.Empty(t, claimed[w], "%q is said of %s and %s", w, claimed[w], name)
			claimed[w] = name
		}
	}
}

func TestInfoKnowsNoStranger(t *testing.T) {
	for _, name := range []string{"", "R999", "phase_out", "r448a"} {
		_, err := Info(name)
		require.ErrorIs(t, err, ErrUnknown, name)
	}
}

func TestSafetyGroups(t *testing.T) {
	assert.True(t, A2L.Flammable())
	assert.True(t, B2L.Flammable())
	assert.False(t, A1.Flammable())
	assert.False(t, B1.Flammable())
	assert.True(t, B1.Toxic())
	assert.False(t, A3.Toxic())
}
