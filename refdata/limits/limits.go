package limits

import (
	"bytes"
	_ "embed"
	"fmt"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"
)

//go:embed limits.yaml
var thresholds []byte

// Limit is one threshold; its name ends in its unit, a plain ratio in none.
type Limit struct {
	Name   string  `yaml:"-"`
	Value  float64 `yaml:"value"`
	What   string  `yaml:"what"`
	Source string  `yaml:"source"`
}

// FromMemory reports that the source was recalled, not seen.
func (l Limit) FromMemory() bool { return strings.Contains(l.Source, "from memory") }

// Unit is the code at the end of the name: dF, psi, psi_per_min …; "" for a ratio.
func (l Limit) Unit() string {
	for _, u := range unitEndings {
		if strings.HasSuffix(l.Name, "_"+u) {
			return u
		}
	}
	return ""
}

// unitEndings are the units that a name may end in, the longer before the shorter.
var unitEndings = []string{
	"psi_per_min", "yr", "per_h", "per_week", "kg_m3", "lb_ft3", "uPas", "dF", "F", "psi", "psig", "pct", "fpm", "ft", "min", "s", "h", "micron", "Mohm", "in3", "in", "um", "W", "lb", "d",
}

// BadLimitError says that the table of thresholds is not as it should be.
type BadLimitError struct{ Name, Problem string }

func (e *BadLimitError) Error() string { return fmt.Sprintf("limit %s: %s", e.Name, e.Problem) }

// All gives the thresholds by name.
func All() (map[string]Limit, error) { return all() }

// Value is one threshold of the embedded table. A name that is not in it is a
// mistake in the program, as a bad pattern is to regexp.MustCompile: it panics,
// and a test holds every name that the house uses.
func Value(name string) float64 {
	known, err := all()
	if err != nil {
		panic(err)
	}
	l, ok := known[name]
	if !ok {
		panic(&BadLimitError{Name: name, Problem: "not in limits.yaml"})
	}
	return l.Value
}

var all = sync.OnceValues(func() (map[string]Limit, error) { return read(thresholds) })

func read(text []byte) (map[string]Limit, error) {
	var file struct {
		Limits map[string]Limit `yaml:"limits"`
	}
	d := yaml.NewDecoder(bytes.NewReader(text))
	d.KnownFields(true)
	if err := d.Decode(&file); err != nil {
		return nil, fmt.Errorf("limits: %w", err)
	}
	for name, l := range file.Limits {
		if l.What == "" || l.Source == "" {
			return nil, &BadLimitError{Name: name, Problem: "needs what and source"}
		}
		l.Name = name
		file.Limits[name] = l
	}
	return file.Limits, nil
}
