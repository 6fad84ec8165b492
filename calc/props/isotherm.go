package props

import "math"

// Bounds of all components of a blend together: their bell-shaped terms, and
// their different powers of tau.
const (
	maxBumps  = 40
	maxRaises = 200
)

// isotherm holds everything of a model's residual that depends on temperature
// alone, so that a point along it costs a short polynomial: the power terms of
// all components fold into one table by (l, d).
type isotherm struct {
	tau       float64
	c, e, ee  [maxL + 1][maxD + 1]float64 // sums of c, c E and c times the second-order factor in tau
	pow       [maxRaises]float64          // powers of tau
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
	iso.raise(m, lnTau)
	for i := range m.power {
		k := &m.power[i]
		c, e, ee := k.n*iso.pow[k.pow], k.t, k.t*k.t-k.t
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

// raise computes the powers of tau that the terms share. Most are the product of
// two before them; the others cost an exponential.
func (iso *isotherm) raise(m *model, lnTau float64) {
	for i, r := range m.raises {
		if r.by < 0 {
			iso.pow[i] = math.Exp(r.t * lnTau)
			continue
		}
		iso.pow[i] = iso.pow[r.of] * iso.pow[r.by]
	}
}

// powers are delta^0 … delta^top, delta^maxL at least.
type powers [maxD + 1]float64

func (p *powers) fill(delta float64, top int) {
	p[0] = 1
	for i := 1; i <= top; i++ {
		p[i] = p[i-1] * delta
	}
}

// fading is exp(-x). In thin gas x = delta^l is so small that four terms of the
// series are exact to the last digit: the fifth is below 5e-18.
func fading(x float64) float64 {
	if x < 1e-4 {
		return 1 - x + x*x*(0.5-x/6)
	}
	return math.Exp(-x)
}

// bell is the factor exp(-eta x^2) of a bell-shaped term, which neighbors often
// share.
func (iso *isotherm) bell(i int, x, before float64) float64 {
	k := &iso.bump[i]
	if i > 0 && k.eta == iso.bump[i-1].eta && k.eps == iso.bump[i-1].eps {
		return before
	}
	return math.Exp(-k.eta * x * x)
}

// pressureTerms is what a density solver needs: delta alphar_delta and
// delta^2 alphar_deltadelta.
func (iso *isotherm) pressureTerms(m *model, delta float64) (d1, d2 float64) {
	var p powers
	p.fill(delta, m.topPower)
	d1, d2 = iso.powerTerms(m, &p)
	bell := 0.0
	for i := range iso.bump[:iso.bumpCount] {
		k := &iso.bump[i]
		x := delta - k.eps
		bell = iso.bell(i, x, bell)
		a := k.c * p[k.d] * bell
		capD := float64(k.d) - 2*k.eta*delta*x
		d1 += a * capD
		d2 += a * (capD*capD - float64(k.d) - 2*k.eta*delta*delta)
	}
	if len(m.critical) == 0 {
		return d1, d2
	}
	near := nearAt(iso.tau, delta)
	for i := range m.critical {
		c1, c2 := m.critical[i].along(delta, &near)
		d1 += m.weight[i] * c1
		d2 += m.weight[i] * c2
	}
	return d1, d2
}

// powerTerms is pressureTerms of the power terms alone.
func (iso *isotherm) powerTerms(m *model, p *powers) (d1, d2 float64) {
	for _, s := range m.slots {
		l, lDeltaL, g := float64(s.l), 0.0, 1.0
		if s.l > 0 {
			lDeltaL, g = l*p[s.l], fading(p[s.l])
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
	return d1, d2
}

// virial is the start of delta alphar_delta = b delta + c delta^2 + …: B rho_red
// and C rho_red^2, without the terms that matter only near the critical point.
func (iso *isotherm) virial(m *model) (b, c float64) {
	for _, s := range m.slots {
		if s.low <= 1 {
			b += iso.c[s.l][1]
		}
		if s.low <= 2 && s.high >= 2 {
			c += 2 * iso.c[s.l][2]
		}
		if s.l == 1 && s.low <= 1 {
			c -= 2 * iso.c[1][1] // of the exponential
		}
	}
	for i := range iso.bump[:iso.bumpCount] {
		k := &iso.bump[i]
		if k.d > 2 {
			continue
		}
		thin := k.c * m.bumps[i].thin
		if k.d == 2 {
			c += 2 * thin
			continue
		}
		b += thin
		c += 4 * k.eta * k.eps * thin
	}
	return b, c
}

// at is the residual and all its derivatives at delta.
func (iso *isotherm) at(m *model, delta float64) helmholtz {
	var sum helmholtz
	var p powers
	p.fill(delta, m.topPower)
	for _, s := range m.slots {
		l, lDeltaL, g := float64(s.l), 0.0, 1.0
		if s.l > 0 {
			lDeltaL, g = l*p[s.l], fading(p[s.l])
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
	bell := 0.0
	for i := range iso.bump[:iso.bumpCount] {
		k := &iso.bump[i]
		x := delta - k.eps
		bell = iso.bell(i, x, bell)
		a := k.c * p[k.d] * bell
		sum.term(a, float64(k.d)-2*k.eta*delta*x, float64(k.d), -2*k.eta*delta*delta, k.e, k.ee)
	}
	if len(m.critical) == 0 {
		return sum
	}
	near := nearAt(iso.tau, delta)
	for i := range m.critical {
		sum.add(m.weight[i], m.critical[i].at(iso.tau, delta, &near))
	}
	return sum
}
