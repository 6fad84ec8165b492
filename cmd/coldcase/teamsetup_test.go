package main

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"coldcase/bot/rehearse/workspace"
)

// block is what stands indented in the README after a line that begins so.
func block(t *testing.T, after string) string {
	t.Helper()
	raw, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, rest, ok := strings.Cut(string(raw), after)
	require.True(t, ok, after)
	_, rest, _ = strings.Cut(rest, "\n\n")
	text, _, _ := strings.Cut(rest, "\n\n")
	return strings.ReplaceAll(strings.ReplaceAll(text, "\n       ", "\n"), "       time", "time") + "\n"
}

// TestTheTeamSetUpOfTheReadme does what the README tells a new user: its crew file
// and its settings, with the tokens of a stand-in, and then a question to the app.
func TestTheTeamSetUpOfTheReadme(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a server")
	}
	room := &workspace.Workspace{BotToken: "xoxb-1", AppToken: "xapp-1", Channel: "C0123456789", Now: time.Now}
	mux := http.NewServeMux()
	room.Routes(mux)
	api := httptest.NewServer(mux)
	defer api.CloseClientConnections()
	dir := t.TempDir()
	crewFile := filepath.Join(dir, "crew.yaml")
	require.NoError(t, os.WriteFile(crewFile, []byte(block(t, "3. Put everybody into the crew file")), 0o600))
	settings := strings.NewReplacer("xoxb-...", "xoxb-1", "xapp-...", "xapp-1", "crew.yaml", crewFile).Replace(strings.ReplaceAll(block(t, "4. Put the settings into a file"), "       ", ""))
	settings += "COLDCASE_SLACK_API=" + api.URL + "\nCOLDCASE_LISTEN=127.0.0.1:0\n"
	envFile := filepath.Join(dir, "team.env")
	require.NoError(t, os.WriteFile(envFile, []byte(settings), 0o600))
	for line := range strings.SplitSeq(settings, "\n") { // taken back after the test
		if name, _, ok := strings.Cut(line, "="); ok {
			t.Setenv(strings.TrimSpace(name), "")
		}
	}
	at := make(chan string, 1)
	serveUntilStopped(t, func(line string) {
		var said struct{ Msg, At string }
		if json.Unmarshal([]byte(line), &said) == nil && said.Msg == "listening" {
			at <- said.At
		}
	}, "--env", envFile)
	listen := saidSoon(t, at)
	require.Eventually(t, func() bool {
		r, err := http.Get("http://" + listen + "/readyz")
		if err != nil {
			return false
		}
		b, _ := io.ReadAll(r.Body)
		_ = r.Body.Close()
		return string(b) == "ready\n"
	}, 20*time.Second, 20*time.Millisecond)
	_, err := room.Say("U0001", workspace.Direct("U0001"), "", "?")
	require.NoError(t, err)
	require.Eventually(t, func() bool {
		for _, p := range room.All() {
			if p.Bot && strings.Contains(p.Text, "case N: go to that case") {
				return true
			}
		}
		return false
	}, 10*time.Second, 20*time.Millisecond)
}
