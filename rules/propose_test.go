package rules

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

// TestProposedExamplesHold writes examples at the edge of conditions, and they pass.
func TestProposedExamplesHold(t *testing.T) {
	text := `signs:
  - id: ours-wet
    title: wet
    when: "total_superheat_dF < limits.wet_suction_dF && !told.hot_gas_defrost"
    says: {floodback_running: [strong_for, "liquid"]}
    sources: [common practice]
faults:
  - {fault: ours, title: ours, when: "refrigerant == \"R290\" && seen.coil_iced", standing: likely, why: w, sources: [common practice]}
`
	out, err := Propose("ours.yaml", []byte(text))
	require.NoError(t, err)
	set, err := WithExtra(fstest.MapFS{"ours.yaml": {Data: out}})
	require.NoError(t, err)
	f := set.files[len(set.files)-1]
	require.Len(t, f.Signs[0].Examples, 2)
	require.Len(t, f.Faults[0].Examples, 2)
	require.Empty(t, set.Test().Failed, string(out))
}
