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
}

// bumpTerm is n delta^d tau^t exp(-eta (delta-eps)^2) exp(V(tau)), where V is
// the bell -beta (tau-gamma)^2, or 1/(b + beta (tau-gamma)^2) when b is set.
type bumpTerm struct {
	n, t, eta, eps, beta, gamma, b float64
	d                              int
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
	near := nearPowers(tau, delta)
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
func (k *criticalTerm) at(tau, delta float64, near *powersNear) helmholtz {
	x, y, x2 := near.x, near.y, near.x*near.x
	near.take(k)
	reach := near.reach
	theta := -y + k.capA*reach
	thetaD := k.capA / k.beta * reach / x
	thetaDD := k.capA / k.beta * (1/k.beta - 1) * reach / x2
	wall := k.capB * near.wall
	big := theta*theta + wall
	bigD := 2*theta*thetaD + 2*k.a*wall/x
	bigDD := 2*thetaD*thetaD + 2*theta*thetaDD + 2*k.a*(2*k.a-1)*wall/x2
	bigT, bigTT, bigDT := -2*theta, 2.0, -2*thetaD
	p := math.Exp(k.b * math.Log(big))
	pD, pT := k.b*p/big*bigD, k.b*p/big*bigT
	pDD := k.b * p / big * (bigDD + (k.b-1)*bigD*bigD/big)
	pTT := k.b * p / big * (bigTT + (k.b-1)*bigT*bigT/big)
	pDT := k.b * p / big * (bigDT + (k.b-1)*bigD*bigT/big)
	psi := near.psi
	psiD, psiT := -2*k.capC*x*psi, -2*k.capD*y*psi
	psiDD := (4*k.capC*k.capC*x2 - 2*k.capC) * psi
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

// powersNear are the costly powers of a point that critical terms share.
type powersNear struct {
	x, y, lnX2      float64
	beta, reach     float64
	a, wall         float64
	capC, capD, psi float64
}

// take renews the powers that this term does not share with the one before.
func (n *powersNear) take(k *criticalTerm) {
	if k.beta != n.beta {
		n.beta, n.reach = k.beta, math.Exp(n.lnX2/(2*k.beta))
	}
	if k.a != n.a {
		n.a, n.wall = k.a, math.Exp(k.a*n.lnX2)
	}
	if k.capC != n.capC || k.capD != n.capD {
		n.capC, n.capD, n.psi = k.capC, k.capD, math.Exp(-k.capC*n.x*n.x-k.capD*n.y*n.y)
	}
}

// along is the part of at that a density solver needs: delta A_delta and
// delta^2 A_deltadelta. Terms of one fluid share most of their powers.
func (k *criticalTerm) along(delta float64, near *powersNear) (d1, d2 float64) {
	x, y := near.x, near.y
	near.take(k)
	theta := -y + k.capA*near.reach
	thetaD := k.capA / k.beta * near.reach / x
	thetaDD := thetaD * (1/k.beta - 1) / x
	wall := k.capB * near.wall
	big := theta*theta + wall
	bigD := 2*theta*thetaD + 2*k.a*wall/x
	bigDD := 2*thetaD*thetaD + 2*theta*thetaDD + 2*k.a*(2*k.a-1)*wall/(x*x)
	p := math.Exp(k.b * math.Log(big))
	pD := k.b * p / big * bigD
	pDD := k.b * p / big * (bigDD + (k.b-1)*bigD*bigD/big)
	psi := near.psi
	psiD, psiDD := -2*k.capC*x*psi, (4*k.capC*k.capC*x*x-2*k.capC)*psi
	fD := pD*delta*psi + p*(psi+delta*psiD)
	fDD := pDD*delta*psi + 2*pD*(psi+delta*psiD) + p*(2*psiD+delta*psiDD)
	return k.n * delta * fD, k.n * delta * delta * fDD
}

// nearPowers starts the shared powers of a point, moved off the critical point.
func nearPowers(tau, delta float64) powersNear {
	n := powersNear{x: delta - 1, y: tau - 1}
	if math.Abs(n.x) < hair {
		n.x = hair
	}
	if math.Abs(n.y) < hair {
		n.y = hair
	}
	n.lnX2 = math.Log(n.x * n.x)
	return n
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
			r.bumps = append(r.bumps, bumpTerm{n: v[0], t: v[1], d: int(v[2]), eta: v[3], eps: v[4], beta: v[5], gamma: v[6]})
		})
	case "gao_b":
		c, err := s.Columns(section, "n", "t", "d", "eta", "epsilon", "beta", "gamma", "b")
		return each(c, err, func(v []float64) {
			r.bumps = append(r.bumps, bumpTerm{n: v[0], t: v[1], d: int(v[2]), eta: -v[3], eps: v[4], beta: v[5], gamma: v[6], b: v[7]})
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
