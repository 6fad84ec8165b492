package main

import (
	"bytes"
	"context"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite the session of the README from the program")

// TestReadmeTranscript types the session of the README into the program and holds
// what it says against what stands there.
func TestReadmeTranscript(t *testing.T) {
	if testing.Short() {
		t.Skip("the session changes with every word and rule")
	}
	const file = "../../README.md"
	raw, err := os.ReadFile(file)
	require.NoError(t, err)
	t.Setenv("COLDCASE_DB", filepath.Join(t.TempDir(), "cases.db"))
	blocks := strings.Split(string(raw), "```")
	sessions := 0
	for i, block := range blocks {
		if strings.HasPrefix(strings.TrimSpace(block), "you: ") {
			sessions++
			blocks[i] = "\n" + typeSession(t, block) + "\n"
		}
	}
	require.NotZero(t, sessions)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(strings.Join(blocks, "```")), 0o644))
		return
	}
	require.Equal(t, string(raw), strings.Join(blocks, "```"), "read it, then: go test ./cmd/coldcase -run Readme -update")
}

// typeSession types what stands behind "you: " and returns the session as it goes.
func typeSession(t *testing.T, block string) string {
	var said []string
	for line := range strings.SplitSeq(block, "\n") {
		text, ok := strings.CutPrefix(line, "you: ")
		if !ok {
			continue
		}
		var out bytes.Buffer
		require.Zero(t, run(context.Background(), console{strings.NewReader(text + "\n"), &out, os.Stderr}, []string{"chat", "--as", "Ines"}))
		said = append(said, line+"\n"+strings.TrimRight(out.String(), "\n"))
	}
	return strings.Join(said, "\n\n")
}

// TestReadmeRule puts the rule of the README into a folder, as it stands there.
func TestReadmeRule(t *testing.T) {
	raw, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, after, ok := strings.Cut(string(raw), "## Writing a rule\n")
	require.True(t, ok)
	indented, _, ok := strings.Cut(after, "\nPut it")
	require.True(t, ok)
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "ours.yaml"), []byte(strings.ReplaceAll(indented, "\n    ", "\n")), 0o600))
	for _, does := range []string{"check", "test"} {
		require.Zero(t, run(context.Background(), console{strings.NewReader(""), io.Discard, os.Stderr}, []string{"rules", does, dir}))
	}
}
