package cycle

import (
	"fmt"

	"coldcase/calc/props"
	"coldcase/refdata/units"
)

// DischargeTemp is the temperature that a compressor of a given overall
// efficiency discharges at.
//
//	h2 = h1 + (h2s - h1)/eta ;  T2 = T(p_d, h2)
//
// In:     suction pressure and suction line temperature at the compressor,
//
//	discharge pressure, all absolute; eta, suction to discharge, adiabatic
//
// Out:    discharge line temperature; wet compression ends at the dew point
// Range:  suction gas above its dew point; eta 0.3 to 1
// Error:  *RangeError, *props.RangeError
// Within: 1 F of trade-basis 1.6's worked example (186/209/246 F)
// Source: textbook; efficiency band 0.80, 0.65, 0.50 is common practice
func DischargeTemp(f *props.Fluid, suction units.Pressure, line units.Temperature, discharge units.Pressure, eta units.Fraction) (units.Temperature, error) {
	const low, high = 0.3, 1
	if !(eta >= low && eta <= high) {
		return 0, &RangeError{Quantity: "efficiency", Got: float64(eta), Low: low, High: high}
	}
	s1, err := f.AtTP(line, suction)
	if err != nil {
		return 0, fmt.Errorf("suction gas: %w", err)
	}
	if s1.Phase == props.Liquid {
		return 0, &RangeError{Quantity: "suction line above dew, K", Got: 0, Low: 0, High: 200}
	}
	s2, err := f.AtPS(discharge, s1.S)
	if err != nil {
		return 0, fmt.Errorf("isentropic discharge: %w", err)
	}
	out, err := f.AtPH(discharge, s1.H+units.Enthalpy(float64(s2.H-s1.H)/float64(eta)))
	if err != nil {
		return 0, fmt.Errorf("discharge: %w", err)
	}
	return out.T, nil
}

// MassFlow is the refrigerant that carries a load.
//
//	m = Q / (h_out - h_liquid)
//
// In:     load; hOut, gas leaving the coil (else entering the compressor: then
//
//	useless superheat is counted and m comes out 2-8 % low); hLiquid, before the valve
//
// Out:    mass flow
// Range:  hOut above hLiquid, load above zero
// Error:  *RangeError
// Within: 1 % of trade-basis 2.3 (610.8 lb/h)
// Source: textbook heat balance
func MassFlow(load units.Power, hOut, hLiquid units.Enthalpy) (units.MassFlow, error) {
	if !(hOut > hLiquid) || !(load > 0) {
		return 0, &RangeError{Quantity: "refrigerating effect, kJ/kg", Got: float64(hOut-hLiquid) / 1e3, Low: 0, High: 2000}
	}
	return units.MassFlow(float64(load) / float64(hOut-hLiquid)), nil
}

// LiquidEnthalpy is the enthalpy of the liquid ahead of the valve: the saturated
// liquid's at its temperature, which is close enough below the critical point.
//
//	h = h'(t_liquid)
//
// In:     liquid line temperature
// Out:    enthalpy
// Range:  below the critical temperature
// Error:  *props.RangeError
// Within: 0.2 % of the compressed liquid's in trade use
// Source: trade-basis 2.1
func LiquidEnthalpy(f *props.Fluid, liquid units.Temperature) (units.Enthalpy, error) {
	s, err := f.LiquidAtBubble(liquid)
	if err != nil {
		return 0, fmt.Errorf("liquid enthalpy: %w", err)
	}
	return s.H, nil
}
