package sqlstore

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/casetest"
)

func openFile(t *testing.T) *SQLite {
	t.Helper()
	s, err := OpenSQLite(t.Context(), filepath.Join(t.TempDir(), "cases.db"))
	require.NoError(t, err)
	return s
}

// Many share a commit: the work that fails or panics takes nothing of the others with it.
func TestWhoSharesACommitKeepsTheirOwn(t *testing.T) {
	s := openFile(t)
	defer func() { require.NoError(t, s.Close()) }()
	broke := errors.New("broke")
	var all sync.WaitGroup
	const many = 120
	for i := range many {
		all.Go(func() {
			work := func(x caselog.Tx) error {
				if err := x.SaveNote(fmt.Sprint(i), "kept"); err != nil {
					return err
				}
				switch i % 3 {
				case 1:
					return broke
				case 2:
					panic(i)
				}
				return nil
			}
			switch i % 3 {
			case 0:
				assert.NoError(t, s.Update(t.Context(), work))
			case 1:
				assert.ErrorIs(t, s.Update(t.Context(), work), broke)
			case 2:
				assert.PanicsWithValue(t, i, func() { _ = s.Update(t.Context(), work) })
			}
		})
	}
	all.Wait()
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		for i := range many {
			note, err := x.Note(fmt.Sprint(i))
			require.NoError(t, err)
			assert.Equal(t, map[bool]string{true: "kept", false: ""}[i%3 == 0], note, i)
		}
		return nil
	}))
}

// Whoever is not done when the transaction breaks is told so, and the next round is sound.
func TestABrokenTransactionIsToldToAllOfIt(t *testing.T) {
	s := openFile(t)
	defer func() { require.NoError(t, s.Close()) }()
	err := s.Update(t.Context(), func(x caselog.Tx) error {
		require.NoError(t, x.SaveNote("k", "lost"))
		_, err := x.(*tx).exec("rollback") // as SQLite does by itself when the disk is full
		return err
	})
	require.Error(t, err)
	require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) error { return x.SaveNote("l", "kept") }))
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		k, err := x.Note("k")
		assert.Empty(t, k)
		l, e := x.Note("l")
		assert.Equal(t, "kept", l)
		return errors.Join(err, e)
	}))
}

// A full disk, as SQLite sees it: nothing of the message is kept, whoever brought it is
// told so, and it may come again when there is room.
func TestAFullDiskKeepsNothing(t *testing.T) {
	s := openFile(t)
	defer func() { require.NoError(t, s.Close()) }()
	pages := func(pragma string) {
		require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) error {
			_, err := x.(*tx).exec(pragma)
			return err
		}))
	}
	in := casetest.Message("SM1", "Ines", strings.Repeat("suct 28 ", 100_000), time.UnixMilli(1)) // more than what is left
	pages("pragma max_page_count = 1")                                                            // no fewer than there are
	_, err := s.Receive(t.Context(), in, casetest.File(in))
	require.ErrorIs(t, err, caselog.ErrAway)
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		there, err := x.Received(in.Source, in.ID)
		assert.False(t, there)
		_, none := x.Case(1)
		assert.ErrorIs(t, none, caselog.ErrNoCase)
		return err
	}))
	pages("pragma max_page_count = 4294967294")
	seen, err := s.Receive(t.Context(), in, casetest.File(in))
	require.NoError(t, err)
	assert.False(t, seen)
}

// What comes in goes before what goes out, and nobody waits longer than their patience.
func TestWhatComesInGoesFirst(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := openFile(t)
		hold := make(chan struct{})
		var all sync.WaitGroup
		all.Go(func() { assert.NoError(t, s.Update(t.Context(), func(caselog.Tx) error { <-hold; return nil })) })
		synctest.Wait() // until it holds the writer
		impatient, stop := context.WithTimeout(t.Context(), 10*time.Millisecond)
		defer stop()
		require.ErrorIs(t, s.Update(impatient, func(caselog.Tx) error { return nil }), context.DeadlineExceeded)

		var order []string
		note := func(what string) func(caselog.Tx) error {
			return func(caselog.Tx) error { order = append(order, what); return nil } // by the one writer
		}
		all.Go(func() { assert.NoError(t, s.Update(t.Context(), note("out"))) })
		synctest.Wait() // until it stands in the queue
		all.Go(func() {
			_, err := s.Receive(t.Context(), caselog.Inbound{Source: "sms", ID: "SM1", At: time.UnixMilli(1)}, note("in"))
			assert.NoError(t, err)
		})
		synctest.Wait()
		close(hold)
		all.Wait()
		assert.Equal(t, []string{"in", "out"}, order)
		require.NoError(t, s.Close())
		require.ErrorIs(t, s.Update(t.Context(), note("late")), errClosed)
	})
}
