package serve_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/rehearse/workspace"
)

// methods are those of the provider's description, with the fields they take.
func methods(t *testing.T) map[string]map[string]bool {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "..", "shared", "specs", "slack_web.swagger2.json"))
	if err != nil {
		t.Skip("no specs beside the repository")
	}
	var spec struct {
		Paths map[string]map[string]struct {
			Parameters []struct {
				Name, In string
				Required bool
			}
		}
	}
	require.NoError(t, json.Unmarshal(text, &spec))
	all := map[string]map[string]bool{}
	for path, verbs := range spec.Paths {
		fields := map[string]bool{}
		for _, v := range verbs {
			for _, p := range v.Parameters {
				if p.Name != "token" {
					fields[p.Name] = p.Required
				}
			}
		}
		all[strings.TrimPrefix(path, "/")] = fields
	}
	return all
}

// Newer than the description of 2021: the block reference and the message metadata.
var newer = map[string][]string{
	"chat.postMessage":      {"metadata"},
	"conversations.replies": {"include_all_metadata"},
	"chat.postEphemeral":    {"unfurl_links", "unfurl_media"},
	"chat.update":           {"unfurl_links", "unfurl_media"},
}

// TestEveryCallIsValid plays a whole job and holds each call of the Web API against
// the provider's description; methods that are newer than it stand in parts.md.
func TestEveryCallIsValid(t *testing.T) {
	spec := methods(t)
	undescribed := []string{"apps.connections.open", "conversations.history", "files.getUploadURLExternal", "files.completeUploadExternal"}
	o := newOffice(t, true)
	var mu sync.Mutex
	called := map[string]int{}
	o.room.Hook(workspace.Hooks{Seen: func(method string, form map[string]string) {
		mu.Lock()
		defer mu.Unlock()
		called[method]++
		fields, known := spec[method]
		if !known {
			assert.Contains(t, undescribed, method)
			return
		}
		for name := range form {
			_, ok := fields[name]
			assert.True(t, ok || slices.Contains(newer[method], name), "%s: %s", method, name)
		}
		for name, required := range fields {
			assert.True(t, !required || form[name] != "", "%s lacks %s", method, name)
		}
	}})
	o.restart()
	o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8", jpeg)
	card := o.root("Harbor Lane Fish")
	o.say(tomas, teamChannel, card.TS, "coil out 2")
	require.NoError(t, o.room.Press(marit, card, "close", "1-3", false))
	o.drained()
	require.NoError(t, o.room.Slash(marit, teamChannel, "?"))
	o.drained()
	o.say(marit, workspace.Direct(marit), "", "rules")
	o.restart() // and catches up
	o.drained()
	require.Eventually(t, func() bool { mu.Lock(); defer mu.Unlock(); return called["conversations.replies"] > 0 }, checkWithin, checkEvery)
	for _, m := range []string{"auth.test", "chat.postMessage", "chat.update", "chat.postEphemeral", "conversations.history", "files.completeUploadExternal"} {
		assert.Positive(t, called[m], m)
	}
}
