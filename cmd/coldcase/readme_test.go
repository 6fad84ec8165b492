package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestReadmeTranscript types the session of the README into the program and holds
// what it says against what stands there.
func TestReadmeTranscript(t *testing.T) {
	raw, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	var typed []string
	var said strings.Builder
	for block := range strings.SplitSeq(string(raw), "```") {
		if !strings.HasPrefix(strings.TrimSpace(block), "you: ") {
			continue
		}
		for line := range strings.SplitSeq(strings.TrimSpace(block), "\n") {
			if text, ok := strings.CutPrefix(line, "you: "); ok {
				typed = append(typed, text)
			} else if line != "" {
				said.WriteString(line + "\n")
			}
		}
	}
	require.NotEmpty(t, typed)
	t.Setenv("COLDCASE_DB", filepath.Join(t.TempDir(), "cases.db"))
	var out bytes.Buffer
	code := run(context.Background(), console{strings.NewReader(strings.Join(typed, "\n") + "\n"), &out, os.Stderr}, []string{"chat", "--as", "Ines"})
	require.Zero(t, code)
	require.Equal(t, said.String(), out.String(), "run `go test ./cmd/coldcase -run Readme -update`")
}
