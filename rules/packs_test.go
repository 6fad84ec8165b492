package rules

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestBuiltInPacksLoadAndPass(t *testing.T) {
	s, err := BuiltIn()
	require.NoError(t, err)
	out := s.Test()
	for _, err := range out.Failed {
		t.Error(err)
	}
	t.Logf("%d rules, signs, exclusions and faults; %d examples pass", s.Rules(), out.Passed)
	require.GreaterOrEqual(t, s.Rules(), 120)
}
