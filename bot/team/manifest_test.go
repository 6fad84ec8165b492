package team

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

func spec(t *testing.T, name string) string {
	t.Helper()
	path := filepath.Join("..", "..", "..", "shared", "specs", name)
	if _, err := os.Stat(path); err != nil {
		t.Skip("no specs beside the repository")
	}
	return path
}

func manifest(t *testing.T, text string) any {
	t.Helper()
	var m any
	require.NoError(t, yaml.Unmarshal([]byte(text), &m))
	raw, err := json.Marshal(m) // numbers as the schema knows them
	require.NoError(t, err)
	got, err := jsonschema.UnmarshalJSON(strings.NewReader(string(raw)))
	require.NoError(t, err)
	return got
}

func TestTheManifestIsValid(t *testing.T) {
	text, err := os.ReadFile("manifest.yaml")
	require.NoError(t, err)
	schema, err := jsonschema.NewCompiler().Compile(spec(t, "slack_manifest.schema.2.0.0.json"))
	require.NoError(t, err)
	require.NoError(t, schema.Validate(manifest(t, string(text))))
	http := strings.NewReplacer("# url:", "url:", "# request_url:", "request_url:", "socket_mode_enabled: true", "socket_mode_enabled: false").Replace(string(text))
	require.NotEqual(t, string(text), http)
	require.NoError(t, schema.Validate(manifest(t, http)), "with HTTP events")
	assert.Error(t, schema.Validate(manifest(t, strings.Replace(string(text), "bot_events", "bot_event", 1))), "a misspelt key is found")
}

// Every scope is needed by a call or an event of ours, and none is missing.
func TestTheManifestAsksForTheFewestScopes(t *testing.T) {
	needs := map[string][]string{
		"chat.postMessage": {"chat:write"}, "chat.update": {"chat:write"}, "chat.postEphemeral": {"chat:write"},
		"conversations.history": {"channels:history", "groups:history", "im:history"}, "conversations.replies": {"channels:history", "groups:history", "im:history"},
		"files.getUploadURLExternal": {"files:write"}, "files.completeUploadExternal": {"files:write"}, "url_private": {"files:read"},
		"auth.test": nil, "apps.connections.open": nil, // an app token's
		"event app_mention": {"app_mentions:read"}, "event message.channels": {"channels:history"}, "event message.groups": {"groups:history"}, "event message.im": {"im:history"},
		"slash command": {"commands"},
	}
	want := map[string]bool{}
	for _, scopes := range needs {
		for _, s := range scopes {
			want[s] = true
		}
	}
	var m struct {
		OAuth struct {
			Scopes struct{ Bot []string }
		} `yaml:"oauth_config"`
		Settings struct {
			Events struct {
				Bot []string `yaml:"bot_events"`
			} `yaml:"event_subscriptions"`
		}
	}
	text, err := os.ReadFile("manifest.yaml")
	require.NoError(t, err)
	require.NoError(t, yaml.Unmarshal(text, &m))
	for _, s := range m.OAuth.Scopes.Bot {
		assert.True(t, want[s], "%s is not needed", s)
		delete(want, s)
	}
	assert.Empty(t, want)
	for _, e := range m.Settings.Events.Bot {
		assert.Contains(t, needs, "event "+e)
	}
	assert.True(t, slices.IsSorted(m.Settings.Events.Bot))
}
