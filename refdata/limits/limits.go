package limits

import (
	_ "embed"
	"sync"

	"gopkg.in/yaml.v3"
)

//go:embed limits.yaml
var thresholds []byte

// Limit is one threshold; its name ends in its unit.
type Limit struct {
	Value  float64 `yaml:"value"`
	What   string  `yaml:"what"`
	Source string  `yaml:"source"`
}

// All gives the thresholds by name.
func All() (map[string]Limit, error) { return all() }

var all = sync.OnceValues(func() (map[string]Limit, error) {
	var file struct {
		Limits map[string]Limit `yaml:"limits"`
	}
	err := yaml.Unmarshal(thresholds, &file)
	return file.Limits, err
})
