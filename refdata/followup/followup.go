// Package followup holds which visits follow a changed compressor and what is
// wanted at each.
package followup

import (
	_ "embed"
	"fmt"
	"time"

	"gopkg.in/yaml.v3"
)

//go:embed followup.yaml
var table []byte

// Visit is one follow-up visit.
type Visit struct {
	Within time.Duration `yaml:"within"` // after the change
	Name   string        `yaml:"name"`
	Wants  []string      `yaml:"wants"` // keys of readings.md
}

// Visits lists the built-in ones in order.
func Visits() ([]Visit, error) {
	var file struct {
		Visits []Visit `yaml:"visits"`
	}
	if err := yaml.Unmarshal(table, &file); err != nil {
		return nil, fmt.Errorf("follow-up visits: %w", err)
	}
	return file.Visits, nil
}
