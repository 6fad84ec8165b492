package sqlstore

import (
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
)

// A misspelt setting is dropped without a word, so they are read back.
func TestPragmasAreInForce(t *testing.T) {
	s, err := OpenSQLite(t.Context(), filepath.Join(t.TempDir(), "cases.db"))
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	for name, db := range map[string]*sql.DB{"write": s.writer.db, "read": s.read} {
		for pragma, want := range map[string]string{
			"journal_mode": "wal", "synchronous": "2", "busy_timeout": "5000", "foreign_keys": "1",
			"query_only": map[string]string{"write": "0", "read": "1"}[name],
		} {
			var got string
			require.NoError(t, db.QueryRowContext(t.Context(), "pragma "+pragma).Scan(&got))
			assert.Equal(t, want, got, "%s: %s", name, pragma)
		}
	}
	assert.Equal(t, 1, s.writer.db.Stats().MaxOpenConnections)
}

// What runs at every message walks no whole table, however long the casebook has
// been kept.
func TestEveryMessagesQueriesUseAnIndex(t *testing.T) {
	s := openFile(t)
	defer func() { require.NoError(t, s.Close()) }()
	for _, query := range []string{leaseRows(""), holdBehind, holdDest, release, takeBack, openVisits} {
		for _, step := range plan(t, s, query) {
			if strings.HasPrefix(step, "SCAN") {
				assert.Contains(t, step, "USING INDEX", "%s\n%s", step, query) // of the open rows alone
			}
		}
	}
}

func plan(t *testing.T, s *SQLite, query string) (steps []string) {
	t.Helper()
	rows, err := s.read.QueryContext(t.Context(), "explain query plan "+query, 1, 2, 3, 4)
	require.NoError(t, err, query)
	defer func() { require.NoError(t, rows.Close()) }()
	for rows.Next() {
		var id, parent, none int
		var step string
		require.NoError(t, rows.Scan(&id, &parent, &none, &step))
		steps = append(steps, step)
	}
	require.NoError(t, rows.Err())
	return steps
}

// Restore as DEVELOPERS.md says: stop, put the copy in the place of the file, start.
func TestABackupTakenWhileWritingCanBeRestored(t *testing.T) {
	dir := t.TempDir()
	s, err := OpenSQLite(t.Context(), filepath.Join(dir, "cases.db"))
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	add := func(i int) error {
		return s.Update(t.Context(), func(x caselog.Tx) error {
			n, err := x.Open(caselog.Case{Opened: time.UnixMilli(1)})
			if err != nil {
				return err
			}
			return x.Append(n, []caselog.Entry{{Kind: caselog.KindMessage, Text: fmt.Sprint(i)}})
		})
	}
	for i := range 20 {
		require.NoError(t, add(i))
	}
	stop, all := make(chan struct{}), sync.WaitGroup{}
	all.Go(func() {
		for i := 20; ; i++ {
			select {
			case <-stop:
				return
			default:
				assert.NoError(t, add(i))
			}
		}
	})
	copied := filepath.Join(dir, "copy.db")
	require.NoError(t, s.Backup(t.Context(), copied))
	close(stop)
	all.Wait()
	require.ErrorIs(t, s.Backup(t.Context(), copied), os.ErrExist)

	restored := filepath.Join(dir, "restored.db")
	require.NoError(t, os.Rename(copied, restored))
	r, err := OpenSQLite(t.Context(), restored)
	require.NoError(t, err)
	defer func() { require.NoError(t, r.Close()) }()
	require.NoError(t, r.View(t.Context(), func(x caselog.Tx) error {
		found := 0
		for c, err := range x.Find(caselog.Filter{}) {
			require.NoError(t, err)
			entries, err := x.Entries(c.Number)
			require.NoError(t, err)
			require.Len(t, entries, 1, "a case was copied whole")
			found++
		}
		assert.GreaterOrEqual(t, found, 20)
		return nil
	}))
}

func TestOnlyOneProcessSends(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cases.db")
	first, err := OpenSQLite(t.Context(), path)
	require.NoError(t, err)
	second, err := OpenSQLite(t.Context(), path)
	require.NoError(t, err)
	defer func() { require.NoError(t, second.Close()) }()
	require.NoError(t, first.TakeOver(t.Context()))
	require.ErrorIs(t, second.TakeOver(t.Context()), ErrServed)
	require.NoError(t, first.Close())
	require.NoError(t, second.TakeOver(t.Context()))
}
