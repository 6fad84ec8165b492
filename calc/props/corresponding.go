package props

import (
	"math"
)

// corresponding is the extended corresponding states model: the dense part of a
// reference fluid, taken where both have the same alphar and compressibility.
// Source: S.A. Klein, M.O. McLinden, A. Laesecke, Int. J. Refrig. 20 (1997) 208;
// M.L. Huber et al., Ind. Eng. Chem. Res. 42 (2003) 3163.
type corresponding struct {
	molecule
	reference *pureTransport
	psi       powerSum
	psiRed    float64 // mol/m3
}

func readCorresponding(b *block, k molecule) *corresponding {
	ref, err := transportOf(b.text("", "reference_fluid"))
	if err != nil && b.err == nil {
		b.err = err
	}
	return &corresponding{k, ref, b.powers("psi", "a", "t"), b.number("psi", "rho_red_mol_m3")}
}

// predictedViscosity serves the two fluids that nobody published a viscosity
// for: R134a in corresponding states without a fitted correction. Expect 15 %.
func predictedViscosity(c *component) (*corresponding, error) {
	ref, err := transportOf("R134a")
	return &corresponding{estimatedMolecule(c), ref, powerSum{[]float64{1}, []float64{0}}, c.rhoRed}, err
}

func (v *corresponding) dilute(t float64) float64 { return v.molecule.dilute(t) }

func (v *corresponding) dense(s spot) float64 {
	ref := v.reference.m
	t0, rho0 := s.conformal(ref)
	at := ref.spot(t0, rho0*v.psi.at(s.rho/v.psiRed))
	f, h := s.t/t0, rho0/s.rho
	return v.reference.viscosity.dense(at) * math.Sqrt(f) * math.Pow(h, -2.0/3) * math.Sqrt(s.m.molarMass/ref.molarMass)
}

// conformal finds where the reference fluid has the same alphar and Z. Thin gas
// fixes neither: there the start by the critical points stands.
func (s spot) conformal(ref *model) (t0, rho0 float64) {
	c, r := s.m.parts[0], ref.parts[0]
	t0, rho0 = s.t*r.tCrit/c.tCrit, s.rho*r.rhoCrit/c.rhoCrit
	missAt := func(t, rho float64) (spot, float64, float64) {
		at := ref.spot(t, rho)
		return at, at.h.a - s.h.a, at.h.d - s.h.d
	}
	at, fa, fd := missAt(t0, rho0)
	for range 60 {
		size := math.Abs(fa) + math.Abs(fd)
		if size < 1e-12 {
			break
		}
		aT, aR := -at.h.t/t0, at.h.d/rho0
		dT, dR := -at.h.dt/t0, (at.h.d+at.h.dd)/rho0
		det := aT*dR - aR*dT
		if det == 0 {
			break
		}
		stepT, stepR := (fa*dR-fd*aR)/det, (fd*aT-fa*dT)/det
		step, moved := 1.0, false
		for range 12 {
			t, rho := t0-step*stepT, rho0-step*stepR
			if t > 0.3*t0 && t < 3*t0 && rho > 0 {
				next, na, nd := missAt(t, rho)
				if math.Abs(na)+math.Abs(nd) < size {
					at, fa, fd, t0, rho0, moved = next, na, nd, t, rho, true
					break
				}
			}
			step /= 2
		}
		if !moved {
			break
		}
	}
	return t0, rho0
}
