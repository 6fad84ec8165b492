package props

import (
	"math"

	"coldcase/refdata/refrigerant"
)

// conductivity is a published thermal conductivity of one equation, W/(m K): the
// gas at zero density, what density adds, and the peak near the critical point.
type conductivity struct {
	dilute func(s spot) float64
	dense  func(s spot) float64
	peak   func(s spot, eta float64) float64
}

func noPeak(spot, float64) float64 { return 0 }

func readConductivity(sheet *refrigerant.Sheet, c *component, k molecule) (conductivity, error) {
	b := &block{s: sheet, prefix: "conductivity"}
	if !sheet.Has("conductivity") {
		return predictedConductivity(c)
	}
	v := conductivity{peak: noPeak}
	switch b.text("", "model") {
	case "dilute_residual_critical":
		v.dilute = readDiluteConductivity(b, c)
		v.dense = readConductivityPolynomial(b)
	case "ecs":
		v.dilute = readInternal(b, k)
		v.dense = readCorresponding(b, k).denseConductivity
	case "shan_r23":
		const milli = 1e-3
		f := readFreeVolume(b, "Dlambda_max_mW_m_K", milli)
		b1, b2 := b.number("", "B1"), b.number("", "B2")
		f.thin = func(t float64) float64 { return b1 + b2*t }
		v.dilute = func(s spot) float64 { return f.dilute(s.t) }
		v.dense = f.dense
	default:
		b.fail("", "no such conductivity model")
	}
	if b.has("critical") {
		v.peak = readPeak(b)
	}
	return v, b.err
}

// predictedConductivity is R134a in corresponding states, as predictedViscosity,
// with the internal factor 1.32e-3 that Huber et al. (2003) take where nothing
// is fitted. Expect 20 %.
func predictedConductivity(c *component) (conductivity, error) {
	v, err := predictedViscosity(c)
	internal := func(float64) float64 { return 1.32e-3 }
	return conductivity{internalConductivity(internal, v.molecule), v.denseConductivity, noPeak}, err
}

func readDiluteConductivity(b *block, c *component) func(spot) float64 {
	const at = "dilute"
	switch b.text(at, "form") {
	case "ratio_of_polynomials":
		top, bottom, tRed := b.powers(at, "A", "n"), b.powers(at, "B", "m"), b.number(at, "T_red_K")
		return func(s spot) float64 { return top.at(s.t/tRed) / bottom.at(s.t/tRed) }
	case "co2_2016":
		l := b.list(at, "l")
		return func(s spot) float64 {
			tau := c.tRed / s.t
			return 1e-3 / (math.Sqrt(tau) * polynomial(l, tau))
		}
	}
	b.fail(at, "no such form")
	return nil
}

func readConductivityPolynomial(b *block) func(spot) float64 {
	const at = "residual"
	n, t, d := b.list(at, "B"), b.list(at, "t"), b.list(at, "d")
	tRed, rhoRed := b.number(at, "T_red_K"), b.number(at, "rho_red_kg_m3")
	if len(n) != len(t) || len(n) != len(d) {
		b.fail(at, "B, t and d differ in length")
		return nil
	}
	return func(s spot) float64 {
		delta, tau, sum := s.rho*s.m.molarMass/rhoRed, tRed/s.t, 0.0
		for i := range n {
			sum += n[i] * math.Pow(tau, t[i]) * math.Pow(delta, d[i])
		}
		return sum
	}
}

// readInternal adds what the inner motion of the molecule carries.
func readInternal(b *block, k molecule) func(spot) float64 {
	p, tRed := b.powers("f_int", "a", "t"), b.number("f_int", "T_red_K")
	return internalConductivity(func(t float64) float64 { return p.at(t / tRed) }, k)
}

// internalConductivity is f_int eta (cp0 - 5/2 R) + 15/4 R eta, all by mass; the
// published f_int wants eta in uPa s and gives mW/(m K).
func internalConductivity(internal func(t float64) float64, k molecule) func(spot) float64 {
	return func(s spot) float64 {
		micro := k.dilute(s.t) * 1e6
		perMass := s.m.gasR / s.m.molarMass
		inner := internal(s.t) * micro * (s.idealCp()/s.m.molarMass - 2.5*perMass) / 1000
		return inner + 15e-3/4*perMass/1000*micro
	}
}

func (v *corresponding) denseConductivity(s spot) float64 {
	ref := v.reference.m
	t0, rho0 := s.conformal(ref)
	at := ref.spot(t0, rho0*v.psi.at(s.rho/v.psiRed))
	f, h := s.t/t0, rho0/s.rho
	return v.reference.conductivity.dense(at) * math.Sqrt(f) * math.Pow(h, -2.0/3) * math.Sqrt(ref.molarMass/s.m.molarMass)
}

func readPeak(b *block) func(spot, float64) float64 {
	switch b.text("critical", "form") {
	case "none":
		return noPeak
	case "olchowy_sengers_simplified":
		return readOlchowy(b)
	case "gaussian_r123":
		a := b.list("critical", "a")
		return func(s spot, _ float64) float64 {
			x, y := s.m.tRed/s.t-1, s.rho/s.m.rhoRed-1
			return a[0] * math.Exp(a[1]*x*x*x*x+a[2]*y*y)
		}
	case "tufeu_ammonia":
		return readTufeu(b)
	}
	b.fail("critical", "no such form")
	return nil
}

// readOlchowy is the simplified crossover of G.A. Olchowy and J.V. Sengers,
// Int. J. Thermophys. 10 (1989) 417.
func readOlchowy(b *block) func(spot, float64) float64 {
	const at = "critical"
	kB, r0 := b.number(at, "k_B"), b.number(at, "R0")
	gamma, nu, amplitude, zeta0 := b.number(at, "gamma"), b.number(at, "nu"), b.number(at, "GAMMA"), b.number(at, "zeta0_m")
	qD, tRef, pRed := b.number(at, "q_D_1_m"), b.number(at, "T_ref_K"), b.number(at, "p_red_Pa")
	return func(s spot, eta float64) float64 {
		rhoRed := s.m.rhoRed
		far := s.m.spot(tRef, s.rho)
		swing := pRed / (rhoRed * rhoRed) * s.rho * (1/s.dpdrho() - tRef/(s.t*far.dpdrho()))
		if !(swing > 0) {
			return 0
		}
		xi := zeta0 * math.Pow(swing/amplitude, nu/gamma)
		y, delta := qD*xi, s.rho/rhoRed
		cp, cv := s.heats()
		k := cv / cp
		omega := 2 / math.Pi * ((1-k)*math.Atan(y) + k*y)
		omega0 := 2 / math.Pi * -math.Expm1(-1/(1/y+y*y/(3*delta*delta)))
		return s.rho * cp * r0 * kB * s.t / (6 * math.Pi * eta * xi) * (omega - omega0)
	}
}

// readTufeu is the peak of R. Tufeu et al., Ber. Bunsenges. Phys. Chem. 88 (1984) 422.
func readTufeu(b *block) func(spot, float64) float64 {
	const at = "critical"
	tC, rhoC, kB := b.number(at, "T_c_K"), b.number(at, "rho_c_kg_m3"), b.number(at, "k_B")
	lambda, nu, gamma, width := b.number(at, "LAMBDA"), b.number(at, "nu"), b.number(at, "gamma"), b.number(at, "DELTA")
	zeta0, aZeta, gamma0 := b.number(at, "zeta0_m"), b.number(at, "a_zeta"), b.number(at, "GAMMA0")
	return func(s spot, _ float64) float64 {
		t := math.Max(math.Abs(s.t-tC)/tC, 1e-9)
		tail := math.Pow(t, width)
		eta, push := (2.6+1.6*t)*1e-5, (2.18-0.12*math.Exp(-17.8*t))*1e5
		x := 0.61*rhoC + 16.5*math.Log(t)
		peak := lambda * kB * s.t * s.t / (6 * math.Pi * eta * zeta0 * math.Pow(t, -nu) * (1 + aZeta*tail)) *
			push * push * gamma0 * math.Pow(t, -gamma) * (1 + aZeta/0.7*tail)
		rho, thin := s.rho*s.m.molarMass, 1.0
		if least := 0.6 * rhoC; rho < least {
			thin, rho = rho*rho/(least*least), least
		}
		off := rho - 0.96*rhoC
		return peak * math.Exp(-36*t*t) * x * x / (x*x + off*off) * thin
	}
}
