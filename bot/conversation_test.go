package bot_test

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/intake"
	"coldcase/bot/reply"
	"coldcase/bot/talk"
	"coldcase/rules"
)

var update = flag.Bool("update", false, "rewrite the helper's side of the conversations")

func newBot(t *testing.T) *bot.Bot {
	t.Helper()
	reader, err := intake.BuiltIn()
	require.NoError(t, err)
	set, err := rules.BuiltIn()
	require.NoError(t, err)
	store, err := sqlstore.Open(context.Background(), filepath.Join(t.TempDir(), "cases.db"))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, store.Close()) })
	helper := &talk.Helper{Reader: reader, Rules: set}
	return &bot.Bot{Store: store, Helper: func() *talk.Helper { return helper }, Render: reply.For}
}

// play speaks the tech's side of a conversation and writes both sides. Lines:
//
//	> text         Ines types it, a minute after the line before
//	>Marit text    somebody else does
//	@ 13h          time passes
//	% sms          from here on by phone line (or slack, terminal)
//	# text         a remark
func play(t *testing.T, script string) string {
	b := newBot(t)
	at := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	source, n := "terminal", 0
	var out strings.Builder
	for line := range strings.SplitSeq(strings.TrimRight(script, "\n"), "\n") {
		if strings.HasPrefix(line, "<") {
			continue
		}
		fmt.Fprintln(&out, line)
		switch {
		case strings.HasPrefix(line, "@ "):
			passed, err := time.ParseDuration(line[2:])
			require.NoError(t, err)
			at = at.Add(passed)
		case strings.HasPrefix(line, "% "):
			source = line[2:]
		case strings.HasPrefix(line, ">"):
			who, text, _ := strings.Cut(line[1:], " ")
			if who == "" {
				who = "Ines"
			}
			n++
			at = at.Add(time.Minute)
			say, err := b.Handle(context.Background(), caselog.Inbound{Source: source, ID: fmt.Sprint(n), Person: who, Text: text, At: at})
			require.NoError(t, err)
			for l := range strings.SplitSeq(say, "\n") {
				fmt.Fprintln(&out, strings.TrimRight("< "+l, " "))
			}
		}
	}
	return out.String()
}

// TestConversations holds what is said against the golden conversations.
func TestConversations(t *testing.T) {
	if testing.Short() {
		t.Skip("whole conversations change with every word and rule")
	}
	files, err := filepath.Glob("../testdata/conversations/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			got := play(t, string(want))
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
				return
			}
			require.Equal(t, string(want), got, "read it, then: go test ./bot -run Conversations -update")
		})
	}
}
