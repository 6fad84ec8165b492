package bot_test

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"coldcase/bot/reply"
	"coldcase/refdata/cautions"
)

// TestPhoneCarriesEveryCase sends every labelled case by text: no answer takes more
// than three segments, but for one that is all cautions.
func TestPhoneCarriesEveryCase(t *testing.T) {
	if testing.Short() {
		t.Skip("plays whole cases on a store")
	}
	raw, err := os.ReadFile("../testdata/cases/dev.yaml")
	require.NoError(t, err)
	var file struct {
		Cases []struct {
			ID       string   `yaml:"id"`
			Messages []string `yaml:"messages"`
		} `yaml:"cases"`
	}
	require.NoError(t, yaml.Unmarshal(raw, &file))
	b := newBot(t)
	at, longest, beyond := start, 0, 0
	for _, c := range file.Cases {
		for i, text := range c.Messages {
			at = at.Add(time.Minute)
			said := say(t, b, fmt.Sprint(c.ID, i), c.ID, strings.ReplaceAll(text, "\n", " "), at)
			if reply.Segments(said) > reply.MostSegments {
				require.True(t, onlyCautions(said), "%s: %s\n%s", c.ID, text, said)
				beyond++
				continue
			}
			longest = max(longest, reply.Septets(said))
		}
	}
	t.Logf("%d cases, longest answer %d of %d septets; %d took a further segment for cautions alone", len(file.Cases), longest, reply.MostSeptets, beyond)
	// Two when a caution was said once a day only; three since it is said again when its
	// step is announced ("can i braze a tap on and top it up?").
	require.LessOrEqual(t, beyond, 3)
}

// onlyCautions reports an answer of a case number and cautions alone: none of them
// may be dropped, so a further segment takes them.
func onlyCautions(said string) bool {
	lines := strings.Split(said, "\n")
	for _, l := range lines[1 : len(lines)-1] {
		known := strings.HasPrefix(l, "Still: ")
		for _, c := range cautions.All() {
			known = known || strings.HasSuffix(l, reply.ToGSM(c.Text))
		}
		if !known {
			return false
		}
	}
	return true
}
