// Package refrigerant holds what is known of each refrigerant: the published
// coefficients of its equation of state, composition, safety group, oils and
// words. Coefficients lie in text sheets, one fluid a file, each with the
// citation of its equation; nothing is parsed before it is asked for.
package refrigerant

import (
	"bufio"
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"strconv"
	"strings"
)

//go:generate go run coldcase/calc/props/gencurves -out curves
//go:embed fluids/*.txt curves/*.txt pairs.txt blends.txt chung.txt trade.txt
var files embed.FS

// Sheet is one text file of named sections. A section holds lines of a key and
// its value: one number, a list of numbers, or text. Lists of one section that
// belong together have the same length, one entry a term.
type Sheet struct {
	name     string
	order    []string
	sections map[string]map[string]string
}

// OpenFluid reads the sheet of a pure or pseudo-pure fluid. The parentheses of
// an isomer are left out of the file's name: R1234ze(E) lies in R1234zeE.txt.
func OpenFluid(name string) (*Sheet, error) {
	return open("fluids/" + fileName(name) + ".txt")
}

// OpenCurves reads the saturation curves of a fluid by one model; nil without
// an error when none have been made.
func OpenCurves(name, model string) (*Sheet, error) {
	s, err := open("curves/" + CurveFile(name, model))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return s, err
}

// CurveFile is the name of the sheet that holds a fluid's saturation curves.
func CurveFile(name, model string) string { return fileName(name) + "-" + model + ".txt" }

func fileName(name string) string { return strings.NewReplacer("(", "", ")", "").Replace(name) }

// OpenPairs reads the binary parameters and departure functions.
func OpenPairs() (*Sheet, error) { return open("pairs.txt") }

// OpenBlends reads the compositions of the blends.
func OpenBlends() (*Sheet, error) { return open("blends.txt") }

// OpenChung reads the constants of Chung's viscosity estimate.
func OpenChung() (*Sheet, error) { return open("chung.txt") }

func open(path string) (*Sheet, error) {
	raw, err := files.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("coefficient sheet: %w", err)
	}
	s := &Sheet{name: path, sections: map[string]map[string]string{}}
	var section map[string]string
	lines := bufio.NewScanner(bytes.NewReader(raw))
	lines.Buffer(nil, 1<<20)
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(lines.Text())
		switch {
		case line == "" || line[0] == '#':
		case line[0] == '[':
			name := strings.Trim(line, "[]")
			section = map[string]string{}
			s.sections[name], s.order = section, append(s.order, name)
		default:
			key, value, found := strings.Cut(line, " ")
			if !found || section == nil {
				return nil, fmt.Errorf("%s:%d: want a key and a value inside a section", path, n)
			}
			section[key] = value
		}
	}
	return s, lines.Err()
}

// Sections lists the sections whose names begin with prefix, in file order.
func (s *Sheet) Sections(prefix string) []string {
	var found []string
	for _, name := range s.order {
		if strings.HasPrefix(name, prefix) {
			found = append(found, name)
		}
	}
	return found
}

// Has reports whether a section is there.
func (s *Sheet) Has(section string) bool { return s.sections[section] != nil }

// Text is the value of a key as written, "" when it is not there.
func (s *Sheet) Text(section, key string) string { return s.sections[section][key] }

// Number is the value of a key that must be there.
func (s *Sheet) Number(section, key string) (float64, error) {
	v, err := strconv.ParseFloat(s.Text(section, key), 64)
	if err != nil {
		return 0, fmt.Errorf("%s: [%s] %s: %w", s.name, section, key, err)
	}
	return v, nil
}

// Numbers is the list of a key that must be there.
func (s *Sheet) Numbers(section, key string) ([]float64, error) {
	fields := strings.Fields(s.Text(section, key))
	if len(fields) == 0 {
		return nil, fmt.Errorf("%s: [%s] has no %s", s.name, section, key)
	}
	list := make([]float64, len(fields))
	for i, f := range fields {
		v, err := strconv.ParseFloat(f, 64)
		if err != nil {
			return nil, fmt.Errorf("%s: [%s] %s: %w", s.name, section, key, err)
		}
		list[i] = v
	}
	return list, nil
}

// Columns is several lists of one section, all of the same length.
func (s *Sheet) Columns(section string, keys ...string) ([][]float64, error) {
	columns := make([][]float64, len(keys))
	for i, key := range keys {
		list, err := s.Numbers(section, key)
		if err != nil {
			return nil, err
		}
		if len(list) != len(columns[0]) && i > 0 {
			return nil, fmt.Errorf("%s: [%s] %s has %d entries, %s has %d", s.name, section, key, len(list), keys[0], len(columns[0]))
		}
		columns[i] = list
	}
	return columns, nil
}
