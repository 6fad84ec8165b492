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
	"coldcase/refdata/vocab"
	"coldcase/rules"
)

// inOrder is a case that brings no caution by itself; onFrost is one on whose start
// liquid waits.
const (
	inOrder = "R448A txv medium temp semi suct 46 head 228 line 42 coil out 31 liq 85 amb 78 box 36"
	onFrost = "R448A txv medium temp semi, frost all over the shell, its off"
)

// TestAnnouncedSteps holds that a dangerous step brings its caution in whatever words
// it is announced, and that words which only sound alike bring none.
func TestAnnouncedSteps(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/steps.yaml")
	require.NoError(t, err)
	var file struct {
		Steps []struct {
			Caution      string
			Said, Silent []string
		}
		Starts    []string
		NotStarts []string `yaml:"not_starts"`
	}
	require.NoError(t, yaml.Unmarshal(raw, &file))
	set, err := rules.BuiltIn()
	require.NoError(t, err)
	reader, err := intake.BuiltIn()
	require.NoError(t, err)
	for _, s := range file.Steps {
		for _, said := range s.Said {
			assert.Contains(t, warned(reader, set, inOrder, said), s.Caution, said)
		}
		for _, said := range s.Silent {
			assert.NotContains(t, warned(reader, set, inOrder, said), s.Caution, said)
		}
	}
	for _, said := range file.Starts {
		assert.Contains(t, warned(reader, set, onFrost, said), "no_start_wet", said)
	}
	for _, said := range file.NotStarts {
		m := reader.Read(said, record.New().Context())
		assert.False(t, m.Circumstances[vocab.MeansToRestart], said)
	}
}

// warned are the cautions at the end of a conversation.
func warned(reader *intake.Reader, set *rules.Set, texts ...string) (ids []string) {
	b := record.New()
	for i, text := range texts {
		b.Add(reader.Read(text, b.Context()), time.Date(2026, 3, 2, 8, i, 0, 0, time.UTC))
	}
	for _, c := range set.Judge(b.Record(), derive.Numbers(b.Record())).Cautions {
		ids = append(ids, c.Caution)
	}
	return ids
}
