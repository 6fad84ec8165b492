package props

import (
	"math"

	"coldcase/refdata/refrigerant"
)

// ideal is the ideal-gas Helmholtz energy of one component in the form
//
//	alpha0 = ln delta + a1 + a2 tau + aLog ln tau + sum n tau^t + sum n ln(1 - exp(-theta tau))
//
// Source: FORMULAS of the coefficient set; R. Span, Multiparameter Equations of State, Springer 2000.
type ideal struct {
	a1, a2, aLog float64
	powN, powT   []float64
	peN, peTheta []float64
}

// at gives alpha0 without its ln(delta), tau dalpha0/dtau and tau^2 d2alpha0/dtau2.
func (k *ideal) at(tau float64) (b0, bt, btt float64) {
	lnTau := math.Log(tau)
	b0 = k.a1 + k.a2*tau + k.aLog*lnTau
	bt = k.a2*tau + k.aLog
	btt = -k.aLog
	for i, n := range k.powN {
		t := k.powT[i]
		a := n * math.Exp(t*lnTau)
		b0 += a
		bt += a * t
		btt += a * t * (t - 1)
	}
	for i, n := range k.peN {
		x := k.peTheta[i] * tau
		e := math.Exp(-x)
		share := x * e / (1 - e)
		b0 += n * math.Log(1-e)
		bt += n * share
		btt -= n * share * share / e
	}
	return b0, bt, btt
}

func readIdeal(s *refrigerant.Sheet) (k ideal, err error) {
	for _, f := range []struct {
		key string
		to  *float64
	}{{"a1", &k.a1}, {"a2", &k.a2}, {"a_log", &k.aLog}} {
		if *f.to, err = s.Number("ideal", f.key); err != nil {
			return ideal{}, err
		}
	}
	if s.Has("ideal.power") {
		c, err := s.Columns("ideal.power", "n", "t")
		if err != nil {
			return ideal{}, err
		}
		k.powN, k.powT = c[0], c[1]
	}
	if s.Has("ideal.planck_einstein") {
		c, err := s.Columns("ideal.planck_einstein", "n", "theta")
		if err != nil {
			return ideal{}, err
		}
		k.peN, k.peTheta = c[0], c[1]
	}
	return k, nil
}
