package main

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
)

// TestKilledChatKeepsWhatItAnswered kills the program at random moments: every
// message that was answered is on its case with that answer, once.
func TestKilledChatKeepsWhatItAnswered(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and kills the program many times")
	}
	bin := build(t)
	db := filepath.Join(t.TempDir(), "cases.db")
	answered := map[string]bool{}
	const rounds = 25
	for round := range rounds {
		for _, text := range killedSession(t, bin, db, round) {
			answered[text] = true
		}
	}
	kept := keptMessages(t, db)
	for text := range answered {
		require.Equal(t, 1, kept[text], "answered and on the case once: %s", text)
	}
	t.Logf("%d kills, %d answered messages, all kept once", rounds, len(answered))
	require.Greater(t, len(answered), rounds)
}

// build makes the program itself, to be killed.
func build(t *testing.T) string {
	bin := filepath.Join(t.TempDir(), "coldcase")
	out, err := exec.Command("go", "build", "-o", bin, ".").CombinedOutput()
	require.NoError(t, err, string(out))
	return bin
}

// killedSession types readings until the program is killed and returns those whose
// answer was seen.
func killedSession(t *testing.T, bin, db string, round int) (answered []string) {
	cmd := exec.Command(bin, "chat", "--db", db, "--as", "Ines")
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	lives := 1 + rand.IntN(12)
	lines := bufio.NewScanner(out)
	for n := range lives {
		text := fmt.Sprintf("R134a suct 18 line %d.%d", 30+n, round)
		if _, err := fmt.Fprintln(in, text); err != nil {
			break
		}
		if n == lives-1 {
			break // killed while it works on this one
		}
		for lines.Scan() {
			if strings.HasPrefix(lines.Text(), "(") && strings.HasSuffix(lines.Text(), "?)") {
				answered = append(answered, text)
				break
			}
		}
	}
	require.NoError(t, cmd.Process.Kill())
	_ = cmd.Wait() // it was killed: the error says so
	return answered
}

// keptMessages counts the messages on all cases that have their reply behind them.
func keptMessages(t *testing.T, db string) map[string]int {
	ctx := context.Background()
	s, err := sqlstore.Open(ctx, db)
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	kept := map[string]int{}
	require.NoError(t, s.View(ctx, func(tx caselog.Tx) error {
		for c, err := range tx.Find(caselog.Filter{}) {
			require.NoError(t, err)
			entries, err := tx.Entries(c.Number)
			require.NoError(t, err)
			for i, e := range entries {
				require.Equal(t, i+1, e.Seq, "no holes")
				if e.Kind == caselog.KindMessage {
					require.Equal(t, caselog.KindReply, entries[i+3].Kind)
					kept[e.Text]++
				}
			}
		}
		return nil
	}))
	return kept
}
