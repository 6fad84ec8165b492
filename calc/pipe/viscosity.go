package pipe

import (
	"math"

	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// GasViscosity of a state: the fluid's correlation, or corresponding states where
// it has none. An error of 1.3 times in it moves friction by about 5 %.
//
// In:     fluid; gas
// Out:    viscosity
// Range:  any gas
// Error:  none
// Within: that of props.Viscosity; 12 % of it by corresponding states
// Source: props.Viscosity; Lucas 1984, see correspondingViscosity
func GasViscosity(f *props.Fluid, s props.State) units.Viscosity {
	if mu, err := f.Viscosity(s); err == nil {
		return mu
	}
	return correspondingViscosity(f, s)
}

// correspondingViscosity is that of thin gas by its critical point; the trade's
// middle figure where that is not known.
//
//	mu xi = 0.807 Tr^0.618 - 0.357 exp(-0.449 Tr) + 0.340 exp(-4.058 Tr) + 0.018    uP
//	xi = 0.176 (Tc / (M^3 pc^4))^(1/6)    K, g/mol, bar
//
// Source: Lucas, in Reid, Prausnitz, Poling, The Properties of Gases and Liquids (from memory)
func correspondingViscosity(f *props.Fluid, s props.State) units.Viscosity {
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
// In:     fluid; liquid
// Out:    viscosity
// Range:  any liquid
// Error:  none
// Within: that of props.Viscosity
// Source: props.Viscosity; trade-basis 2.6 (textbook span 60-240 uPas)
func LiquidViscosity(f *props.Fluid, s props.State) units.Viscosity {
	if mu, err := f.Viscosity(s); err == nil {
		return mu
	}
	return units.PascalSeconds(limits.Value("liquid_viscosity_uPas") * 1e-6)
}
