package vocab

import "slices"

// SpeaksOfTrouble reports a finding with which no machine is in order, whatever its
// numbers. Equalized pressures are what standing does.
func SpeaksOfTrouble(f Finding) bool {
	return f != OilLevelNormal && f != OilClean && f != PressuresEqualized
}

// troubles are the circumstances that tell of damage, of a complaint, or of a thing
// found that has to be put right, whatever the numbers. A dirty coil or a bare line
// that costs nothing yet is none.
var troubles = []Circumstance{
	StartTroubleOnly, BangAfterDefrost, KnockAtLoadUp, OilFallsAtLowLoad, OilAddedAndGone, OilSafetyTrips, OilSafetyJumped,
	PartCoilFrost, NoPullDownClosed, RestartsWithNoCall, CondenserFanOff, PhaseLost, BrazedWithoutNitrogen, VacuumByClock,
	MoistureSeen, ColoredValvePlate, Humming, GasAdded, GlassBoilingAfterDrier, GlassBoilingAtValve, BubblesInGlass,
	InjectionFailed, OilBurntSmell, OilLeakSpot, BulbNoAnswer, ValveScreenPlugged, DrierCold, HandValveShutRises, VoltsSag,
	OverfilledOil, TerminalsLoose, ContactorBad, FanEvapFailed, DefrostBad, OverfeedingValve, AirflowLow, Noncondensables,
	Trips, HighHeadTrip, MixedGas, RunsBackwards, LeftOpen, ChargeGone, ScrollBroken, SteadyFoam, DischargeWarmOff,
	EqualRunning, Thawed, SafetyJumped, ReliefValve, BoxWarm, LowTrip, Hunting, GasRelease,
}

// TellsOfTrouble reports a circumstance with which no machine is in order.
func TellsOfTrouble(c Circumstance) bool { return slices.Contains(troubles, c) }
