package refrigerant

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"coldcase/refdata/units"
)

// ErrUnknown is returned for a name that no refrigerant goes by.
var ErrUnknown = errors.New("unknown refrigerant")

// SafetyGroup is a group of ASHRAE 34.
type SafetyGroup string

// The groups in use.
const (
	A1  SafetyGroup = "A1"
	A2L SafetyGroup = "A2L"
	A2  SafetyGroup = "A2"
	A3  SafetyGroup = "A3"
	B1  SafetyGroup = "B1"
	B2L SafetyGroup = "B2L"
)

// Flammable reports whether the gas can burn.
func (g SafetyGroup) Flammable() bool { return !strings.HasSuffix(string(g), "1") }

// Toxic reports the higher toxicity class.
func (g SafetyGroup) Toxic() bool { return strings.HasPrefix(string(g), "B") }

// Part is a component of a blend.
type Part struct {
	Name string
	Mass units.Fraction
}

// Facts is what the trade knows of a refrigerant. Boiling point, glide and
// critical point come from its equation of state; of a blend the critical point
// is an estimate.
type Facts struct {
	Name         string
	ChemicalName string // of a pure fluid
	Parts        []Part // of a blend, by mass, as ASHRAE 34 has them
	Safety       SafetyGroup
	SafetySource string

	Boiling          units.Temperature // bubble point at 101325 Pa; R744 sublimes there
	Glide            units.TempDelta   // dew less bubble at 101325 Pa
	CriticalTemp     units.Temperature
	CriticalPressure units.Pressure

	GWPAR4, GWPAR5 float64 // 100 years, CO2 = 1
	GWPSource      string
	Oils           []string
	PhaseOut       string
	Words          []string // how techs write it, lower case, beside the R-number
	Equation       string   // citation; of a blend the model and its parts
}

// Info is what the trade knows of a refrigerant by its R-number.
func Info(name string) (Facts, error) {
	trade, err := openTrade()
	if err != nil {
		return Facts{}, err
	}
	if !trade.Has(name) || name == "phase_out" {
		return Facts{}, fmt.Errorf("%s: %w", name, ErrUnknown)
	}
	f := Facts{
		Name: name, Safety: SafetyGroup(trade.Text(name, "safety")), SafetySource: safetySource(trade.Text(name, "safety_source")),
		Oils: words(trade.Text(name, "oils")), Words: words(trade.Text(name, "words")),
		PhaseOut: trade.Text("phase_out", trade.Text(name, "family")) + " " + trade.Text("phase_out", "note"),
	}
	if err := f.points(trade); err != nil {
		return Facts{}, err
	}
	return f, f.substance(trade)
}

var openTrade = sync.OnceValues(func() (*Sheet, error) { return open("trade.txt") })

// points fills in what the equations of state say.
func (f *Facts) points(trade *Sheet) error {
	s, err := openPoints()
	if err != nil {
		return err
	}
	var bubble, dew, t, p float64
	for key, to := range map[string]*float64{"critical_T_K": &t, "critical_p_Pa": &p} {
		if *to, err = s.Number(f.Name, key); err != nil {
			return err
		}
	}
	f.CriticalTemp, f.CriticalPressure = units.Kelvin(t), units.Pascal(p)
	if text := trade.Text(f.Name, "sublimes_K"); text != "" {
		bubble, err = strconv.ParseFloat(text, 64)
		f.Boiling = units.Kelvin(bubble)
		return err
	}
	for key, to := range map[string]*float64{"boiling_bubble_K": &bubble, "boiling_dew_K": &dew} {
		if *to, err = s.Number(f.Name, key); err != nil {
			return err
		}
	}
	f.Boiling, f.Glide = units.Kelvin(bubble), units.Kelvin(dew).Sub(units.Kelvin(bubble))
	return nil
}

var openPoints = sync.OnceValues(func() (*Sheet, error) { return open("curves/points.txt") })

// substance fills in the composition and what follows from it.
func (f *Facts) substance(trade *Sheet) (err error) {
	blends, err := OpenBlends()
	if err != nil {
		return err
	}
	const source = "IPCC AR4 (2007) and AR5 (2013), 100 years, from memory"
	section := "blend." + f.Name
	if !blends.Has(section) {
		if f.GWPAR4, err = trade.Number(f.Name, "gwp_ar4"); err != nil {
			return err
		}
		f.GWPAR5, err = trade.Number(f.Name, "gwp_ar5")
		f.GWPSource = source
		s, openErr := OpenFluid(f.Name)
		if openErr != nil {
			return openErr
		}
		f.ChemicalName, f.Equation = s.Text("fluid", "chemical_name"), s.Text("fluid", "source")
		return err
	}
	f.GWPSource = source + ", mass-weighted"
	f.Equation = "multi-fluid model, E.W. Lemmon, R.T Jacobsen, J. Phys. Chem. Ref. Data 33 (2004) 593, over its components' equations"
	return f.mix(trade, blends, section)
}

// mix weighs the components by mass.
func (f *Facts) mix(trade, blends *Sheet, section string) error {
	mass, err := blends.Numbers(section, "mass_percent")
	if err != nil {
		return err
	}
	for i, part := range strings.Fields(blends.Text(section, "components")) {
		share := units.Percent(mass[i])
		f.Parts = append(f.Parts, Part{part, share})
		four, err := trade.Number(part, "gwp_ar4")
		if err != nil {
			return err
		}
		five, err := trade.Number(part, "gwp_ar5")
		if err != nil {
			return err
		}
		f.GWPAR4 += float64(share) * four
		f.GWPAR5 += float64(share) * five
	}
	return nil
}

func safetySource(code string) string {
	if code == "class-map" {
		return "ASHRAE 34, class map of the trade basis"
	}
	return "ASHRAE 34, from memory"
}

func words(list string) []string {
	var out []string
	for _, w := range strings.Split(list, ",") {
		if w = strings.TrimSpace(w); w != "" {
			out = append(out, w)
		}
	}
	return out
}
