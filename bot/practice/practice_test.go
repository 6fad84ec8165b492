package practice_test

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/intake"
	"coldcase/bot/practice"
	"coldcase/bot/talk"
	"coldcase/rules"
)

// TestFill writes cases twice from one seed: they are the same, and each holds the
// 45 readings that its texts give.
func TestFill(t *testing.T) {
	reader, err := intake.BuiltIn()
	require.NoError(t, err)
	set, err := rules.BuiltIn()
	require.NoError(t, err)
	h := &talk.Helper{Reader: reader, Rules: set}
	store, err := sqlstore.Open(t.Context(), filepath.Join(t.TempDir(), "practice.db"))
	require.NoError(t, err)
	defer func() { require.NoError(t, store.Close()) }()
	at := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	for range 2 {
		require.NoError(t, practice.Fill(t.Context(), store, h, 20, 7, at))
	}
	require.NoError(t, store.View(t.Context(), func(tx caselog.Tx) error {
		closed := 0
		for n := caselog.Number(1); n <= 20; n++ {
			one, err := tx.Entries(n)
			require.NoError(t, err)
			two, err := tx.Entries(n + 20)
			require.NoError(t, err)
			require.Equal(t, one, two)
			b, err := talk.Case{Number: n, Entries: one}.Record()
			require.NoError(t, err)
			require.Len(t, b.Record().Observations, 45, one[0].Text)
			head, err := tx.Case(n)
			require.NoError(t, err)
			if head.Cause != "" {
				closed++
				require.Contains(t, set.CauseNames(), head.Cause)
			}
		}
		require.Greater(t, closed, 10)
		return nil
	}))
}
