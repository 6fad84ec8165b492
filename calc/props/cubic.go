package props

import "math"

// cubic is one component in the cubic equation of Peng and Robinson, which gives
// densities of dense gas within a few percent at a fraction of the cost of one
// step by the full equation: a start for it, and nothing else.
// Source: D.-Y. Peng, D.B. Robinson, Ind. Eng. Chem. Fundam. 15 (1976) 59, eqs 9-18.
type cubic struct{ rootA, b, kappa float64 }

// gasConstant is exact since 2019 (CODATA), J/(mol K).
const gasConstant = 8.314462618

func newCubic(tCrit, pCrit, acentric float64) cubic {
	const omegaA, omegaB = 0.45724, 0.07780
	rt := gasConstant * tCrit
	return cubic{
		rootA: math.Sqrt(omegaA/pCrit) * rt,
		b:     omegaB * rt / pCrit,
		kappa: 0.37464 + acentric*(1.54226-0.26992*acentric),
	}
}

// cubicGas is the gas density by that equation, mol/m3, with van der Waals' mixing rule
// and no interaction. Its root is refused (ok false) where below the critical
// temperature it may be a liquid's.
func (m *model) cubicGas(t, p float64) (rho float64, ok bool) {
	var a, b float64
	for i, c := range m.parts {
		a += m.x[i] * c.cubic.rootA * (1 + c.cubic.kappa*(1-math.Sqrt(t/c.tCrit)))
		b += m.x[i] * c.cubic.b
	}
	rt := gasConstant * t
	z, ok := compressibility(a*a*p/(rt*rt), b*p/rt)
	const gasLike = 0.45 // saturated vapor comes down to 0.4 at 0.985 of the critical temperature
	return p / (z * rt), ok && (t > m.tRed || z > gasLike)
}

// compressibility is the largest root z of the cubic by Newton's steps: from
// 1 + B, which lies above it, they come down without passing it. ok is false where they
// do not settle, as with one root below the bend.
func compressibility(capA, capB float64) (z float64, ok bool) {
	c2, c1, c0 := capB-1, capA-3*capB*capB-2*capB, -capB*(capA-capB-capB*capB)
	const steps, close = 12, 1e-3
	z = 1 + capB
	for range steps {
		step := (((z+c2)*z+c1)*z + c0) / ((3*z+2*c2)*z + c1)
		z -= step
		if math.Abs(step) < close*z {
			return z, true
		}
	}
	return z, false
}
