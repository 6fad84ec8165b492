package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/refdata/vocab"
)

// said is what one message is labelled with.
type said struct {
	Text   string `json:"text"`
	Expect struct {
		Readings []vocab.Reading        `json:"readings"`
		Facts    vocab.Facts            `json:"facts"`
		Findings map[vocab.Finding]bool `json:"findings"`
		Asks     []string               `json:"asks"`
	} `json:"expect"`
}

// What `read --json` writes of the labelled messages is what they are labelled
// with: questions, tests and findings included.
func TestReadWritesWhatIsLabelled(t *testing.T) {
	for _, name := range []string{"corpus.jsonl", "own.jsonl"} {
		labelled, lines := labelledMessages(t, name)
		var out bytes.Buffer
		require.NoError(t, runRead(context.Background(), console{in: strings.NewReader(lines), out: &out}, []string{"--json"}))
		wrong := 0
		for i, line := range strings.Split(strings.TrimSpace(out.String()), "\n") {
			var got readingObject
			require.NoError(t, json.Unmarshal([]byte(line), &got))
			e := labelled[i].Expect
			want, is := inShort(e.Readings, e.Facts, e.Findings), inShort(got.Readings, got.Facts, got.Findings)
			if want != is || len(e.Asks) > 0 != (len(got.Asks) > 0) {
				wrong++
				t.Logf("%q\n  want %s\n  got  %s, asks %v", labelled[i].Text, want, is, got.Asks)
			}
		}
		t.Logf("%s: %d of %d read otherwise", name, wrong, len(labelled))
		require.LessOrEqual(t, float64(wrong), 0.03*float64(len(labelled)), name)
	}
}

func labelledMessages(t *testing.T, name string) (all []said, lines string) {
	f, err := os.Open(filepath.Join("..", "..", "testdata", "messages", name))
	require.NoError(t, err)
	defer f.Close()
	var text strings.Builder
	for in := bufio.NewScanner(f); in.Scan(); {
		var s said
		require.NoError(t, json.Unmarshal(in.Bytes(), &s), in.Text())
		all = append(all, s)
		text.WriteString(strings.ReplaceAll(s.Text, "\n", " ") + "\n")
	}
	return all, text.String()
}

// inShort is what was read, order aside.
func inShort(readings []vocab.Reading, facts vocab.Facts, findings map[vocab.Finding]bool) string {
	values := map[string]string{}
	for _, r := range readings {
		values[string(r.Key)] = fmt.Sprintf("%g %s %t", math.Round(r.Value*1e6)/1e6, r.Unit, r.Approx)
	}
	for k, v := range facts {
		values[string(k)] = strings.ToLower(strings.ReplaceAll(v, " ", ""))
	}
	for k, v := range findings {
		values[string(k)] = fmt.Sprint(v)
	}
	return fmt.Sprint(values) // fmt prints maps in the order of their keys
}
