package rules

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/calc/derive"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// TestInformation holds the gain against cases that can be worked out by hand.
func TestInformation(t *testing.T) {
	even := []float64{0.5, 0.5}
	require.InDelta(t, math.Ln2, entropy(even), 1e-12)
	require.InDelta(t, 0, information(even, nil), 1e-12, "nothing to learn")
	require.InDelta(t, 0, information(even, [][]float64{{0.3, 0.3}}), 1e-12, "shows as often with either")
	require.InDelta(t, 0, information([]float64{1, 0}, [][]float64{{0.9, 0.1}}), 1e-12, "settled already")
	// 0.9 against 0.1: a channel that is wrong one time in ten tells ln 2 less its own entropy
	require.InDelta(t, math.Ln2+0.9*math.Log(0.9)+0.1*math.Log(0.1), information(even, [][]float64{{0.9, 0.1}}), 1e-12)
	weak := information(even, [][]float64{{0.3, 0.15}})
	strong := information(even, [][]float64{{0.67, 0.15}})
	require.Greater(t, strong, weak)
	require.GreaterOrEqual(t, information([]float64{0.2, 0.3, 0.5}, [][]float64{{0.6, 0.1, 0.7}, {0.5, 0.1, 0.6}}), 0.0, "more than certain is scaled")
}

// asked are the keys that a judgement asks for, in order.
func asked(t *testing.T, told []vocab.Circumstance, readings ...vocab.Reading) []string {
	t.Helper()
	set, err := BuiltIn()
	require.NoError(t, err)
	rec := derive.Record{Facts: vocab.Facts{vocab.Refrigerant: "R448A"}, Findings: map[vocab.Finding]bool{}, Circumstances: map[vocab.Circumstance]bool{}}
	for _, c := range told {
		rec.Circumstances[c] = true
	}
	for _, r := range readings {
		rec.Observations = append(rec.Observations, derive.Observation{Reading: r, Visit: 1, State: vocab.Running})
	}
	var keys []string
	for _, a := range set.Judge(rec, derive.Numbers(rec)).Asks {
		keys = append(keys, a.Key)
	}
	return keys
}

// TestAsksForWhatTellsMost: what can't be had is last, and what is known is not asked.
func TestAsksForWhatTellsMost(t *testing.T) {
	dead := asked(t, []vocab.Circumstance{vocab.Dead})
	require.Contains(t, []string{"volts_ab", "ohms_ab", "insulation_megohms", "grounded"}, dead[0], "no suction of a machine that does not run")
	suction := vocab.Reading{Key: vocab.SuctionPressure, Value: 28, Unit: units.CodePSIG}
	line := vocab.Reading{Key: vocab.SuctionLineTemp, Value: 30, Unit: units.CodeF}
	require.Equal(t, "suction_line_temp", asked(t, nil, suction)[0], "the superheat first")
	require.Equal(t, "discharge_pressure", asked(t, nil, suction, line)[0], "it opens the whole high side")
	require.NotContains(t, asked(t, nil, suction, line), "suction_line_temp")
}

// TestCheckOfADeadMachine: with nothing to go by, what is safe and quick and tells
// comes first; opening up is never the first look.
func TestCheckOfADeadMachine(t *testing.T) {
	set, err := BuiltIn()
	require.NoError(t, err)
	check := func(findings ...vocab.Finding) string { return withFindings(set, findings...).NextCheck.Code }
	require.Contains(t, []string{"megohm", "winding_ohms", "voltage_at_terminals"}, check())
	require.NotEqual(t, "teardown_inspect", check())
	require.Equal(t, "teardown_inspect", check(vocab.Grounded), "proved burnt: now it tells most")
}
