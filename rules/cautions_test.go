package rules

import (
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/refdata/cautions"
)

// TestEveryCautionHasItsTrigger: no warning of the catalogue is left without a rule
// that says when it holds, and no rule warns of what the catalogue lacks. The general
// one is said once to everybody and needs no rule.
func TestEveryCautionHasItsTrigger(t *testing.T) {
	set, err := BuiltIn()
	require.NoError(t, err)
	var want, got []string
	for id := range cautions.All() {
		if id != "general" {
			want = append(want, id)
		}
	}
	for _, c := range set.cautions {
		got = append(got, c.ID.Value)
	}
	require.ElementsMatch(t, want, got)
}
