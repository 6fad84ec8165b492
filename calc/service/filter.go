package service

import (
	"fmt"
	"math"

	"coldcase/calc/cycle"
	"coldcase/calc/pipe"
	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// FilterUse is how long a suction filter core is meant to stay.
type FilterUse string

// The uses of trade-basis 6.2.
const (
	Permanent FilterUse = "permanent"
	CleanUp   FilterUse = "clean-up" // temporary, after a burn-out
)

// FilterLimit is the drop across a suction filter that is still allowed.
//
//	dp = min(drop of 2 F, 3 psi) for good · min(drop of 6 F, 8 psi) in a clean-up
//
// In:     fluid; suction pressure, absolute; use
// Out:    pressure drop
// Range:  the saturation pressures of the fluid
// Error:  *props.RangeError, *cycle.RangeError for another use
// Within: 0.1 psi of trade-basis 6.2's table
// Source: trade-basis 6.2 (own)
func FilterLimit(f *props.Fluid, suction units.Pressure, use FilterUse) (units.PressureDelta, error) {
	var loss, most float64
	switch use {
	case Permanent:
		loss, most = limits.Value("filter_permanent_dF"), limits.Value("filter_permanent_psi")
	case CleanUp:
		loss, most = limits.Value("filter_cleanup_dF"), limits.Value("filter_cleanup_psi")
	default:
		return 0, &cycle.RangeError{Quantity: "filter use " + string(use), Low: 0, High: 0}
	}
	dp, err := pipe.DropOf(f, suction, units.DegreesF(loss))
	if err != nil {
		return 0, fmt.Errorf("filter limit: %w", err)
	}
	return min(dp, units.PSI(most)), nil
}

// FilterVerdict holds a drop against its limit.
//
//	within ok · above bad · above 1.5 times stop
//
// In:     measured drop; limit of FilterLimit
// Out:    verdict
// Range:  limit above zero, drop not below zero: then the gauges are swapped
// Error:  *cycle.RangeError
// Within: the gauges' error
// Source: trade-basis 6.2 (own)
func FilterVerdict(drop, limit units.PressureDelta) (limits.Verdict, error) {
	if !(drop >= 0) || !(limit > 0) {
		return limits.Ask, &cycle.RangeError{Quantity: "filter drop, psi", Got: drop.PSI(), Low: 0, High: 60}
	}
	return limits.Rising(drop.PSI(), limit.PSI(), limit.PSI(), limits.Value("filter_stop_share")*limit.PSI()), nil
}

// Circuit is what of a circuit's insides is known; a zero volume is not there.
type Circuit struct {
	LiquidLine           units.Volume
	Receiver             units.Volume
	Condenser            units.Volume
	Evaporator           units.Volume
	SuctionLine          units.Volume
	SuctionGas           units.Density     // in it; needed where the line counts
	Liquid               units.Temperature // of the liquid line
	FloodedForWinterHead bool
}

// Charge is the estimate of a circuit's charge with its bounds.
type Charge struct {
	Estimate, Low, High units.Mass
	SuctionGas          units.Mass // part of the estimate: the gas in the suction line
}

// CircuitCharge estimates a circuit's charge: a bound, not a fill target.
//
//	m = rho (V_line + 0.2 V_receiver + 0.25 V_condenser + 0.2 V_evaporator) + rho_gas V_suction
//	with winter head control the condenser counts 0.7; +- 20 %
//
// In:     fluid; the circuit
// Out:    mass with its bounds; gas lines hardly matter
// Range:  liquid below the critical temperature; some volume above zero
// Error:  *cycle.RangeError, *props.RangeError
// Within: 20 %
// Source: trade-basis 7.1 (common practice)
func CircuitCharge(f *props.Fluid, c Circuit) (Charge, error) {
	condenser := limits.Value("condenser_liquid_share")
	if c.FloodedForWinterHead {
		condenser = limits.Value("flooded_condenser_share")
	}
	full := float64(c.LiquidLine) + limits.Value("receiver_liquid_share")*float64(c.Receiver) +
		condenser*float64(c.Condenser) + limits.Value("evaporator_liquid_share")*float64(c.Evaporator)
	if !(full+float64(c.SuctionLine) > 0) || min(c.LiquidLine, c.Receiver, c.Condenser, c.Evaporator, c.SuctionLine) < 0 {
		return Charge{}, &cycle.RangeError{Quantity: "circuit volume, ft3", Got: units.Volume(full).CubicFeet(), Low: 0, High: math.Inf(1)}
	}
	state, err := f.LiquidAtBubble(c.Liquid)
	if err != nil {
		return Charge{}, fmt.Errorf("circuit charge: %w", err)
	}
	if c.SuctionLine > 0 && !(c.SuctionGas > 0 && c.SuctionGas < state.Rho) {
		return Charge{}, &cycle.RangeError{Quantity: "suction gas density, kg/m3", Got: float64(c.SuctionGas), Low: 0, High: float64(state.Rho)}
	}
	gas := float64(c.SuctionLine) * float64(c.SuctionGas)
	m := full*float64(state.Rho) + gas
	doubt := float64(units.Percent(limits.Value("charge_doubt_pct")))
	return Charge{units.Mass(m), units.Mass(m * (1 - doubt)), units.Mass(m * (1 + doubt)), units.Mass(gas)}, nil
}

// ReceiverHolds tells whether the receiver takes the whole charge pumped down.
//
//	m <= 0.8 V rho(90 F)
//
// In:     fluid; charge; receiver volume
// Out:    what it may hold, and whether the charge fits
// Range:  below the critical temperature
// Error:  *props.RangeError
// Within: 1 %
// Source: trade-basis 7.1 (common practice; ASHRAE 15 from memory)
func ReceiverHolds(f *props.Fluid, charge units.Mass, receiver units.Volume) (most units.Mass, fits bool, err error) {
	state, err := f.LiquidAtBubble(units.Fahrenheit(90))
	if err != nil {
		return 0, false, fmt.Errorf("receiver: %w", err)
	}
	most = units.Mass(limits.Value("receiver_full_share") * float64(receiver) * float64(state.Rho))
	return most, charge <= most, nil
}
