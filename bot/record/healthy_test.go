package record_test

import (
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"coldcase/bot/intake"
	"coldcase/bot/record"
	"coldcase/calc/derive"
	"coldcase/rules"
)

// TestHealthySystems runs every rule on systems in order: no verdict worse than a
// note, no fault, and the word healthy.
func TestHealthySystems(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/healthy/systems.yaml")
	require.NoError(t, err)
	var file struct {
		Healthy []string `yaml:"healthy"`
	}
	require.NoError(t, yaml.Unmarshal(raw, &file))
	require.GreaterOrEqual(t, len(file.Healthy), 20)
	set, err := rules.BuiltIn()
	require.NoError(t, err)
	reader, err := intake.BuiltIn()
	require.NoError(t, err)
	for _, text := range file.Healthy {
		b := record.New()
		b.Add(reader.Read(text, b.Context()), time.Unix(0, 0))
		j := set.Judge(b.Record(), derive.Numbers(b.Record()))
		for _, v := range j.Verdicts {
			assert.Equal(t, "watch", v.Severity, "%s: %s", text, v.Title)
		}
		assert.Empty(t, j.Faults, text)
		assert.Equal(t, "healthy", j.Standing, "%s\n%+v\n%s", text, j.Verdicts, scores(j))
	}
}
