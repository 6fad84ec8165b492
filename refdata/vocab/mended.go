package vocab

import "slices"

// What was put right: from then on what it mends is told of the machine as it was.
const (
	BulbMended       Circumstance = "bulb_mended"
	FansMended       Circumstance = "fans_mended"
	CondenserWashed  Circumstance = "condenser_washed"
	SolenoidChanged  Circumstance = "solenoid_changed"
	CoilDefrosted    Circumstance = "coil_defrosted"
	HeaterMended     Circumstance = "heater_mended"
	LeakMended       Circumstance = "leak_mended"
	ChargeWeighed    Circumstance = "charge_weighed" // recovered or flat, and filled by weight
	DrierChanged     Circumstance = "drier_changed"
	ValveChanged     Circumstance = "valve_changed"     // expansion valve or its element
	ContactorChanged Circumstance = "contactor_changed" // contactor, fuse or lug put right
)

// What a repair moves: the readings that were taken before it say nothing any more. The
// suction gauge stays on while a bulb is strapped, so its reading is kept beside the
// new pipe temperature.
var (
	lowSide  = []Key{SuctionLineTemp, EvapOutletTemp, Superheat, SumpTemp, DischargeLineTemp}
	highSide = []Key{DischargePressure, LiquidPressure, LiquidLineTemp, Subcooling, DischargeLineTemp}
	circuit  = append([]Key{SuctionPressure}, append(slices.Clone(lowSide), highSide...)...)
)

// mends names the findings and circumstances that a repair ends, and the readings that
// it moves.
var mends = map[Circumstance]struct {
	findings      []Finding
	circumstances []Circumstance
	readings      []Key
}{
	BulbMended:       {[]Finding{BulbLoose}, []Circumstance{BulbNoAnswer}, lowSide},
	FansMended:       {[]Finding{FanFailed}, []Circumstance{FanEvapFailed, CondenserFanOff, AirflowLow}, append(slices.Clone(lowSide), highSide...)},
	CondenserWashed:  {nil, []Circumstance{CondenserDirty, HighHeadTrip}, highSide},
	SolenoidChanged:  {[]Finding{SolenoidLeaking}, []Circumstance{HandValveShutHolds, RestartsWithNoCall}, []Key{PumpdownPressure, PumpdownRisePressure, PumpdownWaitTime}},
	CoilDefrosted:    {[]Finding{CoilIced}, nil, lowSide},
	HeaterMended:     {[]Finding{HeaterFailed}, nil, []Key{SumpTemp}},
	LeakMended:       {nil, []Circumstance{OilLeakSpot}, nil},
	ChargeWeighed:    {[]Finding{FlashInSightglass}, []Circumstance{GasAdded, BubblesInGlass, PartCoilFrost, ChargeGone, Noncondensables, MixedGas, GasUnsure}, circuit},
	DrierChanged:     {[]Finding{DrierPlugged, FlashInSightglass}, []Circumstance{DrierCold, GlassBoilingAfterDrier, BubblesInGlass}, append([]Key{LiquidDrierDrop}, circuit...)},
	ValveChanged:     {[]Finding{BulbLoose}, []Circumstance{OverfeedingValve, BulbNoAnswer, ValveScreenPlugged}, circuit},
	ContactorChanged: {nil, []Circumstance{ContactorBad, PhaseLost, TerminalsLoose}, []Key{AmpsA, AmpsB, AmpsC, VoltsAb, VoltsBc, VoltsCa}},
}

// MendsFinding reports a repair that ends a finding.
func (c Circumstance) MendsFinding(f Finding) bool { return slices.Contains(mends[c].findings, f) }

// Mends reports a repair that ends another circumstance.
func (c Circumstance) Mends(o Circumstance) bool { return slices.Contains(mends[c].circumstances, o) }

// Moves reports a repair after which an earlier reading says nothing.
func (c Circumstance) Moves(k Key) bool { return slices.Contains(mends[c].readings, k) }

// Repairs reports that something was put right.
func (c Circumstance) Repairs() bool { _, ok := mends[c]; return ok }
