package elec

import (
	"math"

	"coldcase/calc/cycle"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// Origin is where an unbalance comes from.
type Origin string

// The origins that can be told apart.
const (
	FromSupply  Origin = "supply"  // explained by the volts, or stays with the line when leads are rolled
	FromMotor   Origin = "motor"   // moves with the motor's leads
	Unexplained Origin = "unknown" // balanced volts: contact, contactor or winding; roll the leads
)

// CurrentOrigin tells whether unbalanced volts explain unbalanced amps.
//
//	I% <= 10 U%: the supply · I% > 10 with more than that: not the supply alone
//
// In:     voltage and current unbalance
// Out:    supply, or unknown
// Range:  unbalances not below zero
// Error:  *cycle.RangeError
// Within: the multiple is a rule of thumb, 6 to 10
// Source: NEMA MG 1 14.36 (from memory); trade-basis 4.1, 4.2
func CurrentOrigin(volts, amps units.Fraction) (Origin, error) {
	if !(volts >= 0) || !(amps >= 0) {
		return Unexplained, &cycle.RangeError{Quantity: "unbalance, pct", Got: min(volts.Percent(), amps.Percent()), Low: 0, High: 100}
	}
	if float64(amps) <= limits.Value("current_over_voltage_unbalance")*float64(volts) {
		return FromSupply, nil
	}
	return Unexplained, nil
}

// RollTest reads a roll of all three leads one place: the high leg stays with its
// supply line, or moves along with the motor's lead.
//
//	motor lead i is on line i before and on line i+1 after
//
// In:     amps in lines L1, L2, L3 before and after
// Out:    supply, motor, or unknown when neither the high leg stays nor moves
// Range:  amps not below zero, some above
// Error:  *cycle.RangeError
// Within: a clear high leg: 1 % above the next
// Source: trade-basis 4.1 (common practice)
func RollTest(before, after [3]units.Current) (Origin, error) {
	high, ok1 := highest(before)
	then, ok2 := highest(after)
	for _, a := range [...][3]units.Current{before, after} {
		if a[0] < 0 || a[1] < 0 || a[2] < 0 || !(a[0]+a[1]+a[2] > 0) {
			return Unexplained, &cycle.RangeError{Quantity: "line amps, A", Got: float64(min(a[0], a[1], a[2])), Low: 0, High: math.Inf(1)}
		}
	}
	switch {
	case !ok1 || !ok2:
		return Unexplained, nil
	case then == high:
		return FromSupply, nil
	case then == (high+1)%3:
		return FromMotor, nil
	}
	return Unexplained, nil
}

// highest leg and whether it stands out.
func highest(a [3]units.Current) (leg int, clear bool) {
	for i := range a {
		if a[i] > a[leg] {
			leg = i
		}
	}
	next := max(a[(leg+1)%3], a[(leg+2)%3])
	return leg, float64(a[leg]) > 1.01*float64(next)
}

// LoadVerdict holds the highest line current against the plate.
//
//	<= 1.0 ok · to 1.1 watch · above bad · >= 0.75 of locked-rotor amps stop · < 0.5 ask
//
// In:     highest line current, rated amps, locked-rotor amps or 0 when unknown
// Out:    verdict
// Range:  rated above zero
// Error:  *cycle.RangeError
// Within: the meter's error
// Source: trade-basis 4.2 (common practice)
func LoadVerdict(highest, rated, locked units.Current) (limits.Verdict, error) {
	if !(rated > 0) || !(highest >= 0) {
		return limits.Ask, &cycle.RangeError{Quantity: "rated amps, A", Got: float64(rated), Low: 0, High: math.Inf(1)}
	}
	share := units.Fraction(highest / rated).Percent()
	switch {
	case locked > 0 && units.Fraction(highest/locked).Percent() >= limits.Value("locked_share_pct"):
		return limits.Stop, nil
	case share < limits.Value("light_load_pct"):
		return limits.Ask, nil
	}
	return limits.Rising(share, limits.Value("overload_watch_pct"), limits.Value("overload_pct"), math.Inf(1)), nil
}

// SupplyVerdict holds the mean running volts against the plate.
//
//	within 10 % ok · outside bad · beyond 15 % stop
//
// In:     mean of the three running volts; plate low and high, alike on a single
//
//	voltage plate (208-230: 208, 230)
//
// Out:    verdict
// Range:  plate above zero
// Error:  *cycle.RangeError
// Within: the meter's error
// Source: NEMA MG 1 12.44 (from memory); 15 % is common practice
func SupplyVerdict(mean, plateLow, plateHigh units.Voltage) (limits.Verdict, error) {
	if !(plateLow > 0) || plateHigh < plateLow || !(mean >= 0) {
		return limits.Ask, &cycle.RangeError{Quantity: "plate volts, V", Got: float64(plateLow), Low: 0, High: float64(plateHigh)}
	}
	off := max(float64((plateLow-mean)/plateLow), float64((mean-plateHigh)/plateHigh))
	pct := units.Fraction(off).Percent()
	bad := limits.Value("volts_tolerance_pct")
	return limits.Rising(pct, bad, bad, limits.Value("volts_stop_pct")), nil
}

// SinglePhaseWindings checks the three readings of a single-phase motor: start and
// run winding in series are what lies between their ends.
//
//	|C-R + C-S - S-R| / S-R <= 5 %  and  C-S > C-R
//
// In:     common to run, common to start, start to run
// Out:    deviation; sound when the sum fits and the start winding is the higher
// Range:  start to run above zero
// Error:  *cycle.RangeError
// Within: the meter; below 1 ohm use four wires
// Source: trade-basis 4.3 (common practice)
func SinglePhaseWindings(commonRun, commonStart, startRun units.Resistance) (off units.Fraction, sound bool, err error) {
	if !(startRun > 0) || commonRun < 0 || commonStart < 0 {
		return 0, false, &cycle.RangeError{Quantity: "start to run, ohm", Got: startRun.Ohms(), Low: 0, High: math.Inf(1)}
	}
	off = units.Fraction(math.Abs(float64(commonRun+commonStart-startRun)) / float64(startRun))
	return off, off.Percent() <= limits.Value("single_phase_sum_pct") && commonStart > commonRun, nil
}

// InsulationVerdict judges an insulation resistance at 40 C.
//
//	>= 100 ok · 20-100 watch · 1-20 bad · < 1 Mohm stop
//
// In:     resistance corrected by InsulationAt40C
// Out:    verdict
// Range:  not below zero
// Error:  *cycle.RangeError
// Within: a screen; the trend matters more
// Source: trade-basis 4.4 (common practice); IEEE 43 minimum 5 Mohm (from memory)
func InsulationVerdict(at40 units.Resistance) (limits.Verdict, error) {
	if !(at40 >= 0) {
		return limits.Ask, &cycle.RangeError{Quantity: "insulation, Mohm", Got: at40.Megohms(), Low: 0, High: math.Inf(1)}
	}
	return limits.Falling(at40.Megohms(), limits.Value("insulation_ok_Mohm"), limits.Value("insulation_low_Mohm"), limits.Value("insulation_stop_Mohm")), nil
}
