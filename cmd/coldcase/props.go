package main

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"coldcase/calc/props"
	"coldcase/refdata/units"
)

func runProps(_ context.Context, c console, args []string) error {
	f := newFlags("props")
	asCSV := f.Bool("csv", false, "rows of states in, rows of properties out")
	if err := parseFlags(f, args); err != nil {
		return err
	}
	if !*asCSV {
		return wrongUsage("props reads and writes CSV: say --csv")
	}
	return propsCSV(c.in, c.out)
}

var propColumns = []string{"T_K", "p_Pa", "rho", "h", "s", "cp", "cv", "w", "mu", "k", "quality", "error"}

// propsCSV answers rows of states; a row that can't be answered says why and the
// rest goes on.
func propsCSV(in io.Reader, out io.Writer) error {
	r := csv.NewReader(in)
	r.FieldsPerRecord = -1
	w := csv.NewWriter(out)
	header, err := r.Read()
	if err != nil {
		return fmt.Errorf("props reads CSV with a header line: %w", err)
	}
	column := map[string]int{}
	for i, name := range header {
		column[name] = i
	}
	if err := w.Write(append(append([]string{}, header...), propColumns...)); err != nil {
		return fmt.Errorf("write: %w", err)
	}
	for {
		fields, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			if werr := w.Write(append(make([]string, len(header)+len(propColumns)-1), "unreadable row: "+err.Error())); werr != nil {
				return fmt.Errorf("write: %w", werr)
			}
			continue
		}
		for len(fields) < len(header) {
			fields = append(fields, "")
		}
		if err := w.Write(append(fields[:len(header):len(header)], propRow(column, fields)...)); err != nil {
			return fmt.Errorf("write: %w", err)
		}
	}
	w.Flush()
	return w.Error()
}

// propRow answers one row.
func propRow(column map[string]int, fields []string) []string {
	out := make([]string, len(propColumns))
	text := func(name string) string {
		if i, ok := column[name]; ok {
			return fields[i]
		}
		return ""
	}
	s, f, err := stateOfRow(text)
	if err != nil {
		out[len(out)-1] = err.Error()
		return out
	}
	values := []float64{s.T.K(), s.P.Pa(), float64(s.Rho), float64(s.H), float64(s.S), float64(s.Cp), float64(s.Cv), float64(s.W)}
	for i, v := range values {
		if v != 0 {
			out[i] = strconv.FormatFloat(v, 'g', 12, 64)
		}
	}
	if mu, err := f.Viscosity(s); err == nil {
		out[8] = strconv.FormatFloat(float64(mu), 'g', 12, 64)
	}
	if k, err := f.Conductivity(s); err == nil {
		out[9] = strconv.FormatFloat(float64(k), 'g', 12, 64)
	}
	if s.Quality >= 0 {
		out[10] = strconv.FormatFloat(s.Quality, 'g', 12, 64)
	}
	return out
}

// stateOfRow finds which pair of columns is filled and solves it.
func stateOfRow(text func(string) string) (props.State, *props.Fluid, error) {
	f, err := props.LookupModel(text("refrigerant"), text("model"))
	if err != nil {
		return props.State{}, nil, err
	}
	number := func(name string) (float64, bool) {
		v, err := strconv.ParseFloat(text(name), 64)
		return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
	}
	t, hasT := number("T_K")
	p, hasP := number("p_Pa")
	h, hasH := number("h")
	s, hasS := number("s")
	var st props.State
	switch {
	case text("side") != "":
		st, err = saturatedRow(f, text("side"), t, hasT, p, hasP)
	case hasP && hasS:
		st, err = f.AtPS(units.Pascal(p), units.JoulesPerKilogramKelvin(s))
	case hasP && hasH:
		st, err = f.AtPH(units.Pascal(p), units.JoulesPerKilogram(h))
	case hasT && hasP:
		st, err = f.AtTP(units.Kelvin(t), units.Pascal(p))
	default:
		err = errors.New("want one pair of T_K,side; p_Pa,side; T_K,p_Pa; p_Pa,s; p_Pa,h")
	}
	return st, f, err
}

func saturatedRow(f *props.Fluid, side string, t float64, hasT bool, p float64, hasP bool) (props.State, error) {
	switch {
	case side == "bubble" && hasT:
		return f.Bubble(units.Kelvin(t))
	case side == "dew" && hasT:
		return f.Dew(units.Kelvin(t))
	case side == "bubble" && hasP:
		return f.BubbleAtP(units.Pascal(p))
	case side == "dew" && hasP:
		return f.DewAtP(units.Pascal(p))
	}
	return props.State{}, errors.New("side is bubble or dew, with T_K or p_Pa")
}
