package rules

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pictures are columns of the matrix that are no causes: what they point to is
// reported, never they (trade-basis 5).
var pictures = []string{"general_burn", "secondary_damage"}

// TestEvidenceMatrix holds the signs against the evidence matrix, cell by cell: each
// kind of evidence has its sign, and it says to each cause what the matrix says, no
// more and no less.
func TestEvidenceMatrix(t *testing.T) {
	set, err := BuiltIn()
	require.NoError(t, err)
	signs := map[string]*Sign{}
	for _, g := range set.signs {
		signs[g.ID.Value] = g
	}
	said := 0
	for evidence, causes := range readMatrix(t) {
		g := signs["sign-"+strings.ReplaceAll(evidence, "_", "-")]
		if !assert.NotNil(t, g, "no sign for %s", evidence) {
			continue
		}
		got := map[string]string{}
		for cause, saying := range g.Says {
			got[cause] = saying.Strength
		}
		assert.Equal(t, causes, got, evidence)
		said += len(causes)
	}
	t.Logf("%d cells that say something", said)
	require.Greater(t, said, 400)
}

// readMatrix gives what each evidence says: cause → strength, neutral left out.
func readMatrix(t *testing.T) map[string]map[string]string {
	f, err := os.Open("testdata/evidence_matrix.csv")
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	out := map[string]map[string]string{}
	for _, row := range rows[1:] {
		evidence, modes, strength := row[0], row[1], row[2]
		if out[evidence] == nil {
			out[evidence] = map[string]string{}
		}
		for mode := range strings.SplitSeq(modes, " or ") {
			if strength != "neutral" && !strings.Contains(strings.Join(pictures, " "), mode) {
				out[evidence][mode] = strength
			}
		}
	}
	return out
}
