package props

import (
	"strings"
	"sync"

	"coldcase/refdata/nearest"
	"coldcase/refdata/refrigerant"
	"coldcase/refdata/units"
)

// The models of the property engine, as the reference tables name them.
const (
	ModelPure   = "pure"   // one published equation of state
	ModelMix    = "mix"    // multi-fluid model, every pair has published parameters
	ModelMixLB  = "mix-lb" // multi-fluid model with Lorentz-Berthelot values for at least one pair
	ModelPseudo = "ppf"    // pseudo-pure equation of a blend (Lemmon 2003)
)

// Fluid is one refrigerant by one model. It is safe for concurrent use.
type Fluid struct {
	m        *model
	model    string
	tCrit    float64 // K
	pCrit    float64 // Pa, of a pure fluid; 0 where the model gives none
	tTop     float64 // K, where saturation ends
	doubt    string
	expected [2]units.Fraction // of the pressure, by side, where there is a doubt

	lines    [2]func() (*chain, error) // of a blend, by side, solved once when first needed
	table    *table                    // fast saturation curves, nil while they are being made
	ceiling  func() (float64, error)   // Pa, bubble pressure at the top of the dome
	critical func() (t, p float64)     // of a blend, estimated once when first asked for
}

var fluids sync.Map // "name/model" → func() (*Fluid, error)

// Lookup finds a refrigerant by its R-number ("R448A", "R1234ze(E)"), by the
// model that answers for its plain name: the mixture model for every blend.
// The error is *UnknownFluidError for a name that is not known.
func Lookup(name string) (*Fluid, error) { return LookupModel(name, "") }

// LookupModel finds a refrigerant by name and model: pure, mix, mix-lb or ppf;
// an empty model is the default one.
func LookupModel(name, model string) (*Fluid, error) {
	load, _ := fluids.LoadOrStore(name+"/"+model, sync.OnceValues(func() (*Fluid, error) { return loadFluid(name, model) }))
	return load.(func() (*Fluid, error))()
}

func loadFluid(name, model string) (*Fluid, error) {
	blends, err := refrigerant.OpenBlends()
	if err != nil {
		return nil, err
	}
	isBlend := blends.Has("blend." + name)
	switch {
	case isBlend && model != ModelPseudo:
		return loadBlend(name, model, blends)
	case model == "" || model == ModelPure || model == ModelPseudo:
		return loadPure(name, model)
	}
	return nil, unknownFluid(name, model)
}

func loadPure(name, model string) (*Fluid, error) {
	c, err := readComponent(name)
	if err != nil || c.pseudo != (model == ModelPseudo) {
		return nil, unknownFluid(name, model)
	}
	f := &Fluid{m: pureModel(c), model: ModelPure, tCrit: c.tCrit, pCrit: c.pCrit, tTop: nearCritical * c.tCrit}
	if c.pseudo {
		f.model, f.tTop = ModelPseudo, topOfChain*c.tCrit
	}
	return f.ready()
}

func loadBlend(name, model string, blends *refrigerant.Sheet) (*Fluid, error) {
	section := "blend." + name
	own := ModelMix
	if blends.Text(section, "lorentz_berthelot") == "yes" {
		own = ModelMixLB
	}
	if model != "" && model != own {
		return nil, unknownFluid(name, model)
	}
	x, err := blends.Numbers(section, "mole_fraction")
	if err != nil {
		return nil, err
	}
	tCrit, err := blends.Number(section, "critical_T_K")
	if err != nil {
		return nil, err
	}
	var parts []*component
	for part := range strings.FieldsSeq(blends.Text(section, "components")) {
		c, err := readComponent(part)
		if err != nil {
			return nil, err
		}
		parts = append(parts, c)
	}
	pairs, gasR, err := readPairs(parts)
	if err != nil {
		return nil, err
	}
	f := &Fluid{m: blendModel(name, parts, x, pairs, gasR), model: own, tCrit: tCrit, tTop: topOfChain * tCrit, doubt: blends.Text(section, "doubt")}
	for _, s := range []side{bubble, dew} {
		if f.doubt != "" {
			pct, err := blends.Number(section, s.String()+"_error_pct")
			if err != nil {
				return nil, err
			}
			f.expected[s] = units.Percent(pct)
		}
		f.lines[s] = sync.OnceValues(func() (*chain, error) { return f.m.march(s, tCrit) })
	}
	return f.ready()
}

// ready sets the reference state and the fast curves.
func (f *Fluid) ready() (*Fluid, error) {
	f.ceiling = sync.OnceValues(func() (float64, error) {
		s, err := f.saturation(bubble, f.tTop)
		return s.p, err
	})
	f.critical = sync.OnceValues(f.estimateCritical)
	t, err := readTable(f.m.name, f.model)
	if err != nil {
		return nil, err
	}
	if f.table = t; t != nil {
		f.m.hShift, f.m.sShift, f.tCrit = t.hShift, t.sShift, t.tCrit
		if f.IsBlend() {
			f.tTop = t.pressure[bubble].high
		}
		return f, nil
	}
	if f.isMixture() {
		if err := f.lowerTop(); err != nil {
			return nil, err
		}
	}
	f.m.hShift, f.m.sShift, err = f.referenceShift()
	return f, err
}

// lowerTop takes the end of the solved line for the critical point of a blend
// whose estimate lies above it.
func (f *Fluid) lowerTop() error {
	for _, line := range f.lines {
		c, err := line()
		if err != nil {
			return err
		}
		if _, high := c.span(); high < f.tTop-1e-6 {
			f.tCrit, f.tTop = high, high
		}
	}
	return nil
}

// referenceShift moves h and s to the IIR state: 200 kJ/kg and 1 kJ/(kg K) for
// saturated (bubble) liquid at 273.15 K.
func (f *Fluid) referenceShift() (h, s float64, err error) {
	const tRef, hRef, sRef = 273.15, 200e3, 1e3
	at, err := f.saturation(bubble, tRef)
	if err != nil {
		return 0, 0, err
	}
	raw := *f.m
	raw.hShift, raw.sShift = 0, 0
	zero := raw.stateOf(tRef, at.rhoLiq)
	return hRef - float64(zero.H), sRef - float64(zero.S), nil
}

func unknownFluid(name, model string) error {
	if model != "" {
		name += " by model " + model
	}
	return &UnknownFluidError{Name: name, Nearest: nearest.To(name, refrigerant.Names(), 2)}
}

// Name is the R-number.
func (f *Fluid) Name() string { return f.m.name }

// Model is pure, mix, mix-lb or ppf.
func (f *Fluid) Model() string { return f.model }

// IsBlend reports whether bubble and dew differ by model.
func (f *Fluid) IsBlend() bool { return f.model != ModelPure }

// Doubt says why this refrigerant's numbers may be off by more than the rest,
// with the expected error; "" when nothing is known against them.
func (f *Fluid) Doubt() string { return f.doubt }

// ExpectedError is how far off the bubble and dew pressure of a fluid with a
// Doubt may be; 0, 0 where nothing is known against them. Range: any fluid.
// Source: blends.txt.
func (f *Fluid) ExpectedError() (bubble, dew units.Fraction) { return f.expected[0], f.expected[1] }

// MolarMass is in kg/mol.
func (f *Fluid) MolarMass() float64 { return f.m.molarMass }

// CriticalTemp is the temperature of Critical.
func (f *Fluid) CriticalTemp() units.Temperature {
	t, _ := f.Critical()
	return t
}

// Span is where saturation is answered: from 183.15 K, or the highest triple
// point of the parts, to just below the critical point (a blend: about 0.985 of it).
func (f *Fluid) Span() (low, high units.Temperature) {
	lo, hi := f.satSpan()
	return units.Temperature(lo), units.Temperature(hi)
}

func (f *Fluid) satSpan() (low, high float64) {
	return f.m.tLow, f.tTop
}

// nearCritical is how far up a pure fluid's saturation is solved.
const nearCritical = 0.9995

// NameModel is a refrigerant with the model that answers for it.
type NameModel struct{ Name, Model string }

// AllModels lists every refrigerant by every model that it has.
func AllModels() []NameModel {
	var all []NameModel
	for _, name := range refrigerant.Names() {
		if f, err := Lookup(name); err == nil {
			all = append(all, NameModel{name, f.model})
		}
		if f, err := LookupModel(name, ModelPseudo); err == nil {
			all = append(all, NameModel{name, f.model})
		}
	}
	return all
}
