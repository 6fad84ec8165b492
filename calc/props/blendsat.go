package props

import (
	"fmt"
	"math"
)

// side says which saturation line is meant.
type side int

const (
	bubble side = iota
	dew
)

func (s side) String() string {
	if s == bubble {
		return "bubble"
	}
	return "dew"
}

// Unknowns of a blend's saturation point, in the order of the vector: ln of
// both densities, ln K of each component, and ln T when the pressure is given.
const (
	atLnLiq = iota
	atLnVap
	atLnK
)

const maxUnknowns = maxParts + 3

// vle is one saturation problem of a blend: equal fugacities, equal pressures,
// and an incipient phase whose mole fractions sum to one.
type vle struct {
	m    *model
	side side
	t    float64 // K; the starting value when p is given
	p    float64 // Pa, 0 when t is given
	u    [maxUnknowns]float64

	inside bool    // both phases are there: beta is the molar share of vapor
	beta   float64 // only inside
}

func (v *vle) size() int {
	n := len(v.m.parts) + 2
	if v.p > 0 {
		n++
	}
	return n
}

// phases are the two phases at the unknowns u.
type phases struct {
	t        float64
	x, y     [maxParts]float64
	sum      float64 // of the incipient phase before it is normed
	liq, vap phase
}

func (v *vle) temperature(u *[maxUnknowns]float64) float64 {
	if v.p > 0 {
		return math.Exp(u[v.size()-1])
	}
	return v.t
}

// compositions norms the incipient phase.
func (v *vle) compositions(u *[maxUnknowns]float64, f *phases) {
	n := len(v.m.parts)
	f.sum = 0
	if v.inside {
		v.lever(u, f)
		return
	}
	var w [maxParts]float64
	for i := range n {
		k := u[atLnK+i]
		if v.side == dew {
			k = -k
		}
		w[i] = v.m.x[i] * math.Exp(k)
		f.sum += w[i]
	}
	for i := range n {
		f.x[i], f.y[i] = v.m.x[i], w[i]/f.sum
		if v.side == dew {
			f.x[i], f.y[i] = f.y[i], f.x[i]
		}
	}
}

// lever shares the components out between two phases that are both there; the
// equation is that of Rachford and Rice, sum y = sum x.
func (v *vle) lever(u *[maxUnknowns]float64, f *phases) {
	n := len(v.m.parts)
	var sx, sy float64
	for i := range n {
		k := math.Exp(u[atLnK+i])
		f.x[i] = v.m.x[i] / (1 + v.beta*(k-1))
		f.y[i] = k * f.x[i]
		sx, sy = sx+f.x[i], sy+f.y[i]
	}
	for i := range n {
		f.x[i], f.y[i] = f.x[i]/sx, f.y[i]/sy
	}
	f.sum = 1 + sy - sx
}

func (v *vle) evaluate(u *[maxUnknowns]float64, f *phases, liq, vap bool) {
	n := len(v.m.parts)
	f.t = v.temperature(u)
	v.compositions(u, f)
	if liq {
		f.liq = v.m.phaseAt(f.t, math.Exp(u[atLnLiq]), f.x[:n])
	}
	if vap {
		f.vap = v.m.phaseAt(f.t, math.Exp(u[atLnVap]), f.y[:n])
	}
}

func (v *vle) residuals(u *[maxUnknowns]float64, f *phases) (r [maxUnknowns]float64) {
	n := len(v.m.parts)
	for i := range n {
		r[i] = u[atLnK+i] + f.vap.lnF[i] - math.Log(f.y[i]) - f.liq.lnF[i] + math.Log(f.x[i])
	}
	r[n] = (f.liq.p - f.vap.p) / f.vap.p
	r[n+1] = f.sum - 1
	if v.p > 0 {
		r[n+2] = f.vap.p/v.p - 1
	}
	return r
}

const (
	vleSteps = 40
	// The Jacobian is good to about 1e-6, so the step after one of this size is
	// below the rounding of the fugacities.
	vleTol = 1e-7
)

// solve iterates Newton's method from the starting values in u.
func (v *vle) solve() (saturated, error) {
	n := v.size()
	var f phases
	for range vleSteps {
		v.evaluate(&v.u, &f, true, true)
		r := v.residuals(&v.u, &f)
		if !allFinite(r[:n]) {
			break
		}
		var jac [maxUnknowns][maxUnknowns + 1]float64
		v.jacobian(&f, &r, &jac)
		step, ok := gauss(&jac, n)
		if !ok {
			break
		}
		size := v.move(step[:n])
		if size < vleTol {
			return v.accept()
		}
	}
	return saturated{}, &NoConvergenceError{What: v.side.String() + " point", Fluid: v.m.name, At: fmt.Sprintf("%g K", v.t)}
}

// jacobian fills the columns by forward differences; each unknown moves only
// the phases that depend on it. The last column is minus the residual.
func (v *vle) jacobian(f *phases, r *[maxUnknowns]float64, jac *[maxUnknowns][maxUnknowns + 1]float64) {
	const h = 1e-6
	n := v.size()
	for j := range n {
		u, g := v.u, *f
		u[j] += h
		inT := v.p > 0 && j == n-1
		inK := j >= atLnK && !inT
		liq := inT || j == atLnLiq || inK && (v.inside || v.side == dew)
		vap := inT || j == atLnVap || inK && (v.inside || v.side == bubble)
		v.evaluate(&u, &g, liq, vap)
		moved := v.residuals(&u, &g)
		for i := range n {
			jac[i][j] = (moved[i] - r[i]) / h
		}
	}
	for i := range n {
		jac[i][n] = -r[i]
	}
}

// move takes the step, shortened so that no unknown leaps.
func (v *vle) move(step []float64) (size float64) {
	largest := 0.0
	for i, s := range step {
		size = max(size, math.Abs(s))
		limit := 0.5
		if i == atLnLiq {
			limit = 0.05
		} else if v.p > 0 && i == len(step)-1 {
			limit = 0.03
		}
		largest = max(largest, math.Abs(s)/limit)
	}
	damp := 1.0
	if largest > 1 {
		damp = 1 / largest
	}
	for i, s := range step {
		v.u[i] += damp * s
	}
	return size
}

// accept refuses the trivial solution, where both phases are one.
func (v *vle) accept() (saturated, error) {
	var f phases
	v.evaluate(&v.u, &f, true, true)
	s := saturated{t: f.t, p: f.vap.p, rhoLiq: math.Exp(v.u[atLnLiq]), rhoVap: math.Exp(v.u[atLnVap]), x: f.x, y: f.y}
	if !(s.rhoLiq > 1.1*s.rhoVap) || !(s.p > 0) {
		return saturated{}, &NoConvergenceError{What: v.side.String() + " point (phases alike)", Fluid: v.m.name, At: fmt.Sprintf("%g K", f.t)}
	}
	return s, nil
}

func allFinite(v []float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// gauss solves the first n rows with partial pivoting.
func gauss(a *[maxUnknowns][maxUnknowns + 1]float64, n int) (x [maxUnknowns]float64, ok bool) {
	for c := range n {
		best := c
		for r := c + 1; r < n; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[best][c]) {
				best = r
			}
		}
		if a[best][c] == 0 {
			return x, false
		}
		a[c], a[best] = a[best], a[c]
		for r := c + 1; r < n; r++ {
			f := a[r][c] / a[c][c]
			for k := c; k <= n; k++ {
				a[r][k] -= f * a[c][k]
			}
		}
	}
	for r := n - 1; r >= 0; r-- {
		x[r] = a[r][n]
		for k := r + 1; k < n; k++ {
			x[r] -= a[r][k] * x[k]
		}
		x[r] /= a[r][r]
	}
	return x, true
}
