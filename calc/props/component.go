package props

import (
	"math"

	"coldcase/refdata/refrigerant"
)

// component is one published equation of state with what its solvers need.
type component struct {
	name      string
	pseudo    bool    // a pseudo-pure equation of a blend
	molarMass float64 // kg/mol
	gasR      float64 // J/(mol K), as its equation has it
	acentric  float64
	tCrit     float64 // K
	pCrit     float64 // Pa
	rhoCrit   float64 // mol/m3
	tRed      float64 // K, defines tau; not always critical
	rhoRed    float64 // mol/m3, defines delta
	tLow      float64 // K, triple point
	tHigh     float64 // K
	pHigh     float64 // Pa
	res       residual
	ideal     ideal
	pBubble   ancillary // p_sat of a pure fluid
	pDew      ancillary
	rhoLiq    ancillary
	rhoVap    ancillary
	cubic     cubic
	citation  string
	predicted bool // nobody published its viscosity and conductivity
}

func readComponent(name string) (*component, error) {
	s, err := refrigerant.OpenFluid(name)
	if err != nil {
		return nil, err
	}
	c := &component{name: name, pseudo: s.Text("fluid", "kind") == "pseudo-pure", citation: s.Text("fluid", "source"), predicted: !s.Has("viscosity")}
	for _, f := range []struct {
		section, key string
		to           *float64
	}{
		{"fluid", "molar_mass_kg_mol", &c.molarMass},
		{"fluid", "gas_constant_J_mol_K", &c.gasR},
		{"fluid", "acentric", &c.acentric},
		{"critical", "T_K", &c.tCrit},
		{"critical", "p_Pa", &c.pCrit},
		{"critical", "rho_mol_m3", &c.rhoCrit},
		{"reducing", "T_K", &c.tRed},
		{"reducing", "rho_mol_m3", &c.rhoRed},
		{"triple", "T_K", &c.tLow},
		{"limits", "T_max_K", &c.tHigh},
		{"limits", "p_max_Pa", &c.pHigh},
	} {
		if *f.to, err = s.Number(f.section, f.key); err != nil {
			return nil, err
		}
	}
	c.cubic = newCubic(c.tCrit, c.pCrit, c.acentric)
	if c.res, err = readResidual(s, "residual"); err != nil {
		return nil, err
	}
	if c.ideal, err = readIdeal(s); err != nil {
		return nil, err
	}
	return c, c.readAncillaries(s)
}

func (c *component) readAncillaries(s *refrigerant.Sheet) (err error) {
	bubble, dew := "p_sat", "p_sat"
	if c.pseudo {
		bubble, dew = "p_bubble", "p_dew"
	}
	for _, a := range []struct {
		name, reduced string
		to            *ancillary
	}{{bubble, "p_red_Pa", &c.pBubble}, {dew, "p_red_Pa", &c.pDew}, {"rho_liq", "rho_red_mol_m3", &c.rhoLiq}, {"rho_vap", "rho_red_mol_m3", &c.rhoVap}} {
		if *a.to, err = readAncillary(s, "ancillaries."+a.name, a.reduced); err != nil {
			return err
		}
	}
	return nil
}

// vaporPressure is near the saturation pressure below the critical point, and
// goes on beyond it by the acentric factor, for starting values only.
func (c *component) vaporPressure(t float64) float64 {
	if t < 0.99*c.tCrit {
		return c.pBubble.at(t)
	}
	return c.pCrit * math.Exp(5.373*(1+c.acentric)*(1-c.tCrit/t))
}

// liquidDensity is near the saturated liquid's, mol/m3, for starting values only.
func (c *component) liquidDensity(t float64) float64 {
	if t < 0.97*c.tCrit {
		return c.rhoLiq.at(t)
	}
	return c.rhoLiq.at(0.97 * c.tCrit)
}

// ancillary is a short equation along the saturation line. With theta = 1 - T/Tr
// and S = sum n theta^t it is red exp(Tr/T S), red exp(S) or red (1 + S).
type ancillary struct {
	form    string
	red, tr float64
	n, t    []float64
}

func readAncillary(s *refrigerant.Sheet, section, reduced string) (a ancillary, err error) {
	a.form = s.Text(section, "form")
	if a.red, err = s.Number(section, reduced); err != nil {
		return a, err
	}
	if a.tr, err = s.Number(section, "T_r_K"); err != nil {
		return a, err
	}
	c, err := s.Columns(section, "n", "t")
	if err != nil {
		return a, err
	}
	a.n, a.t = c[0], c[1]
	return a, nil
}

func (a *ancillary) at(t float64) float64 {
	theta := max(1-t/a.tr, 0)
	sum := 0.0
	for i, n := range a.n {
		sum += n * math.Pow(theta, a.t[i])
	}
	switch a.form {
	case "exp_tau":
		return a.red * math.Exp(a.tr/t*sum)
	case "exp":
		return a.red * math.Exp(sum)
	}
	return a.red * (1 + sum)
}
