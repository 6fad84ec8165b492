package pipe

import (
	"fmt"

	"coldcase/refdata/limits"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
)

// DoubleRiserPick is a pair of risers, or why no pair does.
type DoubleRiserPick struct {
	Small, Large tube.Tube // Small has no trap, Large is trapped
	Single       Fit       // the single pipe that the loss alone would ask for
	SmallAlone   Fit       // at the least load
	HandOver     units.Fraction
	HandOverLoss units.TempDelta // of Small alone just before Large joins
	RatioSmall   float64         // flow over the oil minimum, both open at full load
	RatioLarge   float64
	LossBoth     units.TempDelta
	OK           bool
	Why          string
}

// DoubleRiser sizes two risers in parallel: the small one carries the least load,
// the large one is trapped and joins as the load grows.
//
//	A largest with m_least >= 1.1 m_min(A);  S smallest single within loss
//	B smallest with area A + area B >= area S and the pair's loss <= 2 F
//	both >= 1.25 m_min at full load
//	hand-over at m_min(A) + m_min(B), loss of A alone there <= 3 F
//
// In:     duty, the gas at the top; equivalent length
// Out:    the pair with its checks, or why none
// Range:  tubes 1/4 to 4-1/8 in
// Error:  *cycle.RangeError, *props.RangeError
// Within: 3 % of worked_examples.csv DBL1
// Source: trade-basis 2.5 (ASHRAE Handbook-Refrigeration, from memory; UFGS seen)
func DoubleRiser(d Duty, length units.Length) (DoubleRiserPick, error) {
	l := suctionLimits()
	fits, err := all(d, length, l)
	if err != nil {
		return DoubleRiserPick{}, fmt.Errorf("double riser: %w", err)
	}
	if len(fits) == 0 {
		return DoubleRiserPick{Why: nothingCarries()}, nil
	}
	small, ok := largestThatLifts(fits)
	if !ok {
		return DoubleRiserPick{Why: "no listed tube lifts oil at the least load"}, nil
	}
	single, ok := withinLoss(fits, l)
	if !ok {
		return DoubleRiserPick{Small: small.Tube, Why: noRiser(d, fits, l)}, nil
	}
	out := DoubleRiserPick{Small: small.Tube, SmallAlone: small, Single: single}
	if l.allow(single) && single.RatioMin >= limits.Value("oil_return_reserve") {
		out.Why = single.Tube.Nominal + " alone lifts the oil at the least load: no double riser is needed"
		return out, nil
	}
	if small.Tube.OD >= single.Tube.OD {
		out.Why = fmt.Sprintf("%s alone loses %.1f F at full load and has %.2f of its oil minimum at the least: no double riser is needed", small.Tube.Nominal, small.Penalty.DegreesF(), small.RatioMin)
		return out, nil
	}
	return out.withPartner(d, length, l)
}

// withPartner tries the tubes that complete the pair, from the smallest; the first is
// kept to say why when none does.
func (out DoubleRiserPick) withPartner(d Duty, length units.Length, l lineLimits) (DoubleRiserPick, error) {
	first := out
	first.Why = "no listed tube completes the pair"
	for _, t := range tube.Sizes() {
		if out.Small.Bore()+t.Bore() < out.Single.Tube.Bore() {
			continue
		}
		pair := out
		pair.Large = t
		if err := pair.checkPair(d, length, l); err != nil {
			return pair, err
		}
		if pair.OK {
			return pair, nil
		}
		if first.Large.OD == 0 {
			first = pair
		}
	}
	return first, nil
}

func largestThatLifts(fits []Fit) (Fit, bool) {
	for i := len(fits) - 1; i >= 0; i-- {
		if fits[i].RatioMin >= limits.Value("double_riser_reserve") {
			return fits[i], true
		}
	}
	return Fit{}, false
}

// withinLoss is the smallest single tube within the loss; two pipes share the
// velocity, so that is not asked of it.
func withinLoss(fits []Fit, l lineLimits) (Fit, bool) {
	for _, f := range fits {
		if f.Penalty <= l.penalty {
			return f, true
		}
	}
	return Fit{}, false
}

// checkPair fills in the least load, the hand-over and full load.
func (out *DoubleRiserPick) checkPair(d Duty, length units.Length, l lineLimits) error {
	large, err := LeastOilFlow(d.State.Rho, OilFilm(), out.Large)
	if err != nil {
		return fmt.Errorf("double riser: %w", err)
	}
	handOver := out.SmallAlone.LeastOil + large
	out.HandOver = units.Fraction(handOver / d.Flow)
	alone := d
	for _, at := range []struct {
		flow units.MassFlow
		into *units.TempDelta
	}{{units.MassFlow(float64(d.Flow) * float64(d.Least)), &out.SmallAlone.Penalty}, {min(handOver, d.Flow), &out.HandOverLoss}} {
		alone.Flow = at.flow
		fit, err := try(alone, out.Small, length, l)
		if err != nil {
			return fmt.Errorf("double riser: %w", err)
		}
		*at.into = fit.Penalty
	}
	return out.checkFull(d, length, l, large)
}

func (out *DoubleRiserPick) checkFull(d Duty, length units.Length, l lineLimits, largeLeast units.MassFlow) error {
	share, drop, err := split(d, out.Small, out.Large, length)
	if err != nil {
		return fmt.Errorf("double riser: %w", err)
	}
	out.RatioSmall = float64(share) * float64(d.Flow) / float64(out.SmallAlone.LeastOil)
	out.RatioLarge = (1 - float64(share)) * float64(d.Flow) / float64(largeLeast)
	if out.LossBoth, err = l.loss(d.Fluid, d.State.P, drop); err != nil {
		return fmt.Errorf("double riser: %w", err)
	}
	out.judge(l)
	return nil
}

func (out *DoubleRiserPick) judge(l lineLimits) {
	most, reserve := units.DegreesF(limits.Value("handover_penalty_dF")), limits.Value("oil_return_reserve")
	switch {
	case min(out.RatioSmall, out.RatioLarge) < reserve:
		out.Why = fmt.Sprintf("at full load %s and %s have only %.2f and %.2f of the flow that lifts oil", out.Small.Nominal, out.Large.Nominal, out.RatioSmall, out.RatioLarge)
	case out.HandOverLoss > most:
		out.Why = fmt.Sprintf("%s alone loses %.1f F just before %s joins", out.Small.Nominal, out.HandOverLoss.DegreesF(), out.Large.Nominal)
	case out.LossBoth > l.penalty:
		out.Why = fmt.Sprintf("%s and %s together lose %.1f F at full load", out.Small.Nominal, out.Large.Nominal, out.LossBoth.DegreesF())
	default:
		out.OK = true
	}
}

// split finds the share of the flow in tube a at which a and b lose alike.
func split(d Duty, a, b tube.Tube, length units.Length) (units.Fraction, units.PressureDelta, error) {
	lose := func(t tube.Tube, share float64) (units.PressureDelta, error) {
		return Friction(units.MassFlow(float64(d.Flow)*share), d.State.Rho, d.Viscosity, t, length)
	}
	low, high := 0.0, 1.0
	for range 50 {
		mid := (low + high) / 2
		inA, err := lose(a, mid)
		if err != nil {
			return 0, 0, err
		}
		inB, err := lose(b, 1-mid)
		if err != nil {
			return 0, 0, err
		}
		if inA < inB {
			low = mid
		} else {
			high = mid
		}
	}
	share := (low + high) / 2
	drop, err := lose(a, share)
	return units.Fraction(share), drop, err
}
