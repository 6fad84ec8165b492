package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

const ownRule = `rules:
  - id: our-own
    title: ours
    severity: caution
    status: trial
    when: total_superheat_dF < %s
    why: because
    also_looks_like: [x]
    sources: [common practice]
    examples:
      - {given: {total_superheat_dF: "2"}, expect: fires}
      - {given: {total_superheat_dF: "20"}, expect: silent}
`

// TestRulesAreReadAgain changes a rule file under a running helper: the next
// message has the new rules, and a mistake leaves the old ones in force.
func TestRulesAreReadAgain(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "own.yaml")
	write := func(limit string, at time.Time) {
		require.NoError(t, os.WriteFile(file, bytes.ReplaceAll([]byte(ownRule), []byte("%s"), []byte(limit)), 0o600))
		require.NoError(t, os.Chtimes(file, at, at))
	}
	now := time.Now()
	write("5", now)
	var said bytes.Buffer
	f, err := newInForce(settings{Rules: dir}, &said)
	require.NoError(t, err)
	first := f.Helper().Rules.Version()
	write("6", now.Add(time.Second))
	second := f.Helper().Rules.Version()
	require.NotEqual(t, first, second)
	write("57", now.Add(-2*time.Hour)) // its examples fail
	require.Equal(t, second, f.Helper().Rules.Version())
	require.Contains(t, said.String(), "should stay silent and fires")
	write("7", now.Add(-time.Hour)) // put back with its own time
	second, earlier := f.Helper().Rules.Version(), second
	require.NotEqual(t, earlier, second)
	write("nonsense", now.Add(2*time.Second))
	require.Equal(t, second, f.Helper().Rules.Version())
	require.Contains(t, said.String(), "own.yaml:6")
}
