package protect

import (
	"math"

	"coldcase/calc/cycle"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// LeakBy is what a pump-down's rise means for the machine.
type LeakBy struct {
	Rate units.PressureRate
	// Rest is how long the low side takes from cut-out to cut-in; Cycles the starts
	// an hour that it causes with the box satisfied. Both 0 when nothing rises.
	Rest    units.Duration
	Cycles  float64
	Verdict limits.Verdict
}

// PumpdownLeak judges a pump-down's rise and tells how often a recycling
// pump-down restarts because of it.
//
//	rise of 10 min = r 10 min;  rest = (cut-in - cut-out)/r;  cycles = 1 h/(rest + run)
//	rise in 10 min: < 2 psi ok · 2-10 watch · > 10 bad
//
// In:     pressures right after the stop and after the wait; the wait, cut-in and
//
//	cut-out; run, the time the machine takes to pull down again
//
// Out:    rate, rest, cycles an hour, verdict. A jump of a few psi in the first
//
//	minutes that then stands still is gas out of the oil, not a leak
//
// Range:  wait above zero; cut-in above cut-out; run above zero
// Error:  *cycle.RangeError
// Within: 1 % of worked_examples.csv PD1; the rise is taken as straight
// Source: trade-basis 3.3 (common practice)
func PumpdownLeak(start, end units.Gauge, wait units.Duration, cutIn, cutOut units.Gauge, run units.Duration) (LeakBy, error) {
	rate, err := LeakByRate(start, end, wait)
	if err != nil {
		return LeakBy{}, err
	}
	if !(cutIn > cutOut) {
		return LeakBy{}, &cycle.RangeError{Quantity: "cut-in, psig", Got: cutIn.PSIG(), Low: cutOut.PSIG(), High: math.Inf(1)}
	}
	if !(run > 0) {
		return LeakBy{}, &cycle.RangeError{Quantity: "run, min", Got: run.Minutes(), Low: 0, High: math.Inf(1)}
	}
	out := LeakBy{Rate: rate, Verdict: RiseVerdict(rate)}
	if rate > 0 {
		out.Rest = units.Duration(float64(cutIn.Sub(cutOut)) / float64(rate))
		out.Cycles = 60 / (out.Rest.Minutes() + run.Minutes())
	}
	return out, nil
}

// RiseVerdict judges the rate of a pump-down's rise.
//
//	rise in 10 min: < 2 psi ok · 2-10 watch · > 10 bad
//
// In:     rate of LeakByRate
// Out:    verdict; what the shape of the rise says comes on top
// Range:  any; below zero the low side was still being pulled: ask
// Error:  none
// Within: exact
// Source: trade-basis 3.3 (common practice)
func RiseVerdict(rate units.PressureRate) limits.Verdict {
	if rate < 0 {
		return limits.Ask
	}
	bad := limits.Value("pumpdown_watch_psi")
	inTenMinutes := 10 * rate.PSIPerMinute()
	if inTenMinutes < limits.Value("pumpdown_tight_psi") {
		return limits.OK
	}
	return limits.Rising(inTenMinutes, 0, bad, math.Inf(1))
}

// LeakedIn is the mass that leaks by over a stop.
//
//	m = m_test t_stop/t_test
//
// In:     mass of LeakedMass over the test; the test's time; length of the stop
// Out:    mass, taken as straight: an upper bound once the low side fills
// Range:  test time above zero
// Error:  *cycle.RangeError
// Within: exact
// Source: trade-basis 3.3
func LeakedIn(test units.Mass, wait, stop units.Duration) (units.Mass, error) {
	if !(wait > 0) || !(stop >= 0) {
		return 0, &cycle.RangeError{Quantity: "wait, min", Got: wait.Minutes(), Low: 0, High: 2880}
	}
	return units.Mass(float64(test) * float64(stop/wait)), nil
}

// ShortCycling tells how the number of starts stands.
//
//	hermetic and scroll: <= 8 ok, 8-12 watch, > 12 bad
//	semi-hermetic: <= 6 ok, 6-10 watch, > 10 bad · run or rest < 3 min bad
//
// In:     starts an hour; semi-hermetic or not; shortest run and rest, 0 when not known
// Out:    verdict
// Range:  starts not below zero
// Error:  *cycle.RangeError
// Within: makers differ: theirs win
// Source: trade-basis 3.5 (common practice)
func ShortCycling(startsPerHour float64, semiHermetic bool, run, rest units.Duration) (limits.Verdict, error) {
	if !(startsPerHour >= 0) {
		return limits.Ask, &cycle.RangeError{Quantity: "starts per hour", Got: startsPerHour, Low: 0, High: 240}
	}
	watch, bad := limits.Value("starts_hermetic_watch_per_h"), limits.Value("starts_hermetic_bad_per_h")
	if semiHermetic {
		watch, bad = limits.Value("starts_semi_watch_per_h"), limits.Value("starts_semi_bad_per_h")
	}
	v := limits.Rising(startsPerHour, watch, bad, math.Inf(1))
	least := units.Minutes(limits.Value("least_run_min"))
	if run > 0 && run < least || rest > 0 && rest < least {
		v = limits.Worst(v, limits.Bad)
	}
	return v, nil
}
