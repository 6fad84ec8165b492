package props

import (
	"math"

	"coldcase/refdata/refrigerant"
)

// freeVolume is the form in which Shan, Penoncello and Jacobsen (ASHRAE Trans.
// 106 (2000) 757) wrote both transport properties of R23.
type freeVolume struct {
	c1, c2, deltaG, rhoL, rhoC, gasR, tC, peak float64
	unit                                       float64 // of the sum, in SI
	thin                                       func(t float64) float64
}

func readFreeVolume(b *block, peak string, unit float64) freeVolume {
	return freeVolume{
		c1: b.number("", "C1"), c2: b.number("", "C2"), deltaG: b.number("", "DeltaG_J_mol"),
		rhoL: b.number("", "rho_L_mol_dm3"), rhoC: b.number("", "rho_c_mol_dm3"),
		gasR: b.number("", "R_J_mol_K"), tC: b.number("", "T_c_K"), peak: b.number("", peak), unit: unit,
	}
}

// at is the whole property at t and rho.
func (v *freeVolume) at(t, rhoMolM3 float64) float64 {
	rho := rhoMolM3 / 1000
	room := v.rhoL - rho
	liquid := v.c2 * v.rhoL * v.rhoL / room * math.Sqrt(t) * math.Exp(rho/room*v.deltaG/(v.gasR*t))
	chi, theta := rho-v.rhoC, t-v.tC
	near := 4 * v.peak / ((math.Exp(chi) + math.Exp(-chi)) * (math.Exp(theta) + math.Exp(-theta)))
	return v.unit * (math.Pow(room/v.rhoL, v.c1)*v.thin(t) + math.Pow(rho/v.rhoL, v.c1)*liquid + near)
}

func (v *freeVolume) dilute(t float64) float64 { return v.unit * v.thin(t) }
func (v *freeVolume) dense(s spot) float64     { return v.at(s.t, s.rho) - v.dilute(s.t) }

func readFreeVolumeViscosity(b *block) *freeVolume {
	const micro = 1e-6
	v := readFreeVolume(b, "Deta_max_uPas", micro)
	a, scale, mass := b.list("", "collision_a"), b.number("", "chapman_enskog"), b.number("", "M_g_mol")
	nm, epsilon := b.number("", "sigma_m")*1e9, b.number("", "epsilon_over_k_K")
	v.thin = func(t float64) float64 {
		return scale * math.Sqrt(mass*t) / (nm * nm * math.Exp(polynomial(a, math.Log(t/epsilon))))
	}
	return &v
}

// chung is the estimate of Chung et al. (1988) from the critical point, the
// acentric factor and the dipole; its table of constants lies in chung.txt.
type chung struct {
	molecule
	tC, vC, fC float64     // K, cm3/mol
	e          [10]float64 // E1..E10
}

func readChung(b *block, k molecule) *chung {
	v := &chung{molecule: k, tC: b.number("", "T_c_K"), vC: 1e6 / b.number("", "rho_c_mol_m3")}
	omega, kappa := b.number("", "acentric"), b.number("", "kappa")
	mu := 131.3 * b.number("", "dipole_D") / math.Sqrt(v.vC*v.tC)
	mu4 := mu * mu * mu * mu
	v.fC = 1 - 0.2756*omega + 0.059035*mu4 + kappa
	s, err := refrigerant.OpenChung()
	if err != nil {
		if b.err == nil {
			b.err = err
		}
		return v
	}
	c, err := s.Columns("constants", "a", "b", "c", "d")
	if err != nil || len(c[0]) != len(v.e) {
		b.fail("", "the constants of Chung are incomplete")
		return v
	}
	for i := range v.e {
		v.e[i] = c[0][i] + c[1][i]*omega + c[2][i]*mu4 + c[3][i]*kappa
	}
	return v
}

func (v *chung) dilute(t float64) float64 { return v.at(t, 0) }
func (v *chung) dense(s spot) float64     { return v.at(s.t, s.rho) - v.at(s.t, 0) }

func (v *chung) at(t, rho float64) float64 {
	x := 1.2593 * t / v.tC
	omega := 1.16145*math.Pow(x, -0.14874) + 0.52487*math.Exp(-0.7732*x) + 2.16178*math.Exp(-2.43787*x) -
		6.435e-4*math.Pow(x, 0.14874)*math.Sin(18.0323*math.Pow(x, -0.7683)-7.27371)
	const microPoise = 1e-7
	unit := 36.344 * math.Sqrt(1000*v.molarMass*v.tC) / math.Pow(v.vC, 2.0/3) * microPoise
	thin := math.Sqrt(x) / omega * v.fC
	y := rho * v.vC * 1e-6 / 6
	if y == 0 {
		return unit * thin
	}
	e := &v.e
	g1 := (1 - 0.5*y) / math.Pow(1-y, 3)
	g2 := (e[0]*(-math.Expm1(-e[3]*y))/y + e[1]*g1*math.Exp(e[4]*y) + e[2]*g1) / (e[0]*e[3] + e[1] + e[2])
	return unit * (thin*(1/g2+e[5]*y) + e[6]*y*y*g2*math.Exp(e[7]+e[8]/x+e[9]/(x*x)))
}
