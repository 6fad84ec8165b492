package vocab

import "coldcase/refdata/units"

// The reading keys (readings.md).
const (
	SuctionPressure      Key = "suction_pressure"
	DischargePressure    Key = "discharge_pressure"
	LiquidPressure       Key = "liquid_pressure"
	NetOilPressure       Key = "net_oil_pressure"
	SuctionFilterDrop    Key = "suction_filter_drop"
	LiquidDrierDrop      Key = "liquid_drier_drop"
	CutInPressure        Key = "cut_in_pressure"
	CutOutPressure       Key = "cut_out_pressure"
	TestPressureStart    Key = "test_pressure_start"
	TestPressureEnd      Key = "test_pressure_end"
	SuctionLineTemp      Key = "suction_line_temp"
	EvapOutletTemp       Key = "evap_outlet_temp"
	LiquidLineTemp       Key = "liquid_line_temp"
	DischargeLineTemp    Key = "discharge_line_temp"
	SumpTemp             Key = "sump_temp"
	BoxTemp              Key = "box_temp"
	AmbientTemp          Key = "ambient_temp"
	TestTempStart        Key = "test_temp_start"
	TestTempEnd          Key = "test_temp_end"
	Superheat            Key = "superheat"
	Subcooling           Key = "subcooling"
	RiserHeight          Key = "riser_height"
	RiserSize            Key = "riser_size"
	SuctionLineSize      Key = "suction_line_size"
	LiquidLineSize       Key = "liquid_line_size"
	DischargeLineSize    Key = "discharge_line_size"
	SuctionRun           Key = "suction_run"
	LiquidRun            Key = "liquid_run"
	LiquidLift           Key = "liquid_lift"
	Capacity             Key = "capacity"
	MinCapacity          Key = "min_capacity"
	SystemCharge         Key = "system_charge"
	ChargeAdded          Key = "charge_added"
	AccumulatorVolume    Key = "accumulator_volume"
	Altitude             Key = "altitude"
	VoltsAb              Key = "volts_ab"
	VoltsBc              Key = "volts_bc"
	VoltsCa              Key = "volts_ca"
	AmpsA                Key = "amps_a"
	AmpsB                Key = "amps_b"
	AmpsC                Key = "amps_c"
	RatedVolts           Key = "rated_volts"
	RatedAmps            Key = "rated_amps"
	LockedRotorAmps      Key = "locked_rotor_amps"
	OhmsAb               Key = "ohms_ab"
	OhmsBc               Key = "ohms_bc"
	OhmsCa               Key = "ohms_ca"
	InsulationMegohms    Key = "insulation_megohms"
	VacuumLevel          Key = "vacuum_level"
	VacuumRiseLevel      Key = "vacuum_rise_level"
	VacuumHoldTime       Key = "vacuum_hold_time"
	PumpdownPressure     Key = "pumpdown_pressure"
	PumpdownRisePressure Key = "pumpdown_rise_pressure"
	PumpdownWaitTime     Key = "pumpdown_wait_time"
	StartsPerHour        Key = "starts_per_hour"
	CompressorAge        Key = "compressor_age"
)

// The facts.
const (
	Refrigerant         Fact = "refrigerant"
	CompressorType      Fact = "compressor_type"
	Metering            Fact = "metering"
	Application         Fact = "application"
	HasAccumulator      Fact = "has_accumulator"
	HasOilSeparator     Fact = "has_oil_separator"
	HasSuctionTrap      Fact = "has_suction_trap"
	HasPumpdownSolenoid Fact = "has_pumpdown_solenoid"
	HasCrankcaseHeater  Fact = "has_crankcase_heater"
	HasSuctionFilter    Fact = "has_suction_filter"
	Unit                Fact = "unit"
	Site                Fact = "site"
	Case                Fact = "case"
)

// The findings.
const (
	ReedBrokenSuction      Finding = "reed_broken_suction"
	ReedBrokenDischarge    Finding = "reed_broken_discharge"
	ReedBroken             Finding = "reed_broken"
	ValvePlateDamaged      Finding = "valve_plate_damaged"
	HeadGasketBlown        Finding = "head_gasket_blown"
	PistonDamaged          Finding = "piston_damaged"
	PistonScored           Finding = "piston_scored"
	RodBroken              Finding = "rod_broken"
	RodsWornEvenly         Finding = "rods_worn_evenly"
	RodsWornProgressive    Finding = "rods_worn_progressive"
	BearingWorn            Finding = "bearing_worn"
	CrankScored            Finding = "crank_scored"
	MetalInOil             Finding = "metal_in_oil"
	OilLevelNormal         Finding = "oil_level_normal"
	OilLevelLow            Finding = "oil_level_low"
	OilGone                Finding = "oil_gone"
	OilClean               Finding = "oil_clean"
	OilDark                Finding = "oil_dark"
	OilAcid                Finding = "oil_acid"
	OilFoaming             Finding = "oil_foaming"
	OilDiluted             Finding = "oil_diluted"
	CopperPlating          Finding = "copper_plating"
	CarbonOnValves         Finding = "carbon_on_valves"
	WindingSpotBurn        Finding = "winding_spot_burn"
	WindingEvenBurn        Finding = "winding_even_burn"
	WindingSinglePhaseBurn Finding = "winding_single_phase_burn"
	Grounded               Finding = "grounded"
	OpenWinding            Finding = "open_winding"
	LockedRotor            Finding = "locked_rotor"
	PressuresEqualized     Finding = "pressures_equalized"
	NoisyStart             Finding = "noisy_start"
	ShellColdOrSweating    Finding = "shell_cold_or_sweating"
	FrostOnShell           Finding = "frost_on_shell"
	FanFailed              Finding = "fan_failed"
	CoilIced               Finding = "coil_iced"
	DrierPlugged           Finding = "drier_plugged"
	ShortCycling           Finding = "short_cycling"
	HeaterFailed           Finding = "heater_failed"
	SolenoidLeaking        Finding = "solenoid_leaking"
	BulbLoose              Finding = "bulb_loose"
	FlashInSightglass      Finding = "flash_in_sightglass"
)

var definitions = []Definition{
	{SuctionPressure, "low side, at the compressor", GaugePressure, units.CodePSIG},
	{DischargePressure, "high side, at the compressor", GaugePressure, units.CodePSIG},
	{LiquidPressure, "at the receiver outlet or liquid line", GaugePressure, units.CodePSIG},
	{NetOilPressure, "oil pump outlet less crankcase", PressureDrop, units.CodePSI},
	{SuctionFilterDrop, "drop across the suction filter", PressureDrop, units.CodePSI},
	{LiquidDrierDrop, "drop across the liquid-line drier", PressureDrop, units.CodePSI},
	{CutInPressure, "low-pressure control cut-in", GaugePressure, units.CodePSIG},
	{CutOutPressure, "low-pressure control cut-out", GaugePressure, units.CodePSIG},
	{TestPressureStart, "holding test, pressure at the start", GaugePressure, units.CodePSIG},
	{TestPressureEnd, "holding test, pressure at the end", GaugePressure, units.CodePSIG},
	{SuctionLineTemp, "suction line at the compressor inlet", Temperature, units.CodeF},
	{EvapOutletTemp, "suction line at the coil outlet (sensing bulb)", Temperature, units.CodeF},
	{LiquidLineTemp, "liquid line leaving the condenser or receiver", Temperature, units.CodeF},
	{DischargeLineTemp, "discharge line, about 6 in from the compressor", Temperature, units.CodeF},
	{SumpTemp, "crankcase, bottom of the shell", Temperature, units.CodeF},
	{BoxTemp, "air in the display case, cooler or freezer", Temperature, units.CodeF},
	{AmbientTemp, "air entering the condenser", Temperature, units.CodeF},
	{TestTempStart, "holding test, pipe temperature at the start", Temperature, units.CodeF},
	{TestTempEnd, "holding test, pipe temperature at the end", Temperature, units.CodeF},
	{Superheat, "superheat as stated by the tech", TempDifference, units.CodeDegreesF},
	{Subcooling, "subcooling as stated by the tech", TempDifference, units.CodeDegreesF},
	{RiserHeight, "vertical rise of the suction line", Length, units.CodeFeet},
	{RiserSize, "suction riser, outside diameter", TubeSize, units.CodeInch},
	{SuctionLineSize, "suction line, outside diameter", TubeSize, units.CodeInch},
	{LiquidLineSize, "liquid line, outside diameter", TubeSize, units.CodeInch},
	{DischargeLineSize, "discharge line, outside diameter", TubeSize, units.CodeInch},
	{SuctionRun, "length of horizontal suction line", Length, units.CodeFeet},
	{LiquidRun, "length of horizontal liquid line", Length, units.CodeFeet},
	{LiquidLift, "vertical rise of the liquid line", Length, units.CodeFeet},
	{Capacity, "refrigeration load at full load", HeatFlow, units.CodeBtuPerHour},
	{MinCapacity, "lowest step or load", HeatFlow, units.CodeBtuPerHour},
	{SystemCharge, "refrigerant charge of the system", Mass, units.CodePound},
	{ChargeAdded, "refrigerant added", Mass, units.CodePound},
	{AccumulatorVolume, "suction accumulator, internal volume", Volume, units.CodeCubicInch},
	{Altitude, "altitude of the site", Length, units.CodeFeet},
	{VoltsAb, "line to line voltage, L1-L2", Voltage, units.CodeVolt},
	{VoltsBc, "line to line voltage, L2-L3", Voltage, units.CodeVolt},
	{VoltsCa, "line to line voltage, L3-L1", Voltage, units.CodeVolt},
	{AmpsA, "line current, L1", Current, units.CodeAmpere},
	{AmpsB, "line current, L2", Current, units.CodeAmpere},
	{AmpsC, "line current, L3", Current, units.CodeAmpere},
	{RatedVolts, "nameplate voltage", Voltage, units.CodeVolt},
	{RatedAmps, "nameplate current (RLA)", Current, units.CodeAmpere},
	{LockedRotorAmps, "nameplate locked-rotor current (LRA)", Current, units.CodeAmpere},
	{OhmsAb, "winding resistance, T1-T2", Resistance, units.CodeOhm},
	{OhmsBc, "winding resistance, T2-T3", Resistance, units.CodeOhm},
	{OhmsCa, "winding resistance, T3-T1", Resistance, units.CodeOhm},
	{InsulationMegohms, "winding to ground", Insulation, units.CodeMegohm},
	{VacuumLevel, "deep vacuum reached", DeepVacuum, units.CodeMicron},
	{VacuumRiseLevel, "deep vacuum after the hold", DeepVacuum, units.CodeMicron},
	{VacuumHoldTime, "how long the vacuum was held", ShortTime, units.CodeMinute},
	{PumpdownPressure, "low side right after pump-down", GaugePressure, units.CodePSIG},
	{PumpdownRisePressure, "low side after the pump-down wait", GaugePressure, units.CodePSIG},
	{PumpdownWaitTime, "how long the pump-down was watched", ShortTime, units.CodeMinute},
	{StartsPerHour, "compressor starts", StartsFrequency, units.CodePerHour},
	{CompressorAge, "time in service of the compressor", Age, units.CodeYear},
}

var facts = []Fact{Refrigerant, CompressorType, Metering, Application, HasAccumulator, HasOilSeparator, HasSuctionTrap, HasPumpdownSolenoid, HasCrankcaseHeater, HasSuctionFilter, Unit, Site, Case}

var findings = []Finding{ReedBrokenSuction, ReedBrokenDischarge, ReedBroken, ValvePlateDamaged, HeadGasketBlown, PistonDamaged, PistonScored, RodBroken, RodsWornEvenly, RodsWornProgressive, BearingWorn, CrankScored, MetalInOil, OilLevelNormal, OilLevelLow, OilGone, OilClean, OilDark, OilAcid, OilFoaming, OilDiluted, CopperPlating, CarbonOnValves, WindingSpotBurn, WindingEvenBurn, WindingSinglePhaseBurn, Grounded, OpenWinding, LockedRotor, PressuresEqualized, NoisyStart, ShellColdOrSweating, FrostOnShell, FanFailed, CoilIced, DrierPlugged, ShortCycling, HeaterFailed, SolenoidLeaking, BulbLoose, FlashInSightglass}
