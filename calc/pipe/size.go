package pipe

import (
	"fmt"

	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
)

// SizeSuctionRiser picks the largest tube that lifts oil at the least load and
// still meets the loss and velocity limits at full load.
//
//	loss <= 2 F, V <= 4,000 fpm, m_least/m_min >= 1.25 (else >= 1.0, marginal)
//
// In:     duty, the gas at the top of the riser; equivalent length
// Out:    the pick; with no single size doing, why: a double riser is next
// Range:  tubes 1/4 to 4-1/8 in
// Error:  *cycle.RangeError, *props.RangeError
// Within: trade-basis 2.3's example (1-1/8, ratio 1.23)
// Source: trade-basis 2.9; loss from ASHRAE Handbook-Refrigeration (from memory)
func SizeSuctionRiser(d Duty, length units.Length) (Pick, error) {
	return sizeRiser(d, length, suctionLimits())
}

// SizeDischargeRiser picks a hot-gas riser as SizeSuctionRiser does.
//
//	loss <= 1 F, V <= 3,500 fpm, m_least/m_min >= 1.25 (else >= 1.0, marginal)
//
// In:     duty, the coolest hot gas; equivalent length
// Out:    the pick
// Range:  tubes 1/4 to 4-1/8 in
// Error:  *cycle.RangeError, *props.RangeError
// Within: trade-basis 2.4's example
// Source: trade-basis 2.9; loss from ASHRAE Handbook-Refrigeration (from memory)
func SizeDischargeRiser(d Duty, length units.Length) (Pick, error) {
	return sizeRiser(d, length, dischargeLimits())
}

func sizeRiser(d Duty, length units.Length, l lineLimits) (Pick, error) {
	fits, err := all(d, length, l)
	if err != nil {
		return Pick{}, fmt.Errorf("riser size: %w", err)
	}
	if len(fits) == 0 {
		return Pick{Why: nothingCarries()}, nil
	}
	for _, least := range []float64{limits.Value("oil_return_reserve"), limits.Value("oil_return_least")} {
		for i := len(fits) - 1; i >= 0; i-- {
			if f := fits[i]; f.RatioMin >= least && l.allow(f) {
				marginal := least < limits.Value("oil_return_reserve")
				return Pick{Fit: f, OK: true, Marginal: marginal, Tried: fits, Why: why(marginal)}, nil
			}
		}
	}
	return Pick{Tried: fits, Why: noRiser(d, fits, l)}, nil
}

func why(marginal bool) string {
	if marginal {
		return "oil rises at the least load, without reserve"
	}
	return ""
}

// noRiser says which limit fails on the two sizes between which a riser would lie.
func noRiser(d Duty, fits []Fit, l lineLimits) string {
	large := fits[len(fits)-1]
	for i := len(fits) - 1; i >= 0 && l.allow(fits[i]); i-- {
		large = fits[i] // the smallest that meets loss and velocity
	}
	if !l.allow(large) {
		return fmt.Sprintf("even %s loses %.1f F at %.0f fpm: more than one pipe is needed", large.Tube.Nominal, large.Penalty.DegreesF(), large.Velocity.FeetPerMinute())
	}
	return fmt.Sprintf("no single size: %s is the smallest within %.0f F loss and has only %.2f of the flow that lifts oil at %.0f %% load", large.Tube.Nominal, l.penalty.DegreesF(), large.RatioMin, d.Least.Percent())
}

// SizeHorizontal picks the smallest suction tube within loss and velocity.
//
//	loss <= 2 F, V <= 4,000 fpm
//
// In:     duty; equivalent length
// Out:    the pick; the line must fall toward the compressor
// Range:  tubes 1/4 to 4-1/8 in
// Error:  *cycle.RangeError, *props.RangeError
// Within: that of Friction
// Source: trade-basis 2.9; loss from ASHRAE Handbook-Refrigeration (from memory)
func SizeHorizontal(d Duty, length units.Length) (Pick, error) {
	return smallest(d, length, suctionLimits())
}

// SizeDischarge picks the smallest discharge tube within loss and velocity.
//
//	loss <= 1 F, V <= 3,500 fpm
//
// In:     duty; equivalent length
// Out:    the pick
// Range:  tubes 1/4 to 4-1/8 in
// Error:  *cycle.RangeError, *props.RangeError
// Within: that of Friction
// Source: trade-basis 2.9; loss from ASHRAE Handbook-Refrigeration (from memory)
func SizeDischarge(d Duty, length units.Length) (Pick, error) {
	return smallest(d, length, dischargeLimits())
}

func smallest(d Duty, length units.Length, l lineLimits) (Pick, error) {
	fits, err := all(d, length, l)
	if err != nil {
		return Pick{}, fmt.Errorf("line size: %w", err)
	}
	if len(fits) == 0 {
		return Pick{Why: nothingCarries()}, nil
	}
	for _, f := range fits {
		if l.allow(f) {
			return Pick{Fit: f, OK: true, Tried: fits}, nil
		}
	}
	return Pick{Tried: fits, Why: noRiser(d, fits, l)}, nil
}

// LiquidPick is a recommended liquid line, or why none does.
type LiquidPick struct {
	Tube   tube.Tube
	Losses LiquidLosses
	OK     bool
	Why    string
}

// SizeLiquid picks the smallest liquid tube that stays liquid with reserve, is
// slow enough for a solenoid and loses no more than its share.
//
//	margin >= 3 F, then V <= 300 fpm, then friction <= 2 F, then the least charge
//
// In:     fluid; p, absolute, and liquid temperature at the start; the run, its
//
//	tube left open
//
// Out:    the pick; a line whose height alone flashes says that pipe can't cure it
// Range:  tubes 1/4 to 4-1/8 in
// Error:  *cycle.RangeError, *props.RangeError
// Within: that of LiquidLine
// Source: trade-basis 2.8, 2.9
func SizeLiquid(f *props.Fluid, p units.Pressure, liquid units.Temperature, run LiquidRun) (LiquidPick, error) {
	fastest := units.FeetPerMinute(limits.Value("liquid_solenoid_fpm"))
	most := units.DegreesF(limits.Value("liquid_penalty_dF"))
	var pick LiquidPick
	var last error
	for _, t := range tube.Sizes() {
		run.Tube = t
		losses, err := LiquidLine(f, p, liquid, run)
		if err != nil {
			last = err
			continue
		}
		last, pick.Tube, pick.Losses = nil, t, losses
		friction, err := LiquidPenalty(f, p, losses.Friction)
		if err == nil && losses.Velocity <= fastest && friction <= most && losses.Margin >= units.DegreesF(limits.Value("flash_reserve_dF")) {
			pick.OK = true
			return pick, nil
		}
	}
	if last != nil {
		return LiquidPick{}, fmt.Errorf("liquid size: %w", last)
	}
	return stillFlashes(f, p, liquid, run, fastest, most)
}

// stillFlashes is the size that pipe alone can do best, with the subcooling that
// is still short: height and components are no matter of diameter.
func stillFlashes(f *props.Fluid, p units.Pressure, liquid units.Temperature, run LiquidRun, fastest units.Velocity, most units.TempDelta) (LiquidPick, error) {
	for _, t := range tube.Sizes() {
		run.Tube = t
		losses, err := LiquidLine(f, p, liquid, run)
		if err != nil {
			continue
		}
		friction, err := LiquidPenalty(f, p, losses.Friction)
		if err == nil && losses.Velocity <= fastest && friction <= most {
			return LiquidPick{Tube: t, Losses: losses, Why: fmt.Sprintf("%s is wide enough; %.1f F subcooling is short of the %.1f F that height, parts and friction ask with reserve: subcool, no pipe cures it", t.Nominal, losses.Subcooling.DegreesF(), losses.Solid.DegreesF())}, nil
		}
	}
	return LiquidPick{Why: "the flow is more than one listed tube carries within 300 fpm and 2 F"}, nil
}
