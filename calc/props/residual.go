package props

import (
	"math"

	"coldcase/refdata/refrigerant"
)

// powerTerm is n delta^d tau^t exp(-delta^l) exp(-tau^m); l = 0 and m = 0 leave
// their exponential out.
type powerTerm struct {
	n, t, m float64
	d, l    int
	pow     int // in the model's table of powers of tau
}

// bumpTerm is n delta^d tau^t exp(-eta (delta-eps)^2) exp(V(tau)), where V is
// the bell -beta (tau-gamma)^2, or 1/(b + beta (tau-gamma)^2) when b is set.
type bumpTerm struct {
	n, t, eta, eps, beta, gamma, b float64
	d                              int
	thin                           float64 // exp(-eta eps^2), its bell at no density
}

// criticalTerm is the nonanalytic term of Span and Wagner 1996 (R744).
type criticalTerm struct{ n, a, b, beta, capA, capB, capC, capD float64 }

// residual is the residual Helmholtz energy of one fluid, or a departure
// function, as a sum of terms.
type residual struct {
	power    []powerTerm
	bumps    []bumpTerm
	critical []criticalTerm
}

// Bounds of the exponents that the isotherm's table has room for.
const (
	maxD = 15
	maxL = 6
)

// helmholtz holds a reduced Helmholtz energy and its scaled derivatives:
// delta d/ddelta, tau d/dtau and their second orders.
type helmholtz struct{ a, d, t, dd, tt, dt float64 }

func (h *helmholtz) add(w float64, g helmholtz) {
	h.a += w * g.a
	h.d += w * g.d
	h.t += w * g.t
	h.dd += w * g.dd
	h.tt += w * g.tt
	h.dt += w * g.dt
}

// at sums the terms at one point. It is the plain form that the isotherm is
// held against, and serves phases whose composition changes from call to call.
func (r *residual) at(tau, delta float64) helmholtz {
	var sum helmholtz
	lnTau, lnDelta := math.Log(tau), math.Log(delta)
	var deltaL, expL [maxL + 1]float64
	expL[0] = 1
	for l := 1; l <= maxL; l++ {
		deltaL[l] = math.Exp(float64(l) * lnDelta)
		expL[l] = math.Exp(-deltaL[l])
	}
	for i := range r.power {
		k := &r.power[i]
		c, e, ee := k.thermal(tau, lnTau)
		l := float64(k.l)
		a := c * math.Exp(float64(k.d)*lnDelta) * expL[k.l]
		sum.term(a, float64(k.d)-l*deltaL[k.l], float64(k.d), -l*(l-1)*deltaL[k.l], e, ee)
	}
	for i := range r.bumps {
		k := &r.bumps[i]
		c, e, ee := k.thermal(tau, lnTau)
		u, u1, u2 := k.dense(delta)
		sum.term(c*math.Exp(float64(k.d)*lnDelta+u), float64(k.d)+u1, float64(k.d), u2, e, ee)
	}
	near := nearAt(tau, delta)
	for i := range r.critical {
		sum.add(1, r.critical[i].at(tau, delta, &near))
	}
	return sum
}

// term adds a term of value a from its logarithmic derivatives: D in delta with
// d and the second-order part of U; e and ee likewise in tau.
func (h *helmholtz) term(a, capD, d, u2, e, ee float64) {
	h.a += a
	h.d += a * capD
	h.dd += a * (capD*capD - d + u2)
	h.t += a * e
	h.tt += a * ee
	h.dt += a * capD * e
}

// thermal is the part of the term that depends on tau alone: its value, E, and
// the second-order factor in tau.
func (k *powerTerm) thermal(tau, lnTau float64) (c, e, ee float64) {
	if k.m == 0 {
		return k.n * math.Exp(k.t*lnTau), k.t, k.t*k.t - k.t
	}
	tauM := math.Exp(k.m * lnTau)
	e = k.t - k.m*tauM
	return k.n * math.Exp(k.t*lnTau-tauM), e, e*e - k.t - k.m*(k.m-1)*tauM
}

func (k *bumpTerm) thermal(tau, lnTau float64) (c, e, ee float64) {
	y := tau - k.gamma
	if k.b == 0 {
		e = k.t - 2*k.beta*tau*y
		return k.n * math.Exp(k.t*lnTau-k.beta*y*y), e, e*e - k.t - 2*k.beta*tau*tau
	}
	w := k.b + k.beta*y*y
	e = k.t - 2*k.beta*y*tau/(w*w)
	return k.n * math.Exp(k.t*lnTau+1/w), e, e*e - k.t + tau*tau*(-2*k.beta/(w*w)+8*k.beta*k.beta*y*y/(w*w*w))
}

// dense is U, delta U' and the second-order part of the term.
func (k *bumpTerm) dense(delta float64) (u, u1, u2 float64) {
	x := delta - k.eps
	return -k.eta * x * x, -2 * k.eta * delta * x, -2 * k.eta * delta * delta
}

// hair is how far off the critical point a point is moved.
const hair = 1e-10

// at differentiates the term by the product rule. At exactly the critical point
// its derivatives are 0/0, so the point is moved by a hair.
func (k *criticalTerm) at(tau, delta float64, near *nearPoint) helmholtz {
	near.take(k)
	x, y := near.x, near.y
	bigT, bigTT, bigDT := -2*near.theta, 2.0, -2*near.thetaD
	p := math.Exp(k.b * near.lnBig)
	first, second := k.b*p/near.big, (k.b-1)/near.big
	pD, pT := first*near.bigD, first*bigT
	pDD := first * (near.bigDD + second*near.bigD*near.bigD)
	pTT := first * (bigTT + second*bigT*bigT)
	pDT := first * (bigDT + second*near.bigD*bigT)
	psi := near.psi
	psiD, psiT := -2*k.capC*x*psi, -2*k.capD*y*psi
	psiDD := (4*k.capC*k.capC*x*x - 2*k.capC) * psi
	psiTT := (4*k.capD*k.capD*y*y - 2*k.capD) * psi
	psiDT := 4 * k.capC * k.capD * x * y * psi
	f := p * delta * psi
	fD := pD*delta*psi + p*(psi+delta*psiD)
	fDD := pDD*delta*psi + 2*pD*(psi+delta*psiD) + p*(2*psiD+delta*psiDD)
	fT := delta * (pT*psi + p*psiT)
	fTT := delta * (pTT*psi + 2*pT*psiT + p*psiTT)
	fDT := pT*psi + p*psiT + delta*(pDT*psi+pD*psiT+pT*psiD+p*psiDT)
	return helmholtz{
		a: k.n * f, d: k.n * delta * fD, t: k.n * tau * fT,
		dd: k.n * delta * delta * fDD, tt: k.n * tau * tau * fTT, dt: k.n * delta * tau * fDT,
	}
}

// along is the part of at that a density solver needs: delta A_delta and
// delta^2 A_deltadelta.
func (k *criticalTerm) along(delta float64, near *nearPoint) (d1, d2 float64) {
	near.take(k)
	x := near.x
	p := math.Exp(k.b * near.lnBig)
	first := k.b * p / near.big
	pD := first * near.bigD
	pDD := first * (near.bigDD + (k.b-1)/near.big*near.bigD*near.bigD)
	psi := near.psi
	psiD, psiDD := -2*k.capC*x*psi, (4*k.capC*k.capC*x*x-2*k.capC)*psi
	fD := pD*delta*psi + p*(psi+delta*psiD)
	fDD := pDD*delta*psi + 2*pD*(psi+delta*psiD) + p*(2*psiD+delta*psiDD)
	return k.n * delta * fD, k.n * delta * delta * fDD
}

// nearPoint is a point with what costs a power or a logarithm and is shared by
// the critical terms of one fluid: big is the publication's Delta.
type nearPoint struct {
	x, y, lnX2 float64
	last       *criticalTerm

	psi, reach              float64
	theta, thetaD           float64
	big, bigD, bigDD, lnBig float64
}

// nearAt starts the shared powers of a point, moved off the critical point.
func nearAt(tau, delta float64) nearPoint {
	n := nearPoint{x: delta - 1, y: tau - 1}
	if math.Abs(n.x) < hair {
		n.x = hair
	}
	if math.Abs(n.y) < hair {
		n.y = hair
	}
	n.lnX2 = math.Log(n.x * n.x)
	return n
}

// take renews what this term does not share with the one before.
func (n *nearPoint) take(k *criticalTerm) {
	l := n.last
	n.last = k
	if l == nil || k.capC != l.capC || k.capD != l.capD {
		n.psi = math.Exp(-k.capC*n.x*n.x - k.capD*n.y*n.y)
	}
	if l == nil || k.beta != l.beta {
		n.reach = math.Exp(n.lnX2 / (2 * k.beta))
	}
	if l != nil && k.beta == l.beta && k.a == l.a && k.capA == l.capA && k.capB == l.capB {
		return
	}
	x := n.x
	n.theta = -n.y + k.capA*n.reach
	n.thetaD = k.capA / k.beta * n.reach / x
	thetaDD := n.thetaD * (1/k.beta - 1) / x
	wall := k.capB * evenPower(x, k.a, n.lnX2)
	n.big = n.theta*n.theta + wall
	n.bigD = 2*n.theta*n.thetaD + 2*k.a*wall/x
	n.bigDD = 2*n.thetaD*n.thetaD + 2*n.theta*thetaDD + 2*k.a*(2*k.a-1)*wall/(x*x)
	n.lnBig = math.Log(n.big)
}

// evenPower is (x^2)^a: by multiplication where 2a is a whole number.
func evenPower(x, a, lnX2 float64) float64 {
	n := int(2 * a)
	if float64(n) != 2*a {
		return math.Exp(a * lnX2)
	}
	p := 1.0
	for range n {
		p *= math.Abs(x)
	}
	return p
}

// readResidual reads the terms below a section prefix of a sheet.
func readResidual(s *refrigerant.Sheet, prefix string) (residual, error) {
	var r residual
	for _, section := range s.Sections(prefix + ".") {
		if err := r.readTerms(s, section, section[len(prefix)+1:]); err != nil {
			return residual{}, err
		}
	}
	return r, nil
}

func (r *residual) readTerms(s *refrigerant.Sheet, section, kind string) error {
	switch kind {
	case "power":
		c, err := s.Columns(section, "n", "t", "d", "l")
		return each(c, err, func(v []float64) {
			r.power = append(r.power, powerTerm{n: v[0], t: v[1], d: int(v[2]), l: int(v[3])})
		})
	case "power_tau_exp":
		c, err := s.Columns(section, "n", "t", "d", "l", "m")
		return each(c, err, func(v []float64) {
			r.power = append(r.power, powerTerm{n: v[0], t: v[1], d: int(v[2]), l: int(v[3]), m: v[4]})
		})
	case "gaussian":
		c, err := s.Columns(section, "n", "t", "d", "eta", "epsilon", "beta", "gamma")
		return each(c, err, func(v []float64) {
			r.bumps = append(r.bumps, bumpTerm{n: v[0], t: v[1], d: int(v[2]), eta: v[3], eps: v[4], beta: v[5], gamma: v[6], thin: math.Exp(-v[3] * v[4] * v[4])})
		})
	case "gao_b":
		c, err := s.Columns(section, "n", "t", "d", "eta", "epsilon", "beta", "gamma", "b")
		return each(c, err, func(v []float64) {
			r.bumps = append(r.bumps, bumpTerm{n: v[0], t: v[1], d: int(v[2]), eta: -v[3], eps: v[4], beta: v[5], gamma: v[6], b: v[7], thin: math.Exp(v[3] * v[4] * v[4])})
		})
	case "nonanalytic":
		c, err := s.Columns(section, "n", "a", "b", "beta", "A", "B", "C", "D")
		return each(c, err, func(v []float64) {
			r.critical = append(r.critical, criticalTerm{v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7]})
		})
	}
	return &SheetError{Section: section, Problem: "no such kind of term"}
}

// each hands the columns over row by row.
func each(columns [][]float64, err error, row func([]float64)) error {
	if err != nil {
		return err
	}
	v := make([]float64, len(columns))
	for i := range columns[0] {
		for j := range columns {
			v[j] = columns[j][i]
		}
		row(v)
	}
	return nil
}
