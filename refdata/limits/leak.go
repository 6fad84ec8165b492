package limits

import (
	"bytes"
	_ "embed"
	"fmt"
	"sync"
	"time"

	"gopkg.in/yaml.v3"
)

//go:embed leak_rules.yaml
var leakText []byte

// LeakRule is one leak-rate threshold of the United States rule. Verify the
// current rule: its text may have changed since.
type LeakRule struct {
	Part       string    `yaml:"part"`      // of 40 CFR: 82 for ozone depleters, 84 for HFCs and substitutes above GWP 53
	Appliance  string    `yaml:"appliance"` // commercial, industrial or comfort (and refrigerated transport, other)
	LeastLb    float64   `yaml:"least_lb"`  // full charge from which it holds
	RatePct    float64   `yaml:"rate_pct"`
	From       time.Time `yaml:"from"`
	Source     string    `yaml:"source"`
	FromMemory bool      `yaml:"from_memory"`
	Note       string    `yaml:"note"`
}

// LeakDuty is what follows once the rate is exceeded.
type LeakDuty struct {
	What       string  `yaml:"what"`
	Value      float64 `yaml:"value"`
	Unit       string  `yaml:"unit"`
	Source     string  `yaml:"source"`
	FromMemory bool    `yaml:"from_memory"`
	Note       string  `yaml:"note"`
}

type leakFile struct {
	Rates  []LeakRule `yaml:"rates"`
	Duties []LeakDuty `yaml:"duties"`
}

var leakTable = sync.OnceValues(func() (leakFile, error) {
	var file leakFile
	d := yaml.NewDecoder(bytes.NewReader(leakText))
	d.KnownFields(true)
	if err := d.Decode(&file); err != nil {
		return leakFile{}, fmt.Errorf("leak rules: %w", err)
	}
	return file, nil
})

// LeakRules lists the thresholds.
func LeakRules() ([]LeakRule, error) {
	file, err := leakTable()
	return file.Rates, err
}

// LeakDuties lists what follows once a rate is exceeded.
func LeakDuties() ([]LeakDuty, error) {
	file, err := leakTable()
	return file.Duties, err
}

// LeakRuleFor is the threshold that holds for an appliance of a charge on a day;
// ok is false below the charge or before the date.
func LeakRuleFor(part, appliance string, chargeLb float64, on time.Time) (rule LeakRule, ok bool) {
	file, err := leakTable()
	if err != nil {
		return LeakRule{}, false
	}
	for _, r := range file.Rates {
		if r.Part == part && r.Appliance == appliance && chargeLb >= r.LeastLb && !on.Before(r.From) {
			return r, true
		}
	}
	return LeakRule{}, false
}
