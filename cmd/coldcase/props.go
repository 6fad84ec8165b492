package main

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"coldcase/calc/props"
	"coldcase/refdata/units"
)

func runProps(_ context.Context, c console, args []string) error {
	f := newFlags("props")
	asCSV := f.Bool("csv", false, "rows of states in, rows of properties out")
	notes := f.Bool("notes", false, "a last column with what is doubtful about a row")
	if err := parseFlags(f, args); err != nil {
		return err
	}
	if !*asCSV {
		return wrongUsage("props reads and writes CSV: say --csv")
	}
	return propsCSV(c, *notes)
}

var propColumns = []string{"T_K", "p_Pa", "rho", "h", "s", "cp", "cv", "w", "mu", "k", "quality", "error"}

// Places of what is filled one by one in a row of propColumns.
const atViscosity, atConductivity, atQuality, atError = 8, 9, 10, 11

// propsCSV answers rows of states; a row that can't be answered says why and the
// rest goes on. What is doubtful about a refrigerant is said once beside the data.
func propsCSV(c console, notes bool) error {
	r := csv.NewReader(c.in)
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	header, err := r.Read()
	if err != nil {
		return fmt.Errorf("props reads CSV with a header line: %w", err)
	}
	t := propTable{w: csv.NewWriter(c.out), header: header, column: columnsOf(header), notes: notes, said: map[string]bool{}}
	t.head()
	for {
		fields, err := r.Read()
		var unreadable *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			t.w.Flush()
			t.sayDoubts(c.err)
			return t.w.Error()
		case errors.As(err, &unreadable):
			t.write(nil, propFailed(fmt.Errorf("unreadable row: %w", err)), "")
		case err != nil:
			return fmt.Errorf("read: %w", err)
		default:
			t.answer(fields)
		}
	}
}

// columnsOf finds each name's first column: the later ones of a table that went
// through once are answers.
func columnsOf(header []string) map[string]int {
	column := map[string]int{}
	for i, name := range header {
		name = strings.TrimSpace(strings.TrimPrefix(name, "\ufeff"))
		if _, twice := column[name]; !twice {
			column[name] = i
		}
	}
	return column
}

// propTable is the table on its way through.
type propTable struct {
	w      *csv.Writer
	header []string
	column map[string]int
	notes  bool
	said   map[string]bool // doubts, by the sentence that says them
	doubts []string
}

func (t *propTable) head() {
	added := append([]string{}, propColumns...)
	if t.notes {
		added = append(added, "note")
	}
	t.put(append(append([]string{}, t.header...), added...))
}

// put keeps the first error, as the writer does.
func (t *propTable) put(fields []string) { _ = t.w.Write(fields) }

func (t *propTable) write(fields, answer []string, note string) {
	for len(fields) < len(t.header) {
		fields = append(fields, "")
	}
	row := append(fields[:len(t.header):len(t.header)], answer...)
	if t.notes {
		row = append(row, note)
	}
	t.put(row)
}

func (t *propTable) answer(fields []string) {
	text := func(name string) string {
		if i, ok := t.column[name]; ok && i < len(fields) {
			return strings.TrimSpace(fields[i])
		}
		return ""
	}
	s, f, err := stateOfRow(text)
	if err != nil {
		t.write(fields, propFailed(err), "")
		return
	}
	t.write(fields, propRow(f, s), t.doubtOf(f))
}

// doubtOf is what is known against a fluid's numbers, also kept to be said once.
func (t *propTable) doubtOf(f *props.Fluid) string {
	var parts []string
	for _, d := range []string{f.Doubt(), f.TransportDoubt()} {
		if d == "" {
			continue
		}
		parts = append(parts, d)
		if said := f.Name() + ": " + d; !t.said[said] {
			t.said[said] = true
			t.doubts = append(t.doubts, said)
		}
	}
	return strings.Join(parts, " ")
}

func (t *propTable) sayDoubts(w io.Writer) {
	for _, d := range t.doubts {
		fmt.Fprintln(w, d)
	}
}

func propFailed(err error) []string {
	out := make([]string, len(propColumns))
	out[atError] = err.Error()
	return out
}

// propRow is the answer to one row.
func propRow(f *props.Fluid, s props.State) []string {
	out := make([]string, len(propColumns))
	values := []float64{s.T.K(), s.P.Pa(), float64(s.Rho), float64(s.H), float64(s.S), float64(s.Cp), float64(s.Cv), float64(s.W)}
	for i, v := range values {
		if v != 0 || s.Phase != props.TwoPhase { // two phases have no cp, cv and w
			out[i] = propNumber(v)
		}
	}
	if mu, err := f.Viscosity(s); err == nil {
		out[atViscosity] = propNumber(float64(mu))
	}
	if k, err := f.Conductivity(s); err == nil {
		out[atConductivity] = propNumber(float64(k))
	}
	if s.Quality >= 0 {
		out[atQuality] = propNumber(s.Quality)
	}
	return out
}

func propNumber(v float64) string { return strconv.FormatFloat(v, 'g', 12, 64) }

var errWhichPair = errors.New("want one pair of T_K,side; p_Pa,side; T_K,p_Pa; p_Pa,s; p_Pa,h")

// stateOfRow finds which pair of columns is filled and solves it.
func stateOfRow(text func(string) string) (props.State, *props.Fluid, error) {
	name := text("refrigerant")
	if name == "" {
		return props.State{}, nil, errors.New("no refrigerant in this row")
	}
	f, err := props.LookupModel(name, text("model"))
	if err != nil {
		if f, err = props.LookupModel(spelled(name), text("model")); err != nil {
			return props.State{}, nil, err
		}
	}
	v, err := filled(text, "T_K", "p_Pa", "h", "s")
	if err != nil {
		return props.State{}, f, err
	}
	st, err := stateOfPair(f, strings.ToLower(text("side")), v)
	return st, f, err
}

// filled reads the numbers of a row; what is there and is none is a mistake.
func filled(text func(string) string, names ...string) (map[string]float64, error) {
	got := map[string]float64{}
	for _, name := range names {
		if text(name) == "" {
			continue
		}
		v, err := strconv.ParseFloat(text(name), 64)
		if err != nil || !units.Finite(v) {
			return nil, fmt.Errorf("%s: %q is no number", name, text(name))
		}
		got[name] = v
	}
	return got, nil
}

func stateOfPair(f *props.Fluid, side string, v map[string]float64) (props.State, error) {
	has := func(names ...string) bool {
		for _, n := range names {
			if _, ok := v[n]; !ok {
				return false
			}
		}
		return len(v) == len(names)
	}
	p := units.Pascal(v["p_Pa"])
	switch {
	case side != "":
		return saturatedRow(f, side, v)
	case has("p_Pa", "s"):
		return f.AtPS(p, units.JoulesPerKilogramKelvin(v["s"]))
	case has("p_Pa", "h"):
		return f.AtPH(p, units.JoulesPerKilogram(v["h"]))
	case has("T_K", "p_Pa"):
		return f.AtTP(units.Kelvin(v["T_K"]), p)
	case len(v) > 2:
		return props.State{}, fmt.Errorf("more than one pair in this row: %w", errWhichPair)
	}
	return props.State{}, errWhichPair
}

func saturatedRow(f *props.Fluid, side string, v map[string]float64) (props.State, error) {
	t, hasT := v["T_K"]
	p, hasP := v["p_Pa"]
	switch {
	case side != "bubble" && side != "dew", len(v) != 1:
	case side == "bubble" && hasT:
		return f.Bubble(units.Kelvin(t))
	case side == "dew" && hasT:
		return f.Dew(units.Kelvin(t))
	case side == "bubble" && hasP:
		return f.BubbleAtP(units.Pascal(p))
	case side == "dew" && hasP:
		return f.DewAtP(units.Pascal(p))
	}
	return props.State{}, errors.New("side is bubble or dew, with either T_K or p_Pa")
}
