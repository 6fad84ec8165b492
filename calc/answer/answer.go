// Package answer turns a question asked by text into computed numbers: what size,
// will it flash, how big an accumulator. Data only: the reply words it.
package answer

import (
	"time"

	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// Keys that only a question gives: no readings of a case.
const (
	EvaporatingTemp vocab.Key = "sat_suction_temp"
	CondensingTemp  vocab.Key = "sat_discharge_temp"
	Equivalent      vocab.Key = "equivalent_length" // pipe with its fittings
	SinceAdded      vocab.Key = "since_added"       // time since the last addition
	WindingTemp     vocab.Key = "winding_temp"
	HeaterWatts     vocab.Key = "heater_watts" // crankcase heater, as stamped
	HeaterVolts     vocab.Key = "heater_volts"
	HeaterAmps      vocab.Key = "heater_amps"
	RunTime         vocab.Key = "run_time" // shortest run and rest
	RestTime        vocab.Key = "rest_time"
	ReceiverVolume  vocab.Key = "receiver_volume"
	CondenserVolume vocab.Key = "condenser_volume"
	CoilVolume      vocab.Key = "coil_volume" // of the evaporator
	LowSideVolume   vocab.Key = "low_side_volume"
	LowSideTemp     vocab.Key = "low_side_temp" // of the gas in it
	CycleTime       vocab.Key = "cycle_time"    // from start to start
	LeakPct         vocab.Key = "leak_rate_pct"
	SolenoidDrop    vocab.Key = "solenoid_drop"
)

// VacuumMid are the looks at the gauge between the first and the last of a decay test.
var VacuumMid = [...]struct{ Level, After vocab.Key }{
	{"vacuum_mid_level", "vacuum_mid_time"},
	{"vacuum_mid_level_2", "vacuum_mid_time_2"},
	{"vacuum_mid_level_3", "vacuum_mid_time_3"},
}

// RollBefore and RollAfter are the amps of lines L1, L2, L3 before and after the
// leads were rolled one place.
var (
	RollBefore = [3]vocab.Key{"roll_before_a", "roll_before_b", "roll_before_c"}
	RollAfter  = [3]vocab.Key{"roll_after_a", "roll_after_b", "roll_after_c"}
)

// Ask is one question with everything that is known for it: what the question
// gives goes over what the case holds.
type Ask struct {
	About       string
	Refrigerant string
	Values      map[vocab.Key]vocab.Reading
	Facts       vocab.Facts
	Findings    map[vocab.Finding]bool
	Told        map[vocab.Circumstance]bool
	Said        map[string]bool // words beside the question that tell of one
	Standing    bool            // the machine is at rest
	On          time.Time       // the day, for dated rules
	Metric      *bool           // the sender's choice; nil follows what was typed
}

// Words beside a question, as Ask.Said has them.
const (
	StrongAcid  = "strong_acid"
	Burnout     = "burnout"
	LevelsOff   = "levels_off"
	KeepsRising = "keeps_rising"
	SinglePhase = "single_phase"
	Freezer     = "freezer"
	Cooler      = "cooler"
	POE         = "poe"
	StaysOnLine = "stays_on_line"
	MovesAlong  = "moves_along"
	VoltsEven   = "volts_even"
	HotGas      = "hot_gas"
	LiquidSide  = "liquid_side"
	Outdoors    = "outdoors"
	Flooded     = "flooded" // winter head control that floods the condenser
	HotGasMelts = "hot_gas_defrost"
)

// Number is one computed figure in the sender's units.
type Number struct {
	Name  string
	Value float64
	Unit  units.Code
}

// Missing is a value without which there is no answer.
type Missing struct {
	Key  vocab.Key
	Fact vocab.Fact // set instead of Key when a fact is missing
	Why  string
}

// Result answers a question. With Missing set there may be no number at all; with
// Err a value is out of what the calculation holds for, and Err says which.
type Result struct {
	About   string
	Numbers []Number
	Assumed []string // what was taken because it was not said
	Missing []Missing
	Verdict limits.Verdict // "" when the answer is a number and no judgement
	Lines   []string       // the answer in the trade's words, the most telling first
	Doubt   string         // why the refrigerant's own numbers may be off, and by how much
	Err     error
}

// Number finds a figure by its name.
func (r Result) Number(name string) (Number, bool) {
	for _, n := range r.Numbers {
		if n.Name == name {
			return n, true
		}
	}
	return Number{}, false
}

// Known reports whether a question of that name can be answered.
func Known(about string) bool { _, ok := questions[about]; return ok }

// Abouts of the questions that can be answered.
const (
	SizeRiser      = "size_riser"
	SizeSuction    = "size_suction"
	SizeLiquid     = "size_liquid"
	SizeDischarge  = "size_discharge"
	DoubleRiser    = "double_riser"
	Accumulator    = "accumulator"
	FlashCheck     = "flash_check"
	OilReturn      = "oil_return"
	ChargeEstimate = "charge_estimate"
	LeakRate       = "leak_rate"
	LPControl      = "lp_control"
	Vacuum         = "vacuum"
	HoldingTest    = "holding_test"
	PumpdownLeak   = "pumpdown_leak"
	Insulation     = "insulation"
	Windings       = "windings"
	Voltage        = "voltage"
	SuctionFilter  = "suction_filter"
	LiquidDrier    = "liquid_drier"
	Heater         = "heater_check"
	RollTest       = "roll_test"
	Current        = "current"
	ShortCycling   = "short_cycling"
	Cleanup        = "cleanup"
	Floodback      = "floodback"
	Envelope       = "envelope"
	DischargeTemp  = "discharge_temp"
	Superheat      = "superheat_target"
	Receiver       = "receiver"
	LiftSubcooling = "lift_subcooling"
	Saturation     = "saturation"
	Unbalance      = "unbalance" // of whatever legs are there
	Mixing         = "mixing"
	Subcooling     = "subcooling_target"
	MassFlow       = "mass_flow"
	LineLoss       = "line_loss"
	HotGasRiser    = "hot_gas_riser"
	SuperheatNow   = "superheat"
	SubcoolingNow  = "subcooling"
	CoilTD         = "coil_td"
	Split          = "condensing_split"
	Retrofit       = "retrofit"
	VacuumDanger   = "vacuum_danger"
)

var questions = map[string]func(*asked){
	SizeRiser: (*asked).sizeRiser, SizeSuction: (*asked).sizeSuction, SizeLiquid: (*asked).sizeLiquid,
	SizeDischarge: (*asked).sizeDischarge, DoubleRiser: (*asked).doubleRiser, Accumulator: (*asked).accumulator,
	FlashCheck: (*asked).flashCheck, OilReturn: (*asked).oilReturn, ChargeEstimate: (*asked).chargeEstimate,
	LeakRate: (*asked).leakRate, LPControl: (*asked).lpControl, Vacuum: (*asked).vacuum, HoldingTest: (*asked).holdingTest,
	PumpdownLeak: (*asked).pumpdownLeak, Insulation: (*asked).insulation, Windings: (*asked).windings,
	Voltage: (*asked).voltage, SuctionFilter: (*asked).suctionFilter, LiquidDrier: (*asked).liquidDrier,
	Heater: (*asked).heater, RollTest: (*asked).rollTest, Current: (*asked).current, ShortCycling: (*asked).shortCycling,
	Cleanup: (*asked).cleanup, Floodback: (*asked).floodback, Envelope: (*asked).envelope, DischargeTemp: (*asked).dischargeTemp,
	Superheat: (*asked).superheatTarget, Receiver: (*asked).receiver, LiftSubcooling: (*asked).liftSubcooling,
	Saturation: (*asked).saturation, Unbalance: (*asked).unbalance, Mixing: (*asked).mixing, Subcooling: (*asked).subcoolingTarget,
	MassFlow: (*asked).massFlow, LineLoss: (*asked).lineLoss, HotGasRiser: (*asked).hotGasRiser, SuperheatNow: (*asked).superheatNow,
	SubcoolingNow: (*asked).subcoolingNow, CoilTD: (*asked).coilTD, Split: (*asked).split, Retrofit: (*asked).retrofit, VacuumDanger: (*asked).vacuumDanger,
}

// UnknownQuestionError says that no calculation answers a question of that name.
type UnknownQuestionError struct{ About string }

func (e *UnknownQuestionError) Error() string { return "no calculation for " + e.About }

// Answer computes what was asked. It never guesses in silence: what is not said is
// taken as Assumed names, or asked for as Missing names.
func Answer(q Ask) Result {
	work, ok := questions[q.About]
	if !ok {
		return Result{About: q.About, Err: &UnknownQuestionError{About: q.About}}
	}
	a := newAsked(q)
	if a.r.Err == nil {
		work(a)
	}
	if a.r.Err != nil { // what was computed on the way rests on the value that failed
		a.r.Numbers, a.r.Lines, a.r.Verdict = nil, nil, ""
	}
	if a.fluid != nil && len(a.r.Numbers) > 0 {
		a.r.Doubt = a.fluid.Doubt()
	}
	return a.r
}
