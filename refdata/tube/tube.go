// Package tube holds copper tube by ASTM B280 and ASTM B88 type L, and the
// equivalent lengths of fittings.
package tube

import (
	_ "embed"
	"errors"
	"fmt"
	"math"
	"sync"

	"coldcase/refdata/table"
	"coldcase/refdata/units"
)

//go:embed copper_tube.csv
var copper string

//go:embed equivalent_lengths.csv
var fittings string

// Tube is one size of copper tube.
type Tube struct {
	Type    string // ACR-drawn, ACR-annealed, L
	Nominal string // outside diameter as it is called, "1-3/8"
	OD, ID  units.Length
	Source  string
}

// Bore is the free area.
func (t Tube) Bore() units.Area {
	return units.Area(math.Pi / 4 * float64(t.ID) * float64(t.ID))
}

// UnknownSizeError says that no listed tube has this outside diameter.
type UnknownSizeError struct {
	OD units.Length
	// PlumbingNominal is set when the number is a plumbing size: 1/2 water is 5/8 OD.
	PlumbingNominal bool
}

func (e *UnknownSizeError) Error() string {
	return fmt.Sprintf("no copper tube of %g in outside diameter", e.OD.Inches())
}

// ACR finds the drawn ACR tube of an outside diameter. From 3/8 in up its bore
// is that of type L.
func ACR(od units.Length) (Tube, error) {
	for _, t := range All() {
		if t.Type == "ACR-drawn" && math.Abs(t.OD.Inches()-od.Inches()) < 0.004 {
			return t, nil
		}
	}
	for _, t := range All() {
		if t.Type == "L" && math.Abs(t.OD.Inches()-od.Inches()) < 0.004 {
			return t, nil
		}
	}
	return Tube{}, &UnknownSizeError{OD: od, PlumbingNominal: isPlumbingNominal(od)}
}

// isPlumbingNominal spots sizes that only water tube is called by: its outside
// is 1/8 in more.
func isPlumbingNominal(od units.Length) bool {
	for _, t := range All() {
		if t.Type == "L" && math.Abs(t.OD.Inches()-0.125-od.Inches()) < 0.004 {
			return true
		}
	}
	return false
}

// Sizes lists the drawn ACR tubes, small to large; the caller leaves them as they are.
func Sizes() []Tube { return drawn() }

var drawn = sync.OnceValue(func() []Tube {
	var out []Tube
	for _, t := range All() {
		if t.Type == "ACR-drawn" {
			out = append(out, t)
		}
	}
	return out
})

// All lists every tube of the table in its order.
func All() []Tube { return tubes() }

var tubes = sync.OnceValue(func() []Tube {
	out, err := readTubes(copper)
	if err != nil {
		panic(err) // embedded: a test holds that it reads
	}
	return out
})

func readTubes(text string) ([]Tube, error) {
	rows, err := table.Read(text, "type", "od_nominal_in", "od_in", "id_in", "source")
	if err != nil {
		return nil, fmt.Errorf("copper tube: %w", err)
	}
	var out []Tube
	for _, r := range rows {
		od, err1 := r.Number("od_in")
		id, err2 := r.Number("id_in")
		if err := errors.Join(err1, err2); err != nil {
			return nil, fmt.Errorf("copper tube: %w", err)
		}
		out = append(out, Tube{Type: r.Text("type"), Nominal: r.Text("od_nominal_in"), OD: units.Inches(od), ID: units.Inches(id), Source: r.Text("source")})
	}
	return out, nil
}

// Fitting is the equivalent length of one fitting on one size of tube.
type Fitting struct {
	Name       string
	TubeOD     string // "1-3/8"
	Equivalent units.Length
	Source     string
	FromMemory bool
}

// Fittings lists the equivalent lengths.
func Fittings() []Fitting { return fittingList() }

var fittingList = sync.OnceValue(func() []Fitting {
	out, err := readFittings(fittings)
	if err != nil {
		panic(err) // embedded: a test holds that it reads
	}
	return out
})

func readFittings(text string) ([]Fitting, error) {
	rows, err := table.Read(text, "fitting", "tube_od_in", "equivalent_ft", "source", "from_memory")
	if err != nil {
		return nil, fmt.Errorf("equivalent lengths: %w", err)
	}
	var out []Fitting
	for _, r := range rows {
		feet, err := r.Number("equivalent_ft")
		if err != nil {
			return nil, fmt.Errorf("equivalent lengths: %w", err)
		}
		out = append(out, Fitting{Name: r.Text("fitting"), TubeOD: r.Text("tube_od_in"), Equivalent: units.Feet(feet), Source: r.Text("source"), FromMemory: r.Text("from_memory") == "yes"})
	}
	return out, nil
}

// UnknownFittingError says that no equivalent length is listed for a fitting on
// a size of tube.
type UnknownFittingError struct{ Fitting, TubeOD string }

func (e *UnknownFittingError) Error() string {
	return fmt.Sprintf("no equivalent length of %s on %s", e.Fitting, e.TubeOD)
}

// Equivalent is the length of straight tube that loses what one fitting does.
func Equivalent(fitting string, t Tube) (units.Length, error) {
	for _, f := range Fittings() {
		if f.Name == fitting && f.TubeOD == t.Nominal {
			return f.Equivalent, nil
		}
	}
	return 0, &UnknownFittingError{Fitting: fitting, TubeOD: t.Nominal}
}
