package props

import "math"

// maxBumps bounds the bell-shaped terms of all components of a blend together.
const maxBumps = 40

// isotherm holds everything of a model's residual that depends on temperature
// alone, so that a point along it costs a short polynomial: the power terms of
// all components fold into one table by (l, d).
type isotherm struct {
	tau       float64
	c, e, ee  [maxL + 1][maxD + 1]float64 // sums of c, c E and c times the second-order factor in tau
	bump      [maxBumps]bumpAt
	bumpCount int
}

type bumpAt struct {
	c, e, ee, eta, eps float64
	d                  int
}

// fill prepares the isotherm of a model at tau.
func (iso *isotherm) fill(m *model, tau float64) {
	lnTau := math.Log(tau)
	iso.tau = tau
	for _, s := range m.slots {
		for d := s.low; d <= s.high; d++ {
			iso.c[s.l][d], iso.e[s.l][d], iso.ee[s.l][d] = 0, 0, 0
		}
	}
	lastT, lastPow := math.NaN(), 0.0
	for i := range m.power {
		k := &m.power[i]
		if k.t != lastT { // the terms are sorted by t
			lastT, lastPow = k.t, math.Exp(k.t*lnTau)
		}
		c, e, ee := k.n*lastPow, k.t, k.t*k.t-k.t
		if k.m != 0 {
			c, e, ee = k.thermal(tau, lnTau)
		}
		iso.c[k.l][k.d] += c
		iso.e[k.l][k.d] += c * e
		iso.ee[k.l][k.d] += c * ee
	}
	iso.bumpCount = len(m.bumps)
	for i := range m.bumps {
		k := &m.bumps[i]
		c, e, ee := k.thermal(tau, lnTau)
		iso.bump[i] = bumpAt{c, e, ee, k.eta, k.eps, k.d}
	}
}

// powers returns delta^0 … delta^maxD.
func powers(delta float64) (p [maxD + 1]float64) {
	p[0] = 1
	for i := 1; i <= maxD; i++ {
		p[i] = p[i-1] * delta
	}
	return p
}

// pressureTerms is what a density solver needs: delta alphar_delta and
// delta^2 alphar_deltadelta.
func (iso *isotherm) pressureTerms(m *model, delta float64) (d1, d2 float64) {
	p := powers(delta)
	for _, s := range m.slots {
		l, lDeltaL, g := float64(s.l), 0.0, 1.0
		if s.l > 0 {
			lDeltaL, g = l*p[s.l], math.Exp(-p[s.l])
		}
		u2 := -(l - 1) * lDeltaL
		var s1, s2 float64
		row := &iso.c[s.l]
		for d := s.low; d <= s.high; d++ {
			a := row[d] * p[d]
			capD := float64(d) - lDeltaL
			s1 += a * capD
			s2 += a * (capD*capD - float64(d) + u2)
		}
		d1 += g * s1
		d2 += g * s2
	}
	for i := range iso.bump[:iso.bumpCount] {
		k := &iso.bump[i]
		x := delta - k.eps
		a := k.c * p[k.d] * math.Exp(-k.eta*x*x)
		capD := float64(k.d) - 2*k.eta*delta*x
		d1 += a * capD
		d2 += a * (capD*capD - float64(k.d) - 2*k.eta*delta*delta)
	}
	if len(m.critical) == 0 {
		return d1, d2
	}
	near := nearPowers(iso.tau, delta)
	for i := range m.critical {
		c1, c2 := m.critical[i].along(delta, &near)
		d1 += m.weight[i] * c1
		d2 += m.weight[i] * c2
	}
	return d1, d2
}

// virial is B rho_red: the slope of delta alphar_delta at zero density, without
// the terms that matter only near the critical point.
func (iso *isotherm) virial(m *model) float64 {
	sum := 0.0
	for _, s := range m.slots {
		if s.low <= 1 {
			sum += iso.c[s.l][1]
		}
	}
	for i := range iso.bump[:iso.bumpCount] {
		if k := &iso.bump[i]; k.d == 1 {
			sum += k.c * math.Exp(-k.eta*k.eps*k.eps)
		}
	}
	return sum
}

// at is the residual and all its derivatives at delta.
func (iso *isotherm) at(m *model, delta float64) helmholtz {
	var sum helmholtz
	p := powers(delta)
	for _, s := range m.slots {
		l, lDeltaL, g := float64(s.l), 0.0, 1.0
		if s.l > 0 {
			lDeltaL, g = l*p[s.l], math.Exp(-p[s.l])
		}
		u2 := -(l - 1) * lDeltaL
		c, e, ee := &iso.c[s.l], &iso.e[s.l], &iso.ee[s.l]
		for d := s.low; d <= s.high; d++ {
			w := g * p[d]
			capD := float64(d) - lDeltaL
			a, aE := w*c[d], w*e[d]
			sum.a += a
			sum.d += a * capD
			sum.dd += a * (capD*capD - float64(d) + u2)
			sum.t += aE
			sum.dt += aE * capD
			sum.tt += w * ee[d]
		}
	}
	for i := range iso.bump[:iso.bumpCount] {
		k := &iso.bump[i]
		x := delta - k.eps
		a := k.c * p[k.d] * math.Exp(-k.eta*x*x)
		sum.term(a, float64(k.d)-2*k.eta*delta*x, float64(k.d), -2*k.eta*delta*delta, k.e, k.ee)
	}
	if len(m.critical) == 0 {
		return sum
	}
	near := nearPowers(iso.tau, delta)
	for i := range m.critical {
		sum.add(m.weight[i], m.critical[i].at(iso.tau, delta, &near))
	}
	return sum
}
