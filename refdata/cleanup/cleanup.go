// Package cleanup holds what is done to a system after its compressor failed.
package cleanup

import (
	"bytes"
	_ "embed"
	"fmt"
	"sync"

	"gopkg.in/yaml.v3"
)

//go:embed cleanup.yaml
var text []byte

// Class of a failure by what it left in the system.
type Class string

// The classes, cleanest first.
const (
	Mechanical Class = "mechanical"
	Mild       Class = "mild"
	Severe     Class = "severe"
)

// Step is one thing to do, in order.
type Step struct {
	Topic   string    `yaml:"topic"`
	Do      string    `yaml:"do"`
	OutH    float64   `yaml:"out_h"`    // hours after which a temporary core comes out; 0: none
	RetestH []float64 `yaml:"retest_h"` // hours after which the oil is tested again
}

// UnknownClassError says that no steps are listed for a class.
type UnknownClassError struct{ Class Class }

func (e *UnknownClassError) Error() string { return fmt.Sprintf("no clean-up of class %q", e.Class) }

// Steps of a class, in order.
func Steps(c Class) ([]Step, error) {
	all, err := classes()
	if err != nil {
		return nil, err
	}
	steps, ok := all[c]
	if !ok {
		return nil, &UnknownClassError{Class: c}
	}
	return steps, nil
}

var classes = sync.OnceValues(func() (map[Class][]Step, error) {
	var file struct {
		Source  string           `yaml:"source"`
		Classes map[Class][]Step `yaml:"classes"`
	}
	d := yaml.NewDecoder(bytes.NewReader(text))
	d.KnownFields(true)
	if err := d.Decode(&file); err != nil {
		return nil, fmt.Errorf("clean-up table: %w", err)
	}
	return file.Classes, nil
})
