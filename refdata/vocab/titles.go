package vocab

import "strings"

// findingTitles say findings as techs do.
var findingTitles = map[Finding]string{
	ReedBrokenSuction: "suction reed broken", ReedBrokenDischarge: "discharge reed broken", ReedBroken: "reed broken",
	ValvePlateDamaged: "valve plate damaged", HeadGasketBlown: "head gasket blown", PistonDamaged: "piston broken", PistonScored: "piston scored",
	RodBroken: "rod broken", RodsWornEvenly: "rods worn all alike", RodsWornProgressive: "rods worn worse toward one end", BearingWorn: "bearings worn",
	CrankScored: "crank scored", MetalInOil: "metal in the oil", OilLevelNormal: "oil level normal", OilLevelLow: "oil level low", OilGone: "oil gone",
	OilClean: "oil clean", OilDark: "oil dark", OilAcid: "oil acid", OilFoaming: "oil foaming", OilDiluted: "oil thinned with refrigerant",
	CopperPlating: "copper plating", CarbonOnValves: "carbon on the valves", WindingSpotBurn: "one burnt spot in the windings",
	WindingEvenBurn: "windings burnt all around", WindingSinglePhaseBurn: "two phases burnt, one clean", Grounded: "winding to ground",
	OpenWinding: "open winding", LockedRotor: "locked rotor", PressuresEqualized: "pressures equalized", NoisyStart: "noisy start",
	ShellColdOrSweating: "shell cold or sweating", FrostOnShell: "frost on the shell", FanFailed: "fan dead", CoilIced: "coil iced",
	DrierPlugged: "drier plugged", ShortCycling: "short cycling", HeaterFailed: "crankcase heater dead", SolenoidLeaking: "solenoid leaking by",
	BulbLoose: "bulb loose", FlashInSightglass: "bubbles in the sight glass",
}

// Title says a finding as techs do.
func (f Finding) Title() string {
	if t, ok := findingTitles[f]; ok {
		return t
	}
	return strings.ReplaceAll(string(f), "_", " ")
}
