package rules

import (
	"fmt"
	"io"
	"iter"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"coldcase/calc/derive"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// fullCase is a case of 40 readings.
func fullCase() derive.Record {
	rec := derive.Record{Facts: vocab.Facts{vocab.Refrigerant: "R448A", vocab.Application: "medium", vocab.Metering: "txv"}, Findings: map[vocab.Finding]bool{vocab.OilClean: true}, Circumstances: map[vocab.Circumstance]bool{}}
	for visit := 1; visit <= 3; visit++ {
		for _, r := range []vocab.Reading{
			{Key: vocab.SuctionPressure, Value: 48, Unit: units.CodePSIG},
			{Key: vocab.DischargePressure, Value: 232, Unit: units.CodePSIG},
			{Key: vocab.SuctionLineTemp, Value: 42, Unit: units.CodeF},
			{Key: vocab.EvapOutletTemp, Value: 32, Unit: units.CodeF},
			{Key: vocab.LiquidLineTemp, Value: 87, Unit: units.CodeF},
			{Key: vocab.DischargeLineTemp, Value: 168, Unit: units.CodeF},
			{Key: vocab.BoxTemp, Value: 37, Unit: units.CodeF},
			{Key: vocab.AmbientTemp, Value: 78, Unit: units.CodeF},
			{Key: vocab.VoltsAb, Value: 209, Unit: units.CodeVolt},
			{Key: vocab.VoltsBc, Value: 208, Unit: units.CodeVolt},
			{Key: vocab.VoltsCa, Value: 210, Unit: units.CodeVolt},
			{Key: vocab.AmpsA, Value: 11.2, Unit: units.CodeAmpere},
			{Key: vocab.AmpsB, Value: 11, Unit: units.CodeAmpere},
		} {
			rec.Observations = append(rec.Observations, derive.Observation{Reading: r, Visit: visit, State: vocab.Running})
		}
	}
	rec.Observations = append(rec.Observations, derive.Observation{Reading: vocab.Reading{Key: vocab.RatedAmps, Value: 14.1, Unit: units.CodeAmpere}, Visit: 3, State: vocab.Running})
	rec.Visit = 3
	return rec
}

// manyRules is a folder of n rules beside the built-in ones: over numbers, words and
// findings, known and not known, a few of which fire.
func manyRules(n int) fstest.MapFS {
	conditions := []string{
		"total_superheat_dF < %d && subcooling_dF > 3",
		"subcooling_dF > %d.5 || total_superheat_dK < 2",
		"sump_superheat_dF < %d && !told.hot_gas_defrost",
		"condensing_split_dF > %d && application == \"medium\" && compression_ratio > 9",
		"seen.oil_acid && voltage_unbalance_pct > %d",
		"refrigerant in [\"R404A\", \"R507A\"] && abs(discharge_superheat_dF - 60) > %d",
	}
	var b strings.Builder
	b.WriteString("rules:\n")
	for i := range n {
		when := fmt.Sprintf(conditions[i%len(conditions)], i%19)
		fmt.Fprintf(&b, "  - {id: extra-%d, title: t, severity: note, status: trial, when: '%s', why: w, also_looks_like: [x], sources: [common practice], examples: [{given: {}, expect: fires}, {given: {}, expect: silent}]}\n", i, when)
	}
	return fstest.MapFS{"extra.yaml": {Data: []byte(b.String())}}
}

// BenchmarkThousandRules judges one case of 40 readings by 1,000 rules.
func BenchmarkThousandRules(b *testing.B) {
	builtIn, err := BuiltIn()
	require.NoError(b, err)
	set, err := WithExtra(manyRules(1000 - builtIn.Rules()))
	require.NoError(b, err)
	require.Equal(b, 1000, set.Rules())
	rec := fullCase()
	res := derive.Numbers(rec)
	b.ReportAllocs()
	for b.Loop() {
		set.Judge(rec, res)
	}
}

// BenchmarkNumbersAndJudge is what each message costs.
func BenchmarkNumbersAndJudge(b *testing.B) {
	set, err := BuiltIn()
	require.NoError(b, err)
	rec := fullCase()
	b.ReportAllocs()
	for b.Loop() {
		set.Judge(rec, derive.Numbers(rec))
	}
}

// BenchmarkTry tries a file on logged cases of 40 readings; the figure is for one
// case: 100,000 cases take 100,000 times that.
func BenchmarkTry(b *testing.B) {
	before, err := BuiltIn()
	require.NoError(b, err)
	after, err := WithExtra(manyRules(3))
	require.NoError(b, err)
	log := iter.Seq2[Logged, error](func(yield func(Logged, error) bool) {
		for range b.N {
			if !yield(Logged{Case: "1-3", Record: func() (derive.Record, error) { return fullCase(), nil }}, nil) {
				return
			}
		}
	})
	b.ResetTimer()
	_, err = Try(io.Discard, before, after, nil, log)
	require.NoError(b, err)
}
