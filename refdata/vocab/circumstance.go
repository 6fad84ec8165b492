package vocab

import "strings"

// The circumstances of trade-basis 5.5 that messages tell of. The list grows
// with the rules that use it.
const (
	// When the trouble comes.
	StartTroubleOnly      Circumstance = "start_trouble_only"    // first minutes after a start, dry afterwards
	BangAfterDefrost      Circumstance = "bang_after_defrost"    // at defrost end, power return or when a valve opens
	KnockAtLoadUp         Circumstance = "knock_at_load_up"      // knock or over-full glass when it loads up
	OilFallsAtLowLoad     Circumstance = "oil_falls_at_low_load" // level falls at low load, comes back at full load
	OilAddedAndGone       Circumstance = "oil_added_and_gone"    // added more than once and gone again
	OilSafetyTrips        Circumstance = "oil_safety_trips"
	OilSafetyJumped       Circumstance = "oil_safety_jumped"
	PartCoilFrost         Circumstance = "part_coil_frost"     // only the first part of the coil frosted
	NoPullDownClosed      Circumstance = "no_pull_down_closed" // no pull-down against a closed suction valve
	RecyclingPumpdown     Circumstance = "recycling_pumpdown"  // low-pressure control alone restarts it
	OneTimePumpdown       Circumstance = "one_time_pumpdown"
	RestartsWithNoCall    Circumstance = "restarts_with_no_call" // runs with the box satisfied
	CondenserDirty        Circumstance = "condenser_dirty"
	CondenserFanOff       Circumstance = "condenser_fan_off"
	PhaseLost             Circumstance = "phase_lost" // burnt contactor pole, one open fuse, dead leg
	SinglePhaseSupply     Circumstance = "single_phase_supply"
	EarlierBurnout        Circumstance = "earlier_burnout"
	BrazedWithoutNitrogen Circumstance = "brazed_without_nitrogen"
	VacuumByClock         Circumstance = "vacuum_by_clock"
	MoistureSeen          Circumstance = "moisture_seen"       // indicator shows wet
	ColoredValvePlate     Circumstance = "colored_valve_plate" // heat colours, baked on
	CompressorChanged     Circumstance = "compressor_changed"  // readings from here on are of the replacement
	Dead                  Circumstance = "dead"                // will not run
	Humming               Circumstance = "humming"
	TripsAtOnce           Circumstance = "trips_at_once"
	OpenedUp              Circumstance = "opened_up" // the compressor was taken apart
	OilAdded              Circumstance = "oil_added"
	GasAdded              Circumstance = "gas_added"
	ReceiverFull          Circumstance = "receiver_full" // half or more
	GlassClear            Circumstance = "glass_clear"
	HasReceiver           Circumstance = "has_receiver"
	RemoteCondenser       Circumstance = "remote_condenser"
	Subcooler             Circumstance = "subcooler"
	LiquidInjection       Circumstance = "liquid_injection"
	LineBare              Circumstance = "line_bare" // suction line uninsulated
	HotGasDefrost         Circumstance = "hot_gas_defrost"

	// What the tech means to do next: a caution comes before the step.
	MeansToRestart      Circumstance = "means_to_restart"
	MeansToAddGas       Circumstance = "means_to_add_gas"
	MeansToAddOil       Circumstance = "means_to_add_oil"
	MeansToOpen         Circumstance = "means_to_open" // open the circuit or the compressor
	MeansToBraze        Circumstance = "means_to_braze"
	MeansToMeasureLive  Circumstance = "means_to_measure_live"
	MeansToPressureTest Circumstance = "means_to_pressure_test"
)

// More circumstances that messages tell of.
const (
	GlassBoilingAfterDrier  Circumstance = "glass_boiling_after_drier"
	GlassBoilingAtValve     Circumstance = "glass_boiling_at_valve"
	BubblesInGlass          Circumstance = "bubbles_in_glass"
	InjectionFailed         Circumstance = "injection_failed"
	OilBurntSmell           Circumstance = "oil_burnt_smell"
	OilLeakSpot             Circumstance = "oil_leak_spot" // an oily spot, or the leak itself
	BulbNoAnswer            Circumstance = "bulb_no_answer"
	ValveScreenPlugged      Circumstance = "valve_screen_plugged"
	DrierCold               Circumstance = "drier_cold"
	CoresPulled             Circumstance = "cores_pulled"
	OtherUnitPressures      Circumstance = "other_unit_pressures"
	HandValveShutHolds      Circumstance = "hand_valve_shut_holds"
	HandValveShutRises      Circumstance = "hand_valve_shut_rises"
	SuctionValveClosedHolds Circumstance = "suction_valve_closed_holds"
	VoltsSag                Circumstance = "volts_sag"
	HighLegFollowsLine      Circumstance = "high_leg_follows_line"
	HighLegFollowsMotor     Circumstance = "high_leg_follows_motor"
	ColdWeather             Circumstance = "cold_weather"
	OverfilledOil           Circumstance = "overfilled_oil"
	TerminalsLoose          Circumstance = "terminals_loose"
	ContactorBad            Circumstance = "contactor_bad"
	FanEvapFailed           Circumstance = "fan_evap_failed"
	DefrostBad              Circumstance = "defrost_bad"
	OverfeedingValve        Circumstance = "overfeeding_valve"
	AirflowLow              Circumstance = "airflow_low"
	Noncondensables         Circumstance = "noncondensables"
	Trips                   Circumstance = "trips"          // on overload or a safety, while it runs
	HighHeadTrip            Circumstance = "high_head_trip" // the high-pressure control opens
	SwappedGauges           Circumstance = "swapped_gauges" // head read under suction in one breath
	SupplyVolts             Circumstance = "supply_volts"   // volts of the feed or without load, not the running machine's
	MixedGas                Circumstance = "mixed_gas"      // topped with another refrigerant
)

// Dangers that a step may hold, where the tech stands, and what was done to the
// supply.
const (
	MeansToIsolate   Circumstance = "means_to_isolate"   // shut valves at both ends of something
	MeansToChange    Circumstance = "means_to_change"    // change the compressor
	MeansToCutShell  Circumstance = "means_to_cut_shell" // open a welded shell
	MeansToVent      Circumstance = "means_to_vent"      // let the charge out
	MeansToRecover   Circumstance = "means_to_recover"
	MeansToMegger    Circumstance = "means_to_megger"
	MeansToConvert   Circumstance = "means_to_convert" // put another refrigerant in
	MeansToPumpDown  Circumstance = "means_to_pump_down"
	ShopAir          Circumstance = "shop_air" // oxygen or shop air for a test or to blow a line out
	HeatsCylinder    Circumstance = "heats_cylinder"
	ReliefValve      Circumstance = "relief_valve"         // a relief valve comes up
	UnderVacuum      Circumstance = "under_vacuum"         // a vacuum pump is on it
	Drive            Circumstance = "drive"                // inverter or variable-speed drive
	OnRoof           Circumstance = "on_roof"              // the tech stands on a roof or ladder
	ClosedRoom       Circumstance = "closed_room"          // machinery room, cellar, pit
	GasUnsure        Circumstance = "gas_unsure"           // the label is missing or it was converted
	PowerWork        Circumstance = "power_work"           // wiring or supply was just worked on
	RunsBackwards    Circumstance = "runs_backwards"       // a scroll or screw that turns the wrong way
	LeftOpen         Circumstance = "left_open"            // the circuit stood open to the air, or water got in
	VacuumLevels     Circumstance = "vacuum_levels"        // the vacuum rises, then stands
	VacuumRises      Circumstance = "vacuum_rises"         // the vacuum rises and goes on
	ChargeGone       Circumstance = "charge_gone"          // flat: no gas left in it
	ScrollBroken     Circumstance = "scroll_broken"        // tips, wraps or Oldham ring broken
	SteadyFoam       Circumstance = "steady_foam"          // oil foams all the time, not only at the start
	DischargeWarmOff Circumstance = "discharge_warm_off"   // discharge line or head warm while it stands
	HandValveShut    Circumstance = "hand_valve_shut"      // the liquid was shut off by hand for a rise test
	EqualRunning     Circumstance = "equal_running"        // both sides read the same while it runs
	Thawed           Circumstance = "comes_back_by_itself" // it stops cooling and comes back by itself
	SafetyJumped     Circumstance = "safety_jumped"        // a safety or overload is jumped, or is to be
	WorksLive        Circumstance = "works_live"           // hands or meter on live parts
	MeansToReachIn   Circumstance = "means_to_reach_in"    // hands at wires, fans or belts
	MeansToWash      Circumstance = "means_to_wash"        // clean a coil with fans about
	CompressorAsPump Circumstance = "compressor_as_pump"   // pump air or a vacuum with the compressor
	BoxWarm          Circumstance = "box_warm"             // what it cools does not get cold enough
	LowTrip          Circumstance = "low_trip"             // stops on low pressure or on a freeze stat
	HeatingMode      Circumstance = "heating_mode"         // a heat pump that heats: the outdoor coil evaporates
	Hunting          Circumstance = "hunting"              // the superheat swings
	GasRelease       Circumstance = "gas_release"          // gas is in the air where people are
	IndoorUnit       Circumstance = "indoor_unit"          // the machine stands in a warm room
	OtherGasAtHand   Circumstance = "other_gas_at_hand"    // on the truck, not in the system
)

// Dangerous reports a step or a thing told of that can hurt whether or not the
// machine is in order.
func Dangerous(c Circumstance) bool {
	switch c {
	case MeansToBraze, MeansToPressureTest, MeansToIsolate, MeansToChange, MeansToCutShell, MeansToVent, MeansToRecover,
		MeansToMegger, MeansToConvert, MeansToAddGas, MeansToReachIn, MeansToWash, WorksLive, ShopAir, HeatsCylinder, ReliefValve,
		OilSafetyJumped, SafetyJumped, CompressorAsPump, UnderVacuum, OnRoof, GasRelease:
		return true
	}
	return false
}

// Announces reports a step that the tech means to take.
func (c Circumstance) Announces() bool { return strings.HasPrefix(string(c), "means_to_") }

// AllCircumstances lists every circumstance.
func AllCircumstances() []Circumstance {
	return []Circumstance{
		StartTroubleOnly,
		BangAfterDefrost,
		KnockAtLoadUp,
		OilFallsAtLowLoad,
		OilAddedAndGone,
		OilSafetyTrips,
		OilSafetyJumped,
		PartCoilFrost,
		NoPullDownClosed,
		RecyclingPumpdown,
		OneTimePumpdown,
		RestartsWithNoCall,
		CondenserDirty,
		CondenserFanOff,
		PhaseLost,
		SinglePhaseSupply,
		EarlierBurnout,
		BrazedWithoutNitrogen,
		VacuumByClock,
		MoistureSeen,
		ColoredValvePlate,
		CompressorChanged,
		Dead,
		Humming,
		TripsAtOnce,
		OpenedUp,
		OilAdded,
		GasAdded,
		ReceiverFull,
		GlassClear,
		HasReceiver,
		RemoteCondenser,
		Subcooler,
		LiquidInjection,
		LineBare,
		HotGasDefrost,
		MeansToRestart,
		MeansToAddGas,
		MeansToAddOil,
		MeansToOpen,
		MeansToBraze,
		MeansToMeasureLive,
		MeansToPressureTest,
		GlassBoilingAfterDrier,
		GlassBoilingAtValve,
		BubblesInGlass,
		InjectionFailed,
		OilBurntSmell,
		OilLeakSpot,
		BulbNoAnswer,
		ValveScreenPlugged,
		DrierCold,
		CoresPulled,
		OtherUnitPressures,
		HandValveShutHolds,
		HandValveShutRises,
		SuctionValveClosedHolds,
		VoltsSag,
		HighLegFollowsLine,
		HighLegFollowsMotor,
		ColdWeather,
		OverfilledOil,
		TerminalsLoose,
		ContactorBad,
		FanEvapFailed,
		DefrostBad,
		OverfeedingValve,
		AirflowLow,
		Noncondensables,
		Trips,
		HighHeadTrip,
		SwappedGauges,
		SupplyVolts,
		MixedGas,
		MeansToIsolate,
		MeansToChange,
		MeansToCutShell,
		MeansToVent,
		MeansToRecover,
		MeansToMegger,
		MeansToConvert,
		OtherGasAtHand,
		MeansToPumpDown,
		ShopAir,
		HeatsCylinder,
		ReliefValve,
		UnderVacuum,
		Drive,
		OnRoof,
		ClosedRoom,
		GasUnsure,
		PowerWork,
		RunsBackwards,
		LeftOpen,
		VacuumLevels,
		VacuumRises,
		ChargeGone,
		ScrollBroken,
		SteadyFoam,
		DischargeWarmOff,
		HandValveShut,
		EqualRunning,
		Thawed,
		SafetyJumped,
		WorksLive,
		MeansToReachIn,
		MeansToWash,
		CompressorAsPump,
		BoxWarm,
		LowTrip,
		HeatingMode,
		Hunting,
		GasRelease,
		IndoorUnit,
		BulbMended,
		FansMended,
		CondenserWashed,
		SolenoidChanged,
		CoilDefrosted,
		HeaterMended,
		LeakMended,
		ChargeWeighed,
		DrierChanged,
		ValveChanged,
		ContactorChanged,
	}
}
