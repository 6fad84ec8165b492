package answer

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/calc/cycle"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

func values(all ...vocab.Reading) map[vocab.Key]vocab.Reading {
	out := map[vocab.Key]vocab.Reading{}
	for _, r := range all {
		out[r.Key] = r
	}
	return out
}

func r(k vocab.Key, v float64, u units.Code) vocab.Reading {
	return vocab.Reading{Key: k, Value: v, Unit: u}
}

func roll(amps ...float64) map[vocab.Key]vocab.Reading {
	out := map[vocab.Key]vocab.Reading{}
	for i, k := range append(RollBefore[:], RollAfter[:]...) {
		out[k] = r(k, amps[i], units.CodeAmpere)
	}
	return out
}

var day = time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)

// question is a text with what it gives, and one figure of its answer.
type question struct {
	text, refrigerant string
	about             string
	given             map[vocab.Key]vocab.Reading
	number            string
	want, tol         float64
	verdict           limits.Verdict
	source            string
}

// Each row: a question as a tech would ask it, and one figure of its answer.
func TestQuestions(t *testing.T) {
	rows := []question{
		{"size riser 507A -20 evap gas -12 liq 70 cap 31500 min 33% 26 ft", "R507A", SizeRiser, values(r(EvaporatingTemp, -20, units.CodeF), r(vocab.SuctionLineTemp, -12, units.CodeF), r(vocab.LiquidLineTemp, 70, units.CodeF), r(vocab.Capacity, 31500, units.CodeBtuPerHour), r(vocab.MinCapacity, 33, units.CodePercent), r(vocab.RiserHeight, 26, units.CodeFeet)), "size", 1.125, 1e-9, limits.Watch, "trade-basis 2.3: 1-1/8 is the best single pipe"},
		{"double riser 507A -25, gas -15, liq 50, 118000, min 12.5 %", "R507A", DoubleRiser, values(r(EvaporatingTemp, -25, units.CodeF), r(vocab.SuctionLineTemp, -15, units.CodeF), r(vocab.LiquidLineTemp, 50, units.CodeF), r(vocab.Capacity, 118000, units.CodeBtuPerHour), r(vocab.MinCapacity, 12.5, units.CodePercent), r(Equivalent, 34, units.CodeFeet)), "large_size", 1.375, 1e-9, limits.OK, "trade-basis 2.5"},
		{"accumulator for 46 lb of 448A, 430 in3 there", "R448A", Accumulator, values(r(vocab.SystemCharge, 46, units.CodePound), r(vocab.AccumulatorVolume, 430, units.CodeCubicInch)), "accumulator_ratio", 0.56, 0.01, limits.Bad, "trade-basis 3.1"},
		{"flash check 5/8 liq lift 12 ft 404A 205 psig 5 subcooling", "R404A", FlashCheck, values(r(vocab.LiquidLineSize, 0.625, units.CodeInch), r(vocab.LiquidLift, 12, units.CodeFeet), r(vocab.LiquidPressure, 205, units.CodePSIG), r(vocab.Subcooling, 5, units.CodeDegreesF)), "liquid_static_loss", 5.32, 0.1, limits.Watch, "trade-basis 2.8"},
		{"does oil return: 134a sst 10 gas 20 liq 85 14200 min 50 % 1-1/8", "R134a", OilReturn, values(r(EvaporatingTemp, 10, units.CodeF), r(vocab.SuctionLineTemp, 20, units.CodeF), r(vocab.LiquidLineTemp, 85, units.CodeF), r(vocab.Capacity, 14200, units.CodeBtuPerHour), r(vocab.MinCapacity, 50, units.CodePercent), r(vocab.RiserSize, 1.125, units.CodeInch)), "oil_ratio_min", 0.73, 0.015, limits.Bad, "trade-basis 2.3"},
		{"charge of 140 ft 5/8 liquid 448A", "R448A", ChargeEstimate, values(r(vocab.LiquidLineSize, 0.625, units.CodeInch), r(vocab.LiquidRun, 140, units.CodeFeet), r(vocab.LiquidLineTemp, 85, units.CodeF)), "charge", 15.26, 0.46, "", "worked_examples CHG1"},
		{"leak rate 44 of 310 lb in 141 days", "R404A", LeakRate, values(r(vocab.ChargeAdded, 44, units.CodePound), r(vocab.SystemCharge, 310, units.CodePound), r(SinceAdded, 141, units.CodeDay)), "leak_rate_pct_per_year", 36.74, 0.01, limits.Bad, "trade-basis 7.2"},
		{"lp control 404A in 18 out 5 box -5 coldest -10", "R404A", LPControl, values(r(vocab.CutInPressure, 18, units.CodePSIG), r(vocab.CutOutPressure, 5, units.CodePSIG), r(vocab.BoxTemp, -5, units.CodeF), r(vocab.AmbientTemp, -10, units.CodeF)), "cut_in_dew", -17.2, 0.5, limits.OK, "trade-basis 3.4"},
		{"held 305 at 91, 284.5 at 58", "", HoldingTest, values(r(vocab.TestPressureStart, 305, units.CodePSIG), r(vocab.TestTempStart, 91, units.CodeF), r(vocab.TestPressureEnd, 284.5, units.CodePSIG), r(vocab.TestTempEnd, 58, units.CodeF)), "holding_test_change", -1.3, 0.3, limits.OK, "trade-basis 6.3"},
		{"4 to 21 psi in 12 min, in 18 out 5", "R404A", PumpdownLeak, values(r(vocab.PumpdownPressure, 4, units.CodePSIG), r(vocab.PumpdownRisePressure, 21, units.CodePSIG), r(vocab.PumpdownWaitTime, 12, units.CodeMinute), r(vocab.CutInPressure, 18, units.CodePSIG), r(vocab.CutOutPressure, 5, units.CodePSIG)), "pumpdown_leak_rate", 1.42, 0.01, limits.Bad, "trade-basis 3.3"},
		{"38 meg at 22 C", "", Insulation, values(r(vocab.InsulationMegohms, 38, units.CodeMegohm), r(WindingTemp, 22, units.CodeC)), "insulation_40C", 10.9, 0.2, limits.Bad, "trade-basis 4.4"},
		{"471 462 449", "", Voltage, values(r(vocab.VoltsAb, 471, units.CodeVolt), r(vocab.VoltsBc, 462, units.CodeVolt), r(vocab.VoltsCa, 449, units.CodeVolt)), "derating", 92, 1, limits.Bad, "trade-basis 4.1"},
		{"0.84 0.86 0.85", "", Windings, values(r(vocab.OhmsAb, 0.84, units.CodeOhm), r(vocab.OhmsBc, 0.86, units.CodeOhm), r(vocab.OhmsCa, 0.85, units.CodeOhm)), "resistance_unbalance", 1.18, 0.02, limits.OK, "trade-basis 4.3"},
		{"filter 404A 16 psig", "R404A", SuctionFilter, values(r(vocab.SuctionPressure, 16, units.CodePSIG)), "filter_limit", 1.4, 0.05, "", "trade-basis 6.2"},
		{"vacuum 280 to 450 in 10 min", "", Vacuum, values(r(vocab.VacuumLevel, 280, units.CodeMicron), r(vocab.VacuumRiseLevel, 450, units.CodeMicron), r(vocab.VacuumHoldTime, 10, units.CodeMinute)), "vacuum_rise", 170, 1e-6, limits.OK, "trade-basis 6.4"},
		{"rolled, the high leg stayed", "", RollTest, roll(31.2, 26, 27.4, 31.5, 26.2, 27), "", 0, 0, limits.Bad, "trade-basis 4.1: stays with the supply"},
		{"rolled, it moved along", "", RollTest, roll(31.2, 26, 27.4, 27.4, 31.2, 26), "", 0, 0, limits.Bad, "trade-basis 4.1: moves with the motor"},
		{"heater 70 W 240 V draws 0.3 A", "", Heater, values(r(HeaterWatts, 70, units.CodeWatt), r(HeaterVolts, 240, units.CodeVolt), r(HeaterAmps, 0.3, units.CodeAmpere)), "heater_amps", 0.2917, 0.001, limits.OK, "trade-basis 3.2: watts/volts"},
		{"heater 70 W 240 V draws nothing", "", Heater, values(r(HeaterWatts, 70, units.CodeWatt), r(HeaterVolts, 240, units.CodeVolt), r(HeaterAmps, 0, units.CodeAmpere)), "heater_amps", 0.2917, 0.001, limits.Bad, "trade-basis 3.2"},
		{"31.2 26 27.4 A on 471 462 449 V", "", Current, values(r(vocab.AmpsA, 31.2, units.CodeAmpere), r(vocab.AmpsB, 26, units.CodeAmpere), r(vocab.AmpsC, 27.4, units.CodeAmpere), r(vocab.VoltsAb, 471, units.CodeVolt), r(vocab.VoltsBc, 462, units.CodeVolt), r(vocab.VoltsCa, 449, units.CodeVolt)), "current_unbalance", 10.6, 0.1, limits.Bad, "trade-basis 4.1"},
		{"14 starts an hour", "", ShortCycling, values(r(vocab.StartsPerHour, 14, units.CodePerHour)), "starts_per_hour", 14, 1e-9, limits.Bad, "trade-basis 3.5: over 12"},
		{"runs 2 min, off 8", "", ShortCycling, values(r(RunTime, 2, units.CodeMinute), r(RestTime, 8, units.CodeMinute)), "starts_per_hour", 6, 1e-9, limits.Bad, "trade-basis 3.5: run under 3 min"},
		{"flooding back? 404A 16 psig line -15", "R404A", Floodback, values(r(vocab.SuctionPressure, 16, units.CodePSIG), r(vocab.SuctionLineTemp, -15.5, units.CodeF)), "total_superheat", 4.5, 0.2, limits.Stop, "trade-basis 1.3: under 5 F"},
		{"ratio 16 to 224", "", Envelope, values(r(vocab.SuctionPressure, 16, units.CodePSIG), r(vocab.DischargePressure, 224, units.CodePSIG)), "compression_ratio", 7.78, 0.01, limits.OK, "trade-basis 1.6"},
		{"discharge of 404A 16/224 line 38", "R404A", DischargeTemp, values(r(vocab.SuctionPressure, 16, units.CodePSIG), r(vocab.DischargePressure, 224, units.CodePSIG), r(vocab.SuctionLineTemp, 38, units.CodeF)), "expected_discharge_temp", 209, 1, "", "trade-basis 1.6"},
		{"drier drop 4 psi", "", LiquidDrier, values(r(vocab.LiquidDrierDrop, 4, units.CodePSI)), "liquid_drier_drop", 4, 1e-9, limits.Watch, "trade-basis 2.8: over 3 psi"},
		{"60 lb 448A in a receiver of 1800 in3", "R448A", Receiver, values(r(vocab.SystemCharge, 60, units.CodePound), r(ReceiverVolume, 1800, units.CodeCubicInch)), "receiver_holds", 55.4, 0.6, limits.Bad, "trade-basis 7.1: 80 % at 90 F"},
		{"subcooling for 12 ft of 404A at 85 F", "R404A", LiftSubcooling, values(r(vocab.LiquidLift, 12, units.CodeFeet), r(vocab.LiquidLineTemp, 85, units.CodeF)), "liquid_static_loss", 5.3, 0.1, "", "trade-basis 2.8: 0.44 psi a foot at 85 F"},
		{"404A at 16 psig", "R404A", Saturation, values(r(vocab.SuctionPressure, 16, units.CodePSIG)), "dew", -20, 0.2, "", "trade-basis 1.6"},
		{"vacuum 260, 900 after 10, 1600 after 20 min", "", Vacuum, values(r(vocab.VacuumLevel, 260, units.CodeMicron), r(VacuumMid[0].Level, 900, units.CodeMicron), r(VacuumMid[0].After, 10, units.CodeMinute), r(vocab.VacuumRiseLevel, 1600, units.CodeMicron), r(vocab.VacuumHoldTime, 20, units.CodeMinute)), "vacuum_rise", 1340, 1e-6, limits.Bad, "trade-basis 6.4: straight, a leak"},
		{"pump-down 4 to 21 psi in 12 min, 1.1 ft3", "R404A", PumpdownLeak, values(r(vocab.PumpdownPressure, 4, units.CodePSIG), r(vocab.PumpdownRisePressure, 21, units.CodePSIG), r(vocab.PumpdownWaitTime, 12, units.CodeMinute), r(LowSideVolume, 1.1*1728, units.CodeCubicInch)), "leaked", 0.352, 0.011, limits.Bad, "trade-basis 3.3"},
	}
	rows = append(rows, moreQuestions...)
	for _, row := range rows {
		t.Run(row.text, func(t *testing.T) {
			got := Answer(Ask{About: row.about, Refrigerant: row.refrigerant, Values: row.given, On: day})
			require.NoError(t, got.Err)
			require.Empty(t, got.Missing)
			n, ok := got.Number(row.number)
			require.True(t, ok || row.number == "", "%+v", got)
			t.Logf("expected %s %g got %g %s; %q assumed %q; source: %s", row.number, row.want, n.Value, n.Unit, got.Lines, got.Assumed, row.source)
			assert.InDelta(t, row.want, n.Value, row.tol, row.source)
			assert.Equal(t, row.verdict, got.Verdict)
			assert.NotEmpty(t, got.Lines)
		})
	}
}

// The three questions of the brief, as they are typed.
func TestTypedQuestions(t *testing.T) {
	riser := Answer(Ask{About: SizeRiser, Refrigerant: "R448A", On: day, Values: values(r(EvaporatingTemp, -20, units.CodeF), r(vocab.Capacity, 9000, units.CodeBtuPerHour), r(vocab.MinCapacity, 3000, units.CodeBtuPerHour), r(vocab.RiserHeight, 14, units.CodeFeet))})
	require.NoError(t, riser.Err)
	t.Logf("%+v", riser)
	assert.NotEmpty(t, riser.Assumed, "suction gas, liquid and fittings were not said")
	shell := Answer(Ask{About: Accumulator, On: day, Values: values(r(vocab.SystemCharge, 38, units.CodePound))})
	t.Logf("%+v", shell)
	_, ok := shell.Number("accumulator_needed")
	assert.True(t, ok, "answered as a bracket")
	assert.Equal(t, vocab.Refrigerant, shell.Missing[0].Fact, "and the refrigerant asked for")
	flash := Answer(Ask{About: FlashCheck, Refrigerant: "R404A", On: day, Values: values(r(vocab.LiquidLineSize, 0.625, units.CodeInch), r(vocab.LiquidLift, 16, units.CodeFeet), r(vocab.DischargePressure, 210, units.CodePSIG), r(vocab.LiquidLineTemp, 92, units.CodeF))})
	require.NoError(t, flash.Err)
	t.Logf("%+v", flash)
	assert.Equal(t, limits.Bad, flash.Verdict, "it flashes on height and parts alone")
}

// targets are answered without a reading.
var targets = map[string]bool{Vacuum: true, Superheat: true, Cleanup: true, Envelope: true, LiquidDrier: true, Mixing: true, Subcooling: true, ShortCycling: true, HoldingTest: true, Retrofit: true, VacuumDanger: true, Insulation: true, PumpdownLeak: true}

func TestWhatIsMissingIsNamed(t *testing.T) {
	for about := range questions {
		got := Answer(Ask{About: about, On: day})
		assert.NoError(t, got.Err, about)
		if targets[about] {
			assert.NotEmpty(t, got.Lines, about)
			continue
		}
		assert.NotEmpty(t, got.Missing, about)
		assert.Empty(t, got.Numbers, about)
	}
}

func TestOutOfRangeNamesTheLimit(t *testing.T) {
	got := Answer(Ask{About: Insulation, Values: values(r(vocab.InsulationMegohms, 38, units.CodeMegohm), r(WindingTemp, 400, units.CodeC))})
	var out *cycle.RangeError
	require.ErrorAs(t, got.Err, &out)
	assert.Equal(t, 120.0, out.High)
	got = Answer(Ask{About: "weather"})
	var unknown *UnknownQuestionError
	assert.ErrorAs(t, got.Err, &unknown)
	got = Answer(Ask{About: Accumulator, Refrigerant: "R999", Values: values(r(vocab.SystemCharge, 38, units.CodePound))})
	assert.Error(t, got.Err)
	got = Answer(Ask{About: OilReturn, Refrigerant: "R404A", Values: values(r(vocab.SuctionPressure, 900, units.CodePSIG), r(vocab.Capacity, 9000, units.CodeBtuPerHour), r(vocab.RiserSize, 0.875, units.CodeInch))})
	assert.Error(t, got.Err)
}

func TestMetricAsksGetMetricAnswers(t *testing.T) {
	got := Answer(Ask{About: Accumulator, Refrigerant: "R448A", Values: values(r(vocab.SystemCharge, 20.87, units.CodeKilogram))})
	n, ok := got.Number("accumulator_needed")
	require.True(t, ok)
	assert.Equal(t, units.CodeLiter, n.Unit)
	assert.InDelta(t, 12.6, n.Value, 0.2, "770 in3; trade-basis 3.1")
}

// Whatever the values, a question is answered, refused or asked about: no panic, and
// no number that is none.
func TestAnyValuesAnswerRefuseOrAsk(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	fluids := [...]string{"", "R404A", "R448A", "R744", "R717", "R134a", "R22"}
	var abouts []string
	for about := range questions {
		abouts = append(abouts, about)
	}
	slices.Sort(abouts)
	for range 400 {
		given := map[vocab.Key]vocab.Reading{}
		for _, d := range vocab.Definitions() {
			if rng.IntN(3) > 0 {
				span, ok := limits.Plausible(d.Key, "")
				require.True(t, ok)
				given[d.Key] = r(d.Key, span.Low+(span.High-span.Low)*rng.Float64()*rng.Float64(), span.Unit)
			}
		}
		if rng.IntN(2) > 0 {
			given[EvaporatingTemp] = r(EvaporatingTemp, -80+200*rng.Float64(), units.CodeF)
		}
		for _, about := range abouts {
			got := Answer(Ask{About: about, Refrigerant: fluids[rng.IntN(len(fluids))], Values: given, On: day})
			assert.True(t, got.Err != nil || len(got.Missing) > 0 || len(got.Lines) > 0, "%s: neither answer, error nor question: %+v", about, got)
			for _, n := range got.Numbers {
				if got.Err == nil {
					assert.True(t, units.Finite(n.Value), "%s: %+v", about, n)
				}
			}
		}
	}
}
