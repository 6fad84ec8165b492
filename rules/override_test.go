package rules

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

const floor = `rules:
  - {id: our-floor, title: t, severity: note, status: trial, when: "total_superheat_dF < 25", why: w, also_looks_like: [x], sources: [common practice],
     examples: [{given: {total_superheat_dF: "9"}, expect: fires}, {given: {total_superheat_dF: "40"}, expect: silent}]}
`

// TestOverride puts a rule of a folder in the place of a built-in one.
func TestOverride(t *testing.T) {
	dir := t.TempDir()
	text := `rules:
  - {id: ratio-high, title: ours, severity: danger, status: trial, when: "compression_ratio > 6", why: w, also_looks_like: [x], sources: [common practice],
     examples: [{given: {compression_ratio: "9"}, expect: fires}, {given: {compression_ratio: "4"}, expect: silent}]}
`
	require.NoError(t, os.WriteFile(filepath.Join(dir, "ours.yaml"), []byte(text), 0o600))
	builtIn, err := BuiltIn()
	require.NoError(t, err)
	ours, err := WithExtra(os.DirFS(dir))
	require.NoError(t, err)
	require.Equal(t, builtIn.Rules(), ours.Rules())
	require.Empty(t, ours.Test().Failed)
}
