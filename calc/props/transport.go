package props

import (
	"errors"
	"io/fs"
	"sync"

	"coldcase/refdata/refrigerant"
	"coldcase/refdata/units"
)

// pureTransport is both transport models of one equation.
type pureTransport struct {
	m            *model
	viscosity    viscosity
	conductivity conductivity
}

var transports sync.Map // sheet name → func() (*pureTransport, error)

// transportOf reads the transport models of a pure or pseudo-pure fluid once.
func transportOf(name string) (*pureTransport, error) {
	if load, ok := transports.Load(name); ok {
		return load.(func() (*pureTransport, error))()
	}
	load, _ := transports.LoadOrStore(name, sync.OnceValues(func() (*pureTransport, error) { return loadTransport(name) }))
	return load.(func() (*pureTransport, error))()
}

func loadTransport(name string) (*pureTransport, error) {
	c, err := readComponent(name)
	if err != nil {
		return nil, err
	}
	sheet, err := refrigerant.OpenFluid(name)
	if err != nil {
		return nil, err
	}
	t := &pureTransport{m: pureModel(c)}
	if t.viscosity, err = readViscosity(sheet, c); err != nil {
		return nil, err
	}
	k := estimatedMolecule(c)
	if sheet.Has("viscosity") {
		b := &block{s: sheet, prefix: "viscosity"}
		k.sigma, k.epsilon = b.number("", "sigma_m"), b.number("", "epsilon_over_k_K")
	}
	t.conductivity, err = readConductivity(sheet, c, k)
	return t, err
}

func (t *pureTransport) viscosityAt(s spot) float64 {
	return t.viscosity.dilute(s.t) + t.viscosity.dense(s)
}

func (t *pureTransport) conductivityAt(s spot) float64 {
	v := &t.conductivity
	return v.dilute(s) + v.dense(s) + v.peak(s, t.viscosityAt(s))
}

// Viscosity is the dynamic viscosity of a single-phase state.
//
// In:     s, a state of this fluid
// Out:    Pa s
// Range:  single phase, away from the critical point
// Error:  *NoModelError for a two-phase state
// Within: 1e-6 of testdata/check_transport.csv where a correlation was published
// (24 pure fluids, R404A, R407C, R410A, R507A; themselves good to 1..10 %), else
// expect 15 % (other blends, R115, R1336mzz(E)), measured by TestBlendTransport
// Source: each fluid's sheet names its correlation
func (f *Fluid) Viscosity(s State) (units.Viscosity, error) {
	v, err := f.transport(s, "viscosity", (*pureTransport).viscosityAt, (*Fluid).blendViscosity)
	return units.Viscosity(v), err
}

// Conductivity is the thermal conductivity of a single-phase state.
//
// In:     s, a state of this fluid
// Out:    W/(m K)
// Range:  single phase; a blend has no critical enhancement, nor have the published
// correlations of R404A, R407C, R410A, R507A: keep those below 0.95 Tc. What is
// missing there is, judged by the pure HFCs, up to 10 % of the vapor's conductivity
// at 0.9 Tc, 20 % at 0.95 and 36 % at 0.985; a third of that of the liquid's
// Error:  *NoModelError for a two-phase state
// Within: as Viscosity; TransportDoubt says it in a sentence
// Source: each fluid's sheet names its correlation
func (f *Fluid) Conductivity(s State) (units.Conductivity, error) {
	v, err := f.transport(s, "conductivity", (*pureTransport).conductivityAt, (*Fluid).blendConductivity)
	return units.Conductivity(v), err
}

// TransportDoubt says in one sentence what to expect of the viscosity and the
// conductivity where no correlation was published for this fluid; "" where one was.
// Range: any fluid. Source: TestBlendTransport, TestPeakThatBlendsLack.
func (f *Fluid) TransportDoubt() string {
	if f.isMixture() {
		if t, err := f.ownTransport(); t != nil && err == nil {
			return ""
		}
		return "mu and k by corresponding states of the components: expect 15 %. k lacks the critical enhancement: " +
			"of the vapor up to 10 % low at 0.9 of the critical temperature, 20 % at 0.95, 36 % at 0.985."
	}
	if f.m.parts[0].predicted {
		return "No viscosity nor conductivity was published: R134a's in corresponding states, expect 15-20 %."
	}
	return ""
}

// transport evaluates the published correlation, or where a blend has none the
// rule for blends.
func (f *Fluid) transport(s State, what string, published func(*pureTransport, spot) float64, blend func(*Fluid, spot) (float64, error)) (float64, error) {
	at, err := f.transportSpot(s, what)
	if err != nil {
		return 0, err
	}
	t, err := f.ownTransport()
	if err != nil {
		return 0, err
	}
	if t == nil {
		return blend(f, at)
	}
	at = t.m.spot(at.t, at.rho)
	return positive(published(t, at), what, f.Name())
}

// ownTransport is the published correlation of this fluid, of a blend that of
// its pseudo-pure equation; nil for a blend that has none.
func (f *Fluid) ownTransport() (*pureTransport, error) {
	t, err := transportOf(f.m.name)
	if f.isMixture() && errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return t, err
}

func (f *Fluid) transportSpot(s State, property string) (spot, error) {
	if s.Phase == TwoPhase || !(s.Rho > 0) || !(s.T > 0) {
		return spot{}, &NoModelError{Property: property, Fluid: f.Name(), State: "two phases"}
	}
	return f.m.spot(float64(s.T), float64(s.Rho)/f.m.molarMass), nil
}

func positive(v float64, property, fluid string) (float64, error) {
	if !(v > 0) || !units.Finite(v) {
		return 0, &NoModelError{Property: property, Fluid: fluid, State: "this state"}
	}
	return v, nil
}
