package props

import (
	"math"

	"coldcase/refdata/refrigerant"
)

// pair is how two components of a blend act on each other. Its betas belong to
// the order i, j; the other order takes their inverse.
type pair struct {
	i, j          int
	betaT, gammaT float64
	betaV, gammaV float64
	f             float64
	departure     residual
	alone         *model  // the departure as an isotherm wants it
	quality       string  // fitted, fitted-departure, estimated, absent
	tMean, vMean  float64 // sqrt(Ti Tj); (vi^(1/3)+vj^(1/3))^3/8
}

// reduced is the reducing point of a composition and how it moves with it:
// nT[i] = n dTr/dni, nV[i] = n dvr/dni.
type reduced struct {
	t, v   float64
	nT, nV [maxParts]float64
}

// maxParts bounds the components of a blend.
const maxParts = 6

// reduce applies the reducing functions and their composition derivatives.
// Source: O. Kunz, W. Wagner, J. Chem. Eng. Data 57 (2012) 3032.
func (m *model) reduce(x []float64) reduced {
	var r reduced
	var dT, dV [maxParts]float64
	for i, c := range m.parts {
		v := 1 / c.rhoRed
		r.t += x[i] * x[i] * c.tRed
		r.v += x[i] * x[i] * v
		dT[i], dV[i] = 2*x[i]*c.tRed, 2*x[i]*v
	}
	for k := range m.pairs {
		p := &m.pairs[k]
		y, dyi, dyj := cross(p.betaT, p.gammaT, p.tMean, x[p.i], x[p.j])
		r.t += y
		dT[p.i] += dyi
		dT[p.j] += dyj
		y, dyi, dyj = cross(p.betaV, p.gammaV, p.vMean, x[p.i], x[p.j])
		r.v += y
		dV[p.i] += dyi
		dV[p.j] += dyj
	}
	var meanT, meanV float64
	for i := range m.parts {
		meanT += x[i] * dT[i]
		meanV += x[i] * dV[i]
	}
	for i := range m.parts {
		r.nT[i], r.nV[i] = dT[i]-meanT, dV[i]-meanV
	}
	return r
}

// cross is the pair's share of a reducing function with its derivatives.
func cross(beta, gamma, mean, xi, xj float64) (y, dyi, dyj float64) {
	if xi == 0 && xj == 0 {
		return 0, 0, 0
	}
	c := 2 * beta * gamma * mean
	s, w := xi+xj, beta*beta*xi+xj
	y = c * xi * xj * s / w
	dyi = c * (xj*s/w + xi*xj/w - xi*xj*s*beta*beta/(w*w))
	dyj = c * (xi*s/w + xi*xj/w - xi*xj*s/(w*w))
	return y, dyi, dyj
}

// phase is one phase of a blend at (T, rho, x): its pressure and the logarithm
// of each component's fugacity.
type phase struct {
	p   float64
	lnF [maxParts]float64
	h   helmholtz // of the whole phase
}

// phaseAt evaluates a phase of any composition. ln f never takes the logarithm
// of Z, which can be negative at a poor density guess in a cold liquid.
// Source: O. Kunz, W. Wagner 2012, as FORMULAS 6.3 of the coefficient set.
func (m *model) phaseAt(t, rho float64, x []float64) phase {
	r := m.reduce(x)
	tau, delta := r.t/t, rho*r.v
	var sum helmholtz
	var a [maxParts]float64
	iso := isotherms.Get().(*isotherm)
	defer isotherms.Put(iso)
	for i := range m.parts {
		iso.fill(m.alone[i], tau)
		h := iso.at(m.alone[i], delta)
		sum.add(x[i], h)
		a[i] += h.a
	}
	for k := range m.pairs {
		p := &m.pairs[k]
		if p.f == 0 {
			continue
		}
		iso.fill(p.alone, tau)
		h := iso.at(p.alone, delta)
		sum.add(x[p.i]*x[p.j]*p.f, h)
		a[p.i] += x[p.j] * p.f * h.a
		a[p.j] += x[p.i] * p.f * h.a
	}
	var mean float64
	for i := range m.parts {
		mean += x[i] * a[i]
	}
	out := phase{p: rho * m.gasR * t * (1 + sum.d), h: sum}
	for i := range m.parts {
		n := sum.d*(1+r.nV[i]/r.v) + sum.t*r.nT[i]/r.t + a[i] - mean
		out.lnF[i] = math.Log(x[i]*rho*m.gasR*t) + sum.a + n
	}
	return out
}

// caloricsAt are h and s of a phase by mass, in the reference state of the blend:
// its shift belongs to the mass, whatever the phase is made of.
func (m *model) caloricsAt(t, rho float64, x []float64, r helmholtz) (h, s, molarMass float64) {
	var b0, bt float64
	for i, c := range m.parts {
		w := x[i] * c.gasR / m.gasR
		p0, pt, _ := c.ideal.at(c.tCrit / t)
		b0 += w * (p0 + math.Log(rho/c.rhoCrit) + math.Log(x[i]))
		bt += w * pt
		molarMass += x[i] * c.molarMass
	}
	rm := m.gasR / molarMass
	return rm*t*(1+bt+r.t+r.d) + m.hShift, rm*(bt+r.t-b0-r.a) + m.sShift, molarMass
}

// readPairs finds the pairs among the components in the pair sheet.
func readPairs(parts []*component) (pairs []pair, gasR float64, err error) {
	s, err := refrigerant.OpenPairs()
	if err != nil {
		return nil, 0, err
	}
	if gasR, err = s.Number("mixture", "gas_constant_J_mol_K"); err != nil {
		return nil, 0, err
	}
	for i := range parts {
		for j := i + 1; j < len(parts); j++ {
			p, err := readPair(s, parts, i, j)
			if err != nil {
				return nil, 0, err
			}
			pairs = append(pairs, p)
		}
	}
	return pairs, gasR, nil
}

func readPair(s *refrigerant.Sheet, parts []*component, i, j int) (p pair, err error) {
	section := "pair." + parts[i].name + "/" + parts[j].name
	if !s.Has(section) {
		i, j = j, i
		section = "pair." + parts[i].name + "/" + parts[j].name
	}
	if !s.Has(section) {
		return p, &SheetError{Section: section, Problem: "missing"}
	}
	p = pair{i: i, j: j, quality: s.Text(section, "quality")}
	for _, f := range []struct {
		key string
		to  *float64
	}{{"betaT", &p.betaT}, {"gammaT", &p.gammaT}, {"betaV", &p.betaV}, {"gammaV", &p.gammaV}} {
		if *f.to, err = s.Number(section, f.key); err != nil {
			return p, err
		}
	}
	if name := s.Text(section, "departure"); name != "" {
		if p.f, err = s.Number(section, "F"); err != nil {
			return p, err
		}
		if p.departure, err = readResidual(s, "departure."+name); err != nil {
			return p, err
		}
	}
	vi, vj := 1/parts[i].rhoRed, 1/parts[j].rhoRed
	p.tMean = math.Sqrt(parts[i].tRed * parts[j].tRed)
	p.vMean = math.Pow(math.Cbrt(vi)+math.Cbrt(vj), 3) / 8
	return p, nil
}
