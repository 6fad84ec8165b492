package outbox_test

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/casetest"
	"coldcase/bot/caselog/pgtest"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/outbox"
)

const (
	senders = 500
	texts   = 4 // of each
)

// Four replicas get everything twice, out of order and at the same time; one
// process gets it once and in order. The cases are the same.
func TestFourReplicasAreOne(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of messages")
	}
	var sent []caselog.Inbound
	at := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	for i := range texts {
		for s := range senders {
			text := fmt.Sprintf("sender%03d/%d", s, i)
			sent = append(sent, casetest.Message("SM"+text, fmt.Sprintf("sender%03d", s), text, at.Add(time.Duration(i)*time.Minute)))
		}
	}
	url := pgtest.URL(t)
	alone := play(t, []string{filepath.Join(t.TempDir(), "cases.db")}, sent)
	twice := append(slices.Clone(sent), sent...)
	rand.Shuffle(len(twice), func(i, j int) { twice[i], twice[j] = twice[j], twice[i] })
	assert.Equal(t, alone, play(t, []string{url, url, url, url}, twice))
}

// play hands every message to one of the stores, sends all replies, and returns
// what stands on the cases and what arrived, each sender's texts sorted: which of
// two texts that came at the same time is first can't be told.
func play(t *testing.T, stores []string, messages []caselog.Inbound) (end struct{ story, arrived map[string][]string }) {
	p := newProvider()
	p.left = make(chan struct{}, len(messages))
	jobs, all := make(chan caselog.Inbound), sync.WaitGroup{}
	var last caselog.Store
	for i, at := range stores {
		s, err := sqlstore.Open(t.Context(), at)
		require.NoError(t, err)
		defer func() { require.NoError(t, s.Close()) }()
		defer start(t, &outbox.Worker{Queue: s, Sender: p, Owner: fmt.Sprint("w", i)})()
		for range len(stores) { // one process alone: in order
			all.Go(func() {
				for in := range jobs {
					_, err := s.Receive(t.Context(), in, casetest.File(in))
					assert.NoError(t, err)
				}
			})
		}
		last = s
	}
	for _, in := range messages {
		jobs <- in
	}
	close(jobs)
	all.Wait()
	p.await(t, senders*texts)
	require.NoError(t, last.View(t.Context(), func(x caselog.Tx) (err error) {
		end.story, err = casetest.Story(x)
		return err
	}))
	p.mu.Lock()
	defer p.mu.Unlock()
	end.arrived = p.got
	for _, by := range []map[string][]string{end.story, end.arrived} {
		for _, texts := range by {
			slices.Sort(texts)
		}
	}
	return end
}
