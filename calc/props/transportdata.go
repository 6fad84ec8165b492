package props

import (
	"math"

	"coldcase/refdata/refrigerant"
)

// spot is a single-phase state as the transport models want it: molar, with the
// residual Helmholtz energy already taken.
type spot struct {
	m      *model
	t, rho float64 // K, mol/m3
	h      helmholtz
}

func (m *model) spot(t, rho float64) spot {
	iso := isotherms.Get().(*isotherm)
	defer isotherms.Put(iso)
	iso.fill(m, m.tRed/t)
	return spot{m, t, rho, iso.at(m, rho/m.rhoRed)}
}

// dpdrho is in J/mol, dpdT in Pa/K.
func (s *spot) dpdrho() float64 { return s.m.gasR * s.t * (1 + 2*s.h.d + s.h.dd) }
func (s *spot) dpdT() float64   { return s.m.gasR * s.rho * (1 + s.h.d - s.h.dt) }

// heats are cp and cv in J/(mol K).
func (s *spot) heats() (cp, cv float64) {
	_, _, btt := s.m.idealAt(s.t, s.rho)
	push := 1 + s.h.d - s.h.dt
	cv = -(btt + s.h.tt)
	return s.m.gasR * (cv + push*push/(1+2*s.h.d+s.h.dd)), s.m.gasR * cv
}

// idealCp is the heat capacity of the dilute gas, J/(mol K).
func (s *spot) idealCp() float64 {
	_, _, btt := s.m.idealAt(s.t, s.rho)
	return s.m.gasR * (1 - btt)
}

// block reads the figures of one section group of a fluid's sheet and keeps the
// first thing that is wrong.
type block struct {
	s      *refrigerant.Sheet
	prefix string
	err    error
}

func (b *block) section(name string) string {
	if name == "" {
		return b.prefix
	}
	return b.prefix + "." + name
}

func (b *block) number(name, key string) float64 {
	v, err := b.s.Number(b.section(name), key)
	if err != nil && b.err == nil {
		b.err = err
	}
	return v
}

func (b *block) list(name, key string) []float64 {
	v, err := b.s.Numbers(b.section(name), key)
	if err != nil && b.err == nil {
		b.err = err
	}
	return v
}

func (b *block) text(name, key string) string { return b.s.Text(b.section(name), key) }
func (b *block) has(name string) bool         { return b.s.Has(b.section(name)) }

// fail notes a model or form that the sheet names and nobody wrote.
func (b *block) fail(name, problem string) {
	if b.err == nil {
		b.err = &SheetError{Section: b.section(name), Problem: problem}
	}
}

// molecule is the size and attraction of a Lennard-Jones molecule.
type molecule struct {
	sigma, epsilon float64 // m; K
	molarMass      float64 // kg/mol
}

// estimatedMolecule takes size and attraction from the reducing point.
// Source: T.-H. Chung et al., Ind. Eng. Chem. Res. 27 (1988) 671:
// sigma/nm = 0.809 Vc^(1/3) with Vc in dm3/mol, epsilon/k = Tc/1.2593.
func estimatedMolecule(c *component) molecule {
	return molecule{sigma: 0.809e-9 / math.Cbrt(c.rhoRed/1000), epsilon: c.tRed / 1.2593, molarMass: c.molarMass}
}

// dilute is the viscosity of the gas of such molecules, Pa s.
// Source: Chapman and Enskog with the collision integral of P.D. Neufeld et al.,
// J. Chem. Phys. 57 (1972) 1100.
func (k molecule) dilute(t float64) float64 {
	x := t / k.epsilon
	omega := 1.16145*math.Pow(x, -0.14874) + 0.52487*math.Exp(-0.7732*x) + 2.16178*math.Exp(-2.43787*x)
	nm := k.sigma * 1e9
	return 26.692e-9 * math.Sqrt(1000*k.molarMass*t) / (nm * nm * omega)
}

// powerSum is sum n x^t.
type powerSum struct{ n, t []float64 }

func (p powerSum) at(x float64) float64 {
	sum := 0.0
	for i, n := range p.n {
		sum += n * math.Pow(x, p.t[i])
	}
	return sum
}

func (b *block) powers(name, n, t string) powerSum {
	p := powerSum{b.list(name, n), b.list(name, t)}
	if len(p.n) != len(p.t) {
		b.fail(name, n+" and "+t+" differ in length")
		return powerSum{}
	}
	return p
}

// polynomial is sum c[i] x^i.
func polynomial(c []float64, x float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = sum*x + c[i]
	}
	return sum
}
