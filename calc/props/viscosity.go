package props

import (
	"math"

	"coldcase/refdata/refrigerant"
)

// viscosity is a published viscosity model of one equation: the gas at zero
// density and what density adds, both in Pa s.
type viscosity interface {
	dilute(t float64) float64
	dense(s spot) float64
}

func readViscosity(sheet *refrigerant.Sheet, c *component) (viscosity, error) {
	b := &block{s: sheet, prefix: "viscosity"}
	if !sheet.Has("viscosity") {
		return predictedViscosity(c)
	}
	k := molecule{b.number("", "sigma_m"), b.number("", "epsilon_over_k_K"), c.molarMass}
	var v viscosity
	switch b.text("", "model") {
	case "dilute_initial_residual":
		v = readDenseGas(b, k, c)
	case "entropy_scaling_cs":
		v = &entropyScaled{k, b.number("", "C"), b.list("", "c_liq"), b.list("", "c_vap"), b.number("", "x_crossover"), b.number("", "rho_s_r_critical")}
	case "ecs":
		v = readCorresponding(b, k)
	case "chung":
		v = readChung(b, k)
	case "shan_r23":
		v = readFreeVolumeViscosity(b)
	default:
		b.fail("", "no such viscosity model")
	}
	return v, b.err
}

// denseGas is eta0 + eta1 + eta2: dilute gas, first density correction, rest.
type denseGas struct {
	molecule
	zero       func(t float64) float64
	firstTerms powerSum // of T*, times eta0 rho N_A sigma^3
	avogadro   float64
	rest       func(s spot) float64
}

func (v *denseGas) dilute(t float64) float64 { return v.zero(t) }

func (v *denseGas) dense(s spot) float64 {
	first := 0.0
	if v.avogadro != 0 {
		// J.C. Rainwater, D.G. Friend, Phys. Rev. A 36 (1987) 4062.
		first = v.zero(s.t) * s.rho * v.avogadro * v.sigma * v.sigma * v.sigma * v.firstTerms.at(s.t/v.epsilon)
	}
	return first + v.rest(s)
}

func readDenseGas(b *block, k molecule, c *component) *denseGas {
	v := &denseGas{molecule: k}
	v.zero = readDilute(b, k, c)
	if b.has("initial_density") {
		v.firstTerms, v.avogadro = b.powers("initial_density", "b", "t"), b.number("initial_density", "N_A")
	}
	switch b.text("residual", "form") {
	case "batschinski_hildebrand":
		v.rest = readHildebrand(b)
	case "friction_theory":
		v.rest = readFriction(b)
	case "co2_2017":
		v.rest = readCarbonDioxide(b)
	default:
		b.fail("residual", "no such form")
	}
	return v
}

func readDilute(b *block, k molecule, c *component) func(float64) float64 {
	const at = "dilute"
	switch b.text(at, "form") {
	case "lennard_jones_neufeld":
		return k.dilute
	case "powers_of_T":
		return b.powers(at, "a", "t").at
	case "powers_of_Tr":
		p, tRed := b.powers(at, "a", "t"), b.number(at, "T_red_K")
		return func(t float64) float64 { return p.at(t / tRed) }
	case "collision_integral":
		p, scale, mass := b.powers(at, "a", "t"), b.number(at, "C"), b.number(at, "molar_mass_kg_mol")
		nm2 := k.sigma * k.sigma * 1e18
		return func(t float64) float64 {
			return scale * math.Sqrt(1000*mass*t) / (nm2 * math.Exp(p.at(math.Log(t/k.epsilon))))
		}
	case "co2_2017":
		a, scale := b.list(at, "a"), b.number(at, "C")
		if len(a) != 7 {
			b.fail(at, "a needs seven numbers")
			return nil
		}
		return func(t float64) float64 {
			third := math.Cbrt(t)
			return scale * math.Sqrt(t) / (a[0] + a[1]*math.Sqrt(third) + a[2]*math.Exp(a[3]*third) +
				(a[4]+a[5]*third)/math.Exp(third) + a[6]*math.Sqrt(t))
		}
	}
	b.fail(at, "no such form")
	return nil
}

// readHildebrand is a polynomial in delta and tau with a free-volume term whose
// close-packed density is delta0 (Batschinski, Hildebrand).
func readHildebrand(b *block) func(spot) float64 {
	tRed, rhoRed := b.number("residual", "T_red_K"), b.number("residual", "rho_red_mol_m3")
	const poly, free = "residual.poly", "residual.free_volume"
	a, d, t, gamma, l := b.list(poly, "a"), b.list(poly, "d"), b.list(poly, "t"), b.list(poly, "gamma"), b.list(poly, "l")
	f, fd, ft := b.list(free, "f"), b.list(free, "d"), b.list(free, "t")
	num, den := b.powers("residual.delta0_num", "g", "h"), b.powers("residual.delta0_den", "p", "q")
	return func(s spot) float64 {
		delta, tau := s.rho/rhoRed, tRed/s.t
		sum := 0.0
		for i := range a {
			sum += a[i] * math.Pow(delta, d[i]) * math.Pow(tau, t[i]) * math.Exp(gamma[i]*math.Pow(delta, l[i]))
		}
		squeeze := 0.0
		for i := range f {
			squeeze += f[i] * math.Pow(delta, fd[i]) * math.Pow(tau, ft[i])
		}
		if squeeze == 0 {
			return sum
		}
		packed := num.at(tau) / den.at(tau)
		return sum + squeeze*(1/(packed-delta)-1/packed)
	}
}

// readFriction is the friction theory of Quinones-Cisneros and Deiters (2006):
// attractive and repulsive pressure, in bar, drag on each other.
func readFriction(b *block) func(spot) float64 {
	const at = "residual"
	tRed, c1, c2 := b.number(at, "T_red_K"), b.number(at, "c1"), b.number(at, "c2")
	var k [6][]float64
	for i, key := range []string{"Aa", "Ar", "Ai", "Aaa", "Adrdr", "Aii"} {
		if k[i] = b.list(at, key); len(k[i]) != 3 {
			b.fail(at, key+" needs three numbers")
			return nil
		}
	}
	n := [6]float64{b.number(at, "Na"), b.number(at, "Nr"), 1, b.number(at, "Naa"), b.number(at, "Nrr"), b.number(at, "Nii")}
	return func(s spot) float64 {
		tau := tRed / s.t
		psi1, psi2 := math.Exp(tau)-c1, math.Exp(tau*tau)-c2
		drag := func(i int) float64 { return (k[i][0] + k[i][1]*psi1 + k[i][2]*psi2) * math.Pow(tau, n[i]) }
		const bar = 1e5
		ideal := s.rho * s.m.gasR * s.t / bar
		repel := s.t * s.dpdT() / bar
		attract := ideal*(1+s.h.d) - repel
		excess := repel - ideal
		return drag(0)*attract + drag(1)*excess + drag(2)*ideal +
			drag(3)*attract*attract + drag(4)*excess*excess + drag(5)*ideal*ideal
	}
}

// readCarbonDioxide is the background of Laesecke and Muzny (2017).
func readCarbonDioxide(b *block) func(spot) float64 {
	const at = "residual"
	c1, c2, gamma := b.number(at, "c1"), b.number(at, "c2"), b.number(at, "gamma")
	rhoTL, k, triple := b.number(at, "rho_tL_kg_m3"), b.number(at, "K"), b.number(at, "T_t_K")
	return func(s spot) float64 {
		tr, rr := s.t/triple, s.rho*s.m.molarMass/rhoTL
		scale := math.Pow(rhoTL, 2.0/3) * math.Sqrt(s.m.gasR*triple) / (math.Pow(s.m.molarMass, 1.0/6) * k)
		return scale * (c1*tr*rr*rr*rr + (rr*rr+math.Pow(rr, gamma))/(tr-c2))
	}
}

// entropyScaled reads the viscosity off the residual entropy.
// Source: I.H. Bell, A. Laesecke, Viscosity of refrigerants and other working
// fluids from residual entropy scaling (2016).
type entropyScaled struct {
	molecule
	scale          float64
	liquid, vapor  []float64
	crossover, ref float64
}

func (v *entropyScaled) dilute(t float64) float64 { return v.molecule.dilute(t) }

func (v *entropyScaled) dense(s spot) float64 {
	x := s.rho * s.m.gasR * (s.h.t - s.h.a) / v.ref
	l := 1 / (1 + math.Exp(-100*(x-v.crossover)))
	ln := l*polynomial(v.liquid, x) + (1-l)*polynomial(v.vapor, x)
	return v.molecule.dilute(s.t) * v.scale * math.Expm1(ln)
}
