// Package tube holds copper tube by ASTM B280 and ASTM B88 type L, and the
// equivalent lengths of fittings.
package tube

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

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

// Sizes lists the drawn ACR tubes, small to large.
func Sizes() []Tube {
	var out []Tube
	for _, t := range All() {
		if t.Type == "ACR-drawn" {
			out = append(out, t)
		}
	}
	return out
}

// All lists every tube of the table in its order.
func All() []Tube { return tubes() }

var tubes = sync.OnceValue(func() []Tube {
	var out []Tube
	for _, r := range rows(copper) {
		od, id := number(r["od_in"]), number(r["id_in"])
		out = append(out, Tube{Type: r["type"], Nominal: r["od_nominal_in"], OD: units.Inches(od), ID: units.Inches(id), Source: r["source"]})
	}
	return out
})

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
	var out []Fitting
	for _, r := range rows(fittings) {
		out = append(out, Fitting{Name: r["fitting"], TubeOD: r["tube_od_in"], Equivalent: units.Feet(number(r["equivalent_ft"])), Source: r["source"], FromMemory: r["from_memory"] == "yes"})
	}
	return out
})

// rows reads an embedded table; a test holds that it is well formed.
func rows(text string) []map[string]string {
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return nil
	}
	var out []map[string]string
	for _, fields := range all[1:] {
		r := map[string]string{}
		for i, key := range all[0] {
			r[key] = fields[i]
		}
		out = append(out, r)
	}
	return out
}

func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}
