package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// What was wanted is computed apart from this code from the formulas of trade-basis with
// the states of the property engine; the section is named.
var moreQuestions = []question{
	{"mass flow 404A -20 evap 60000", "R404A", MassFlow, values(r(EvaporatingTemp, -20, units.CodeF), r(vocab.Capacity, 60000, units.CodeBtuPerHour)), "mass_flow", 1246, 2, "", "trade-basis 2.1"},
	{"90 ft of 1-1/8 suction 404A -20 24000", "R404A", LineLoss, values(r(EvaporatingTemp, -20, units.CodeF), r(vocab.Capacity, 24000, units.CodeBtuPerHour), r(vocab.SuctionRun, 90, units.CodeFeet), r(vocab.SuctionLineSize, 1.125, units.CodeInch)), "penalty", 3.42, 0.02, limits.Watch, "trade-basis 2.6"},
	{"210 ft equivalent of 1-5/8 134a 30 8 ton", "R134a", LineLoss, values(r(EvaporatingTemp, 30, units.CodeF), r(vocab.Capacity, 8, units.CodeTon), r(Equivalent, 210, units.CodeFeet), r(vocab.SuctionLineSize, 1.625, units.CodeInch)), "penalty", 3.55, 0.05, limits.Watch, "trade-basis 2.6"},
	{"1-1/8 discharge 80 ft 134a 5 ton 20/110", "R134a", LineLoss, values(r(EvaporatingTemp, 20, units.CodeF), r(CondensingTemp, 110, units.CodeF), r(vocab.Capacity, 5, units.CodeTon), r(vocab.SuctionRun, 80, units.CodeFeet), r(vocab.DischargeLineSize, 1.125, units.CodeInch)), "penalty", 0.58, 0.01, limits.OK, "trade-basis 2.6"},
	{"5/8 liquid 200 ft 448A 50000", "R448A", LineLoss, values(r(vocab.Capacity, 50000, units.CodeBtuPerHour), r(vocab.LiquidRun, 200, units.CodeFeet), r(vocab.LiquidLineSize, 0.625, units.CodeInch)), "friction", 3.56, 0.03, limits.OK, "trade-basis 2.8"},
	{"7/8 hot gas riser 404A 36000 105, half load", "R404A", HotGasRiser, values(r(CondensingTemp, 105, units.CodeF), r(vocab.Capacity, 36000, units.CodeBtuPerHour), r(vocab.MinCapacity, 50, units.CodePercent), r(vocab.RiserSize, 0.875, units.CodeInch)), "oil_ratio_min", 1.55, 0.01, limits.OK, "trade-basis 2.4"},
	{"least load of 1-5/8 507A -25", "R507A", OilReturn, values(r(EvaporatingTemp, -25, units.CodeF), r(vocab.RiserSize, 1.625, units.CodeInch)), "riser_min_capacity", 18394, 40, "", "trade-basis 2.3"},
	{"superheat 449A 40 psig 52 F", "R449A", SuperheatNow, values(r(vocab.SuctionPressure, 40, units.CodePSIG), r(vocab.SuctionLineTemp, 52, units.CodeF)), "total_superheat", 35.55, 0.05, limits.OK, "trade-basis 1.3"},
	{"superheat 404A 16 psig -15", "R404A", SuperheatNow, values(r(vocab.SuctionPressure, 16, units.CodePSIG), r(vocab.SuctionLineTemp, -15.5, units.CodeF)), "total_superheat", 4.5, 0.2, limits.Stop, "trade-basis 1.3: under 5 F"},
	{"subcooling of the worked example", "R404A", SubcoolingNow, values(r(vocab.LiquidPressure, 222, units.CodePSIG), r(vocab.LiquidLineTemp, 90, units.CodeF)), "subcooling", 5.6, 0.2, "", "trade-basis 1.6 worked"},
	{"TD of the worked example", "R404A", CoilTD, values(r(vocab.SuctionPressure, 16, units.CodePSIG), r(vocab.BoxTemp, -6, units.CodeF)), "evap_td", 14, 0.2, limits.Watch, "trade-basis 1.6 worked"},
	{"TD of 36 over 20, no refrigerant", "", CoilTD, values(r(EvaporatingTemp, 20, units.CodeF), r(vocab.BoxTemp, 36, units.CodeF)), "evap_td", 16, 1e-9, limits.Watch, "trade-basis 1.7"},
	{"split of the worked example", "R404A", Split, values(r(vocab.DischargePressure, 224, units.CodePSIG), r(vocab.AmbientTemp, 81, units.CodeF)), "condensing_split", 15.5, 0.2, limits.OK, "trade-basis 1.6 worked"},
	{"envelope 404A -25/120", "R404A", Envelope, values(r(EvaporatingTemp, -25, units.CodeF), r(CondensingTemp, 120, units.CodeF)), "expected_discharge_temp", 198.6, 0.3, limits.Bad, "trade-basis 1.6"},
	{"dlt 210", "R404A", DischargeTemp, values(r(vocab.DischargeLineTemp, 210, units.CodeF)), "", 0, 0, limits.Watch, "trade-basis 1.5: 200-225"},
	{"dlt 225", "R404A", DischargeTemp, values(r(vocab.DischargeLineTemp, 225, units.CodeF)), "", 0, 0, limits.Bad, "trade-basis 1.5: from 225"},
	{"dlt 250", "R404A", DischargeTemp, values(r(vocab.DischargeLineTemp, 250, units.CodeF)), "", 0, 0, limits.Stop, "trade-basis 1.5: from 250"},
	{"vacuum 350, 600 in 5, 720 in 10, 760 in 20", "", Vacuum, values(r(vocab.VacuumLevel, 350, units.CodeMicron), r(VacuumMid[0].Level, 600, units.CodeMicron), r(VacuumMid[0].After, 5, units.CodeMinute), r(VacuumMid[1].Level, 720, units.CodeMicron), r(VacuumMid[1].After, 10, units.CodeMinute), r(vocab.VacuumRiseLevel, 760, units.CodeMicron), r(vocab.VacuumHoldTime, 20, units.CodeMinute)), "vacuum_rise", 410, 1e-6, limits.OK, "trade-basis 6.4: under 1000, levelling"},
	{"leak-by a recycling control makes of 4 to 21 in 12", "", PumpdownLeak, values(r(vocab.PumpdownPressure, 4, units.CodePSIG), r(vocab.PumpdownRisePressure, 21, units.CodePSIG), r(vocab.PumpdownWaitTime, 12, units.CodeMinute)), "cycles_per_hour", 60 / (10/(17.0/12) + 2), 1e-3, limits.Bad, "trade-basis 3.3: 1 h/(rest + run)"},
	{"leak-by of 448A 5 to 30 in 20 min, 2 ft3 at 50 F", "R448A", PumpdownLeak, values(r(vocab.PumpdownPressure, 5, units.CodePSIG), r(vocab.PumpdownRisePressure, 30, units.CodePSIG), r(vocab.PumpdownWaitTime, 20, units.CodeMinute), r(LowSideVolume, 3456, units.CodeCubicInch), r(LowSideTemp, 50, units.CodeF)), "leaked_per_hour", 2.58, 0.02, limits.Bad, "trade-basis 3.3"},
	{"charge 180 ft 5/8 and 1-3/8, 1800 in3 receiver, 404A", "R404A", ChargeEstimate, values(r(vocab.LiquidLineSize, 0.625, units.CodeInch), r(vocab.LiquidRun, 180, units.CodeFeet), r(vocab.SuctionLineSize, 1.375, units.CodeInch), r(vocab.SuctionRun, 180, units.CodeFeet), r(ReceiverVolume, 1800, units.CodeCubicInch)), "charge", 33.71, 0.1, "", "trade-basis 7.1"},
	{"charge of coils and line, 134a", "R134a", ChargeEstimate, values(r(vocab.LiquidLineSize, 0.5, units.CodeInch), r(vocab.LiquidRun, 80, units.CodeFeet), r(CondenserVolume, 500, units.CodeCubicInch), r(CoilVolume, 300, units.CodeCubicInch)), "charge", 13.81, 0.05, "", "trade-basis 7.1"},
	{"accumulator for 110 lb of 404A, 0.5", "R404A", Accumulator, values(r(vocab.SystemCharge, 110, units.CodePound)), "accumulator_needed", 2687.9 * 5 / 7, 3, "", "trade-basis 3.1"},
}

func TestHotGasDefrostAsksALargerAccumulator(t *testing.T) {
	got := Answer(Ask{About: Accumulator, Refrigerant: "R404A", Told: map[vocab.Circumstance]bool{vocab.HotGasDefrost: true}, On: day, Values: values(r(vocab.SystemCharge, 110, units.CodePound))})
	n, _ := got.Number("accumulator_needed")
	assert.InDelta(t, 2687.9, n.Value, 3, "trade-basis 3.1: 70 %% of the charge")
}

// A test pressure typed in bar or kPa is answered in that.
func TestGaugesAnswerInTheirOwnUnit(t *testing.T) {
	for unit, scale := range map[units.Code]float64{units.CodeBar: 1, units.CodeKPa: 100} {
		got := Answer(Ask{About: HoldingTest, On: day, Values: values(r(vocab.TestPressureStart, 25*scale, unit), r(vocab.TestTempStart, 30, units.CodeC), r(vocab.TestPressureEnd, 23.8*scale, unit), r(vocab.TestTempEnd, 18, units.CodeC))})
		require.NoError(t, got.Err)
		n, ok := got.Number("expected")
		require.True(t, ok)
		assert.Equal(t, unit, n.Unit)
		assert.InDelta(t, 23.97*scale, n.Value, 0.01*scale, "trade-basis 6.3: (25 + 1.013) 291.15/303.15 - 1.013")
	}
}

// One metric unit among others makes nobody metric.
func TestMostUnitsTellTheWorldOfTheAsker(t *testing.T) {
	got := Answer(Ask{About: MassFlow, Refrigerant: "R404A", On: day, Values: values(r(EvaporatingTemp, -20, units.CodeF), r(vocab.LiquidLineTemp, 90, units.CodeF), r(vocab.Capacity, 17.58, units.CodeKilowatt))})
	n, ok := got.Number("mass_flow")
	require.True(t, ok)
	assert.Equal(t, units.CodePoundPerHour, n.Unit)
	assert.InDelta(t, 1246, n.Value, 3)
}

func TestOutdoorControlAsksForTheColdestAir(t *testing.T) {
	got := Answer(Ask{About: LPControl, Refrigerant: "R404A", Said: map[string]bool{Freezer: true, Outdoors: true}, On: day})
	require.NoError(t, got.Err)
	require.Len(t, got.Missing, 1)
	assert.Equal(t, vocab.AmbientTemp, got.Missing[0].Key)
	assert.NotEmpty(t, got.Lines, "answered for the box all the same")
	_, ok := got.Number("cut_in")
	assert.True(t, ok)
}

func TestALeakWithNoTotalAsksForIt(t *testing.T) {
	got := Answer(Ask{About: LeakRate, On: day, Values: values(r(vocab.ChargeAdded, 12, units.CodePound), r(SinceAdded, 91, units.CodeDay))})
	require.Len(t, got.Missing, 1)
	assert.Equal(t, vocab.SystemCharge, got.Missing[0].Key)
	assert.Empty(t, got.Numbers)
}
