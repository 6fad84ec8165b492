package outbox_test

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/casetest"
	"coldcase/bot/caselog/pgtest"
	"coldcase/bot/caselog/sqlstore"
)

// BenchmarkDurable is the table of DEVELOPERS.md:
//
//	go test -run '^$' -bench Durable -benchtime 3s ./bot/outbox
//
// msg/s: messages received, logged, answered and their replies queued, each on the
// disk before the next; pct_of_bare: against one-row commits of the same file;
// p50_ms, p99_ms: from the message to its queued reply.
func BenchmarkDurable(b *testing.B) {
	dir, err := os.MkdirTemp(".", "bench") // the disk of the project: a temporary folder may be memory
	require.NoError(b, err)
	b.Cleanup(func() { require.NoError(b, os.RemoveAll(dir)) })
	bare := 0.0
	b.Run("sqlite-bare-commit", func(b *testing.B) { bare = bareCommits(b, filepath.Join(dir, "bare.db")) })
	b.Run("sqlite", func(b *testing.B) {
		rate := receiveAll(b, 1, filepath.Join(dir, fmt.Sprint("cases", b.N, ".db")))
		b.ReportMetric(100*rate/bare, "pct_of_bare")
	})
	b.Run("sqlite-16-at-a-time", func(b *testing.B) {
		rate := receiveAll(b, 16, filepath.Join(dir, fmt.Sprint("shared", b.N, ".db")))
		b.ReportMetric(100*rate/bare, "pct_of_bare")
	})
	server, err := pgtest.Start(true)
	if errors.Is(err, pgtest.ErrNoBinaries) {
		return
	}
	require.NoError(b, err)
	b.Cleanup(func() { require.NoError(b, server.Stop()) })
	b.Run("postgres-2-replicas", func(b *testing.B) {
		url := server.Database(b)
		receiveAll(b, 8, url, url)
	})
}

// bareCommits is what the disk allows: one row, one commit, the same settings.
func bareCommits(b *testing.B, path string) float64 {
	s, err := sqlstore.OpenSQLite(b.Context(), path)
	require.NoError(b, err)
	require.NoError(b, s.Close())
	db, err := sql.Open("sqlite", "file:"+path+"?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_txlock=immediate")
	require.NoError(b, err)
	defer func() { require.NoError(b, db.Close()) }()
	db.SetMaxOpenConns(1)
	_, err = db.ExecContext(b.Context(), "create table if not exists bare (n integer)")
	require.NoError(b, err)
	insert, err := db.PrepareContext(b.Context(), "insert into bare values ($1)")
	require.NoError(b, err)
	defer func() { require.NoError(b, insert.Close()) }()
	b.ResetTimer()
	for i := range b.N {
		_, err := insert.ExecContext(b.Context(), i)
		require.NoError(b, err)
	}
	rate := float64(b.N) / b.Elapsed().Seconds()
	b.ReportMetric(rate, "msg/s")
	return rate
}

// receiveAll gives b.N messages of 200 senders to the replicas, so many at a time each.
func receiveAll(b *testing.B, atOnce int, urls ...string) float64 {
	jobs, all := make(chan int), sync.WaitGroup{}
	took := make([]time.Duration, b.N)
	for _, at := range urls {
		s, err := sqlstore.Open(b.Context(), at)
		require.NoError(b, err)
		defer func() { require.NoError(b, s.Close()) }()
		connect(b, s, atOnce)
		for range atOnce {
			all.Go(func() {
				for i := range jobs {
					took[i] = receiveOne(b, s, i)
				}
			})
		}
	}
	b.ResetTimer()
	for i := range b.N {
		jobs <- i
	}
	close(jobs)
	all.Wait()
	rate := float64(b.N) / b.Elapsed().Seconds()
	slices.Sort(took)
	b.ReportMetric(rate, "msg/s")
	b.ReportMetric(took[len(took)/2].Seconds()*1000, "p50_ms")
	b.ReportMetric(took[len(took)*99/100].Seconds()*1000, "p99_ms")
	return rate
}

// connect opens the store's connections, as a serve that has run for a while has.
func connect(b *testing.B, s caselog.Store, atOnce int) {
	var all sync.WaitGroup
	for range atOnce {
		all.Go(func() {
			if err := s.Update(b.Context(), func(t caselog.Tx) error { return t.SaveNote("warm", "") }); err != nil {
				b.Error(err)
			}
		})
	}
	all.Wait()
}

func receiveOne(b *testing.B, s caselog.Store, i int) time.Duration {
	start := time.Now()
	in := casetest.Message(fmt.Sprint("SM", i), fmt.Sprint("sender", i%200), "448a suct 28 line 8", start)
	if _, err := s.Receive(context.Background(), in, casetest.File(in)); err != nil {
		b.Error(err)
	}
	return time.Since(start)
}
