package props

import (
	"math"
	"slices"
)

// model is the Helmholtz energy of one composition: a pure fluid, a pseudo-pure
// one, or a blend by the multi-fluid model. A blend of fixed composition has the
// shape of a pure fluid: its components' terms, each times its mole fraction.
type model struct {
	name      string
	parts     []*component
	x         []float64 // [component], mole fraction, sums to 1
	pairs     []pair
	molarMass float64 // kg/mol
	gasR      float64 // J/(mol K)
	tRed      float64 // K
	rhoRed    float64 // mol/m3

	power    []powerTerm // sorted by t
	bumps    []bumpTerm
	critical []criticalTerm
	weight   []float64 // [critical], mole fraction
	slots    []slot
	raises   []raise  // powers of tau that the power terms take
	topPower int      // highest power of delta, maxL at least
	alone    []*model // [component], its residual alone, for phases of other compositions

	entropyOfMixing float64 // sum x R_i/R ln x

	hShift, sShift float64 // J/kg, J/(kg K): to the IIR reference state
	tLow, tHigh    float64 // K
	pHigh          float64 // Pa
}

// raise is one power of tau: exp(t ln tau), or where by is 0 or more the product
// of two powers before it.
type raise struct {
	t      float64
	of, by int
}

// slot is one row of the isotherm's table that has terms.
type slot struct{ l, low, high int }

// pureModel is the model of one equation alone, with its own gas constant.
func pureModel(c *component) *model {
	m := &model{
		name: c.name, parts: []*component{c}, x: []float64{1},
		molarMass: c.molarMass, gasR: c.gasR, tRed: c.tRed, rhoRed: c.rhoRed,
		tLow: max(c.tLow, chainLow), tHigh: c.tHigh, pHigh: c.pHigh,
	}
	m.fold()
	m.alone = []*model{m}
	return m
}

// blendModel is the multi-fluid model at mole fractions x.
// Source: E.W. Lemmon, R.T Jacobsen, J. Phys. Chem. Ref. Data 33 (2004) 593;
// O. Kunz, W. Wagner, J. Chem. Eng. Data 57 (2012) 3032.
func blendModel(name string, parts []*component, x []float64, pairs []pair, gasR float64) *model {
	m := &model{name: name, parts: parts, x: x, pairs: pairs, gasR: gasR, tLow: chainLow, pHigh: math.Inf(1)}
	for i, c := range parts {
		m.molarMass += x[i] * c.molarMass
		m.entropyOfMixing += x[i] * c.gasR / gasR * math.Log(x[i])
		m.tLow = max(m.tLow, c.tLow)
		m.tHigh = max(m.tHigh, c.tHigh) // hot gas is nearly ideal: a part with a lower limit is carried on
		m.pHigh = min(m.pHigh, c.pHigh)
	}
	r := m.reduce(x)
	m.tRed, m.rhoRed = r.t, 1/r.v
	m.fold()
	for _, c := range parts {
		m.alone = append(m.alone, foldAlone(&c.res))
	}
	for i := range m.pairs {
		m.pairs[i].alone = foldAlone(&m.pairs[i].departure)
	}
	return m
}

// fold gathers the terms of all components and departure functions, each times
// its weight, and notes which rows of the isotherm's table they fill.
func (m *model) fold() {
	for i, c := range m.parts {
		m.foldTerms(&c.res, m.x[i])
	}
	for i := range m.pairs {
		p := &m.pairs[i]
		m.foldTerms(&p.departure, m.x[p.i]*m.x[p.j]*p.f)
	}
	m.sortTerms()
}

// foldAlone lays one residual out as an isotherm wants it.
func foldAlone(r *residual) *model {
	m := new(model)
	m.foldTerms(r, 1)
	m.sortTerms()
	return m
}

func (m *model) sortTerms() {
	m.topPower = maxL
	for _, k := range m.power {
		m.topPower = max(m.topPower, k.d)
	}
	for _, k := range m.bumps {
		m.topPower = max(m.topPower, k.d)
	}
	slices.SortStableFunc(m.power, func(a, b powerTerm) int {
		switch {
		case a.t < b.t:
			return -1
		case a.t > b.t:
			return 1
		}
		return 0
	})
	m.planRaises()
	for l := range maxL + 1 {
		s := slot{l: l, low: maxD + 1, high: -1}
		for _, k := range m.power {
			if k.l == l {
				s.low, s.high = min(s.low, k.d), max(s.high, k.d)
			}
		}
		if s.high >= 0 {
			m.slots = append(m.slots, s)
		}
	}
}

// planRaises numbers the different powers of tau. The terms are sorted by t.
func (m *model) planRaises() {
	for i := range m.power {
		k := &m.power[i]
		if k.m != 0 {
			continue
		}
		if n := len(m.raises); n == 0 || m.raises[n-1].t != k.t {
			m.raises = append(m.raises, raisedFrom(m.raises, k.t))
		}
		k.pow = len(m.raises) - 1
	}
}

// raisedFrom looks for two powers whose product is tau^t.
func raisedFrom(before []raise, t float64) raise {
	for of := range before {
		for by := of; by < len(before); by++ {
			if before[of].t+before[by].t == t {
				return raise{t, of, by}
			}
		}
	}
	return raise{t, 0, -1}
}

func (m *model) foldTerms(r *residual, w float64) {
	for _, k := range r.power {
		k.n *= w
		m.power = append(m.power, k)
	}
	for _, k := range r.bumps {
		k.n *= w
		m.bumps = append(m.bumps, k)
	}
	for _, k := range r.critical {
		m.critical, m.weight = append(m.critical, k), append(m.weight, w)
	}
}

// idealAt is alpha0 and its tau-derivatives in the model's own R. The components
// of a blend are evaluated at their critical points, as the reference tables
// are; after the shift to the reference state this moves h by at most 3.2 J/kg.
func (m *model) idealAt(t, rho float64) (b0, bt, btt float64) {
	if len(m.parts) == 1 {
		c := m.parts[0]
		b0, bt, btt = c.ideal.at(c.tRed / t)
		return b0 + math.Log(rho/c.rhoRed), bt, btt
	}
	for i, c := range m.parts {
		w := m.x[i] * c.gasR / m.gasR
		p0, pt, ptt := c.ideal.at(c.tCrit / t)
		b0 += w * (p0 + math.Log(rho/c.rhoCrit))
		bt += w * pt
		btt += w * ptt
	}
	return b0 + m.entropyOfMixing, bt, btt
}
