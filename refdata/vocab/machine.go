package vocab

import "slices"

// goesWithTheMachine is what was measured on, seen in or told of a compressor and ends
// when another is fitted: its windings, its oil, what it drew and pumped, what was
// meant to be done to it. Pipes, charge, supply, controls and leaks stay.
var (
	machineKeys = []Key{
		SuctionPressure, DischargePressure, LiquidPressure, NetOilPressure, SuctionFilterDrop, LiquidDrierDrop,
		SuctionLineTemp, EvapOutletTemp, LiquidLineTemp, DischargeLineTemp, SumpTemp, Superheat, Subcooling,
		AmpsA, AmpsB, AmpsC, OhmsAb, OhmsBc, OhmsCa, InsulationMegohms, StartsPerHour, CompressorAge,
	}
	machineFindings = []Finding{
		MetalInOil, OilLevelNormal, OilLevelLow, OilGone, OilClean, OilDark, OilFoaming, OilDiluted, CopperPlating, CarbonOnValves,
		Grounded, OpenWinding, LockedRotor, PressuresEqualized, NoisyStart, ShellColdOrSweating, FrostOnShell, ShortCycling,
	}
	machineCircumstances = []Circumstance{
		StartTroubleOnly, KnockAtLoadUp, OilAddedAndGone, OilSafetyTrips, NoPullDownClosed, ColoredValvePlate, Dead, Humming,
		TripsAtOnce, OpenedUp, OilAdded, OilBurntSmell, HighLegFollowsMotor, OverfilledOil, Trips, RunsBackwards,
		MeansToRestart, MeansToAddOil, MeansToOpen, MeansToBraze, MeansToMeasureLive, MeansToChange, MeansToCutShell,
		MeansToRecover, MeansToMegger,
	}
	insideFindings = []Finding{
		ReedBrokenSuction, ReedBrokenDischarge, ReedBroken, ValvePlateDamaged, HeadGasketBlown, PistonDamaged, PistonScored, RodBroken,
		RodsWornEvenly, RodsWornProgressive, BearingWorn, CrankScored, WindingSpotBurn, WindingEvenBurn, WindingSinglePhaseBurn,
	}
)

// KeyOfMachine reports a reading that says nothing of another compressor.
func KeyOfMachine(k Key) bool { return slices.Contains(machineKeys, k) }

// FindingOfMachine reports a finding that says nothing of another compressor.
func FindingOfMachine(f Finding) bool { return SeenInside(f) || slices.Contains(machineFindings, f) }

// CircumstanceOfMachine reports a circumstance that says nothing of another compressor.
func CircumstanceOfMachine(c Circumstance) bool { return slices.Contains(machineCircumstances, c) }

// SeenInside reports a finding that can only be seen in a compressor taken apart.
func SeenInside(f Finding) bool { return slices.Contains(insideFindings, f) }

// EndsMachine reports a finding that, in one breath with a change of the compressor, is
// of the one that came out: a new one is not fitted grounded or in black oil.
func EndsMachine(f Finding) bool {
	return slices.Contains([]Finding{Grounded, OpenWinding, LockedRotor, MetalInOil, OilDark, OilDiluted, CopperPlating, CarbonOnValves}, f)
}

// TellsOfEnd reports what is told of the machine that came out when it is told in one
// breath with the change.
func TellsOfEnd(c Circumstance) bool {
	return slices.Contains([]Circumstance{Dead, TripsAtOnce, Humming, ColoredValvePlate, OilBurntSmell, ScrollBroken, Trips}, c)
}
