package rules

import (
	"fmt"

	"gopkg.in/yaml.v3"
)

// Example is a case in small and what the rule does on it. Every rule with a
// condition has one that fires and one that stays silent.
type Example struct {
	Given  Given       `yaml:"given"`
	Expect Expectation `yaml:"expect"`
}

// Given is what an example's case holds: readings with their unit, facts, findings
// (yes, no), circumstances (told), computed numbers by their name in expressions,
// and how the case stands (dead: yes).
type Given []Said

// Said is one thing of an example's case.
type Said struct{ Key, Value Text }

// UnmarshalYAML reads a mapping and keeps the places.
func (g *Given) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind != yaml.MappingNode {
		return fmt.Errorf("line %d: given is what the case holds: {key: value}", n.Line)
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		var s Said
		if err := n.Content[i].Decode(&s.Key); err != nil {
			return err
		}
		if err := n.Content[i+1].Decode(&s.Value); err != nil {
			return err
		}
		*g = append(*g, s)
	}
	return nil
}

// Expectation is fires, silent, {asks: [keys]}, or for a sign {for: [causes],
// against: [causes]}: what it then speaks for and against.
type Expectation struct {
	Fires, Silent      bool
	Asks, For, Against []string
}

// UnmarshalYAML reads the forms.
func (e *Expectation) UnmarshalYAML(n *yaml.Node) error {
	switch n.Value {
	case "fires":
		e.Fires = true
		return nil
	case "silent":
		e.Silent = true
		return nil
	}
	var says struct {
		Asks    []string `yaml:"asks"`
		For     []string `yaml:"for"`
		Against []string `yaml:"against"`
	}
	if n.Kind != yaml.MappingNode || n.Decode(&says) != nil || len(says.Asks)+len(says.For)+len(says.Against) == 0 {
		return fmt.Errorf("line %d: expect is fires, silent, {asks: [keys]} or {for: [causes], against: [causes]}", n.Line)
	}
	e.Asks, e.For, e.Against = says.Asks, says.For, says.Against
	return nil
}
