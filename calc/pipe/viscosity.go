package pipe

import (
	"math"

	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// GasViscosity of a state by corresponding states: it answers for blends too and
// costs next to nothing, where the correlations of props cost more than the rest of
// a riser. An error of 1.3 times in it moves friction by about 5 %.
//
//	mu xi = 0.807 Tr^0.618 - 0.357 exp(-0.449 Tr) + 0.340 exp(-4.058 Tr) + 0.018    uP
//	xi = 0.176 (Tc / (M^3 pc^4))^(1/6)    K, g/mol, bar
//
// In:     fluid; gas
// Out:    viscosity; the trade's middle figure where the critical point is not known
// Range:  thin gas, Tr up to 1.5; pressure raises it by a few percent in hot gas
// Error:  none
// Within: 12 % of the correlations of props in suction gas, 2 % of worked_examples.csv RIS friction
// Source: Lucas, in Reid, Prausnitz, Poling, The Properties of Gases and Liquids (from memory)
func GasViscosity(f *props.Fluid, s props.State) units.Viscosity {
	_, top := f.Span()
	pc, err := f.BubblePressure(top)
	if err != nil {
		return units.PascalSeconds(limits.Value("gas_viscosity_uPas") * 1e-6)
	}
	tc, molar, bar := f.CriticalTemp().K(), f.MolarMass()*1e3, pc.Pa()/1e5
	xi := 0.176 * math.Pow(tc/(molar*molar*molar*bar*bar*bar*bar), 1.0/6)
	tr := s.T.K() / tc
	muMicropoise := (0.807*math.Pow(tr, 0.618) - 0.357*math.Exp(-0.449*tr) + 0.340*math.Exp(-4.058*tr) + 0.018) / xi
	return units.PascalSeconds(muMicropoise * 1e-7)
}

// LiquidViscosity of a state: the fluid's correlation, or the trade's middle figure
// where it has none. An error of 1.3 times in it moves friction by about 5 %.
//
// Range:  any liquid
// Error:  none
// Source: props.Viscosity; trade-basis 2.6 (textbook span 60-240 uPas)
func LiquidViscosity(f *props.Fluid, s props.State) units.Viscosity {
	if mu, err := f.Viscosity(s); err == nil {
		return mu
	}
	return units.PascalSeconds(limits.Value("liquid_viscosity_uPas") * 1e-6)
}
