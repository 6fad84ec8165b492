package props

import "math"

// Blends have no published correlation of their own. Each component's published
// model is asked at its corresponding state (the same tau and delta as the
// blend, which the multi-fluid model itself does), scaled by dimension and
// weighted by mole fraction; the dilute gas is mixed by kinetic theory.
//
// Sources: one-fluid corresponding states, J.F. Ely, H.J.M. Hanley, Ind. Eng.
// Chem. Fundam. 20 (1981) 323; dilute viscosity C.R. Wilke, J. Chem. Phys. 18
// (1950) 517; dilute conductivity E.A. Mason, S.C. Saxena, Phys. Fluids 1 (1958)
// 361. Measured against the published correlations of R404A, R407C, R410A and
// R507A by TestBlendTransport.

// blendPart is a component at its corresponding state.
type blendPart struct {
	t    *pureTransport
	thin spot // at the blend's temperature, density zero
	same spot // at the blend's tau and delta
}

func (f *Fluid) blendParts(s spot) ([maxParts]blendPart, error) {
	var parts [maxParts]blendPart
	tau, delta := f.m.tRed/s.t, s.rho/f.m.rhoRed
	for i, c := range f.m.parts {
		t, err := transportOf(c.name)
		if err != nil {
			return parts, err
		}
		parts[i] = blendPart{t, spot{m: t.m, t: s.t, rho: 1e-6}, t.m.spot(c.tRed/tau, c.rhoRed*delta)}
	}
	return parts, nil
}

// viscosityUnit and conductivityUnit are the dimension of a property, made of
// the reducing point and the molar mass.
func viscosityUnit(mass, t, rho float64) float64 {
	return math.Sqrt(mass*t) * math.Pow(rho, 2.0/3)
}

func conductivityUnit(mass, t, rho float64) float64 {
	return math.Sqrt(t/mass) * math.Pow(rho, 2.0/3)
}

func (f *Fluid) blendViscosity(s spot) (float64, error) {
	parts, err := f.blendParts(s)
	if err != nil {
		return 0, err
	}
	n := len(f.m.parts)
	var thin [maxParts]float64
	dense := 0.0
	for i, c := range f.m.parts {
		thin[i] = parts[i].t.viscosity.dilute(s.t)
		dense += f.m.x[i] * parts[i].t.viscosity.dense(parts[i].same) / viscosityUnit(c.molarMass, c.tRed, c.rhoRed)
	}
	sum := 0.0
	for i := range n {
		sum += f.m.x[i] * thin[i] / f.wilke(&thin, i)
	}
	v := sum + dense*viscosityUnit(f.m.molarMass, f.m.tRed, f.m.rhoRed)
	return positive(v, "viscosity", f.Name())
}

// wilke is sum x_j phi_ij.
func (f *Fluid) wilke(eta *[maxParts]float64, i int) float64 {
	sum := 0.0
	for j := range f.m.parts {
		ratio := f.m.parts[j].molarMass / f.m.parts[i].molarMass
		up := 1 + math.Sqrt(eta[i]/eta[j])*math.Sqrt(math.Sqrt(ratio))
		sum += f.m.x[j] * up * up / math.Sqrt(8*(1+1/ratio))
	}
	return sum
}

func (f *Fluid) blendConductivity(s spot) (float64, error) {
	parts, err := f.blendParts(s)
	if err != nil {
		return 0, err
	}
	var eta [maxParts]float64
	for i := range f.m.parts {
		eta[i] = parts[i].t.viscosity.dilute(s.t)
	}
	sum, dense := 0.0, 0.0
	for i, c := range f.m.parts {
		v := &parts[i].t.conductivity
		sum += f.m.x[i] * v.dilute(parts[i].thin) / f.wilke(&eta, i)
		dense += f.m.x[i] * v.dense(parts[i].same) / conductivityUnit(c.molarMass, c.tRed, c.rhoRed)
	}
	v := sum + dense*conductivityUnit(f.m.molarMass, f.m.tRed, f.m.rhoRed)
	return positive(v, "conductivity", f.Name())
}
