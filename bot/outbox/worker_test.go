package outbox_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/outbox"
)

// provider is a stand-in that answers as its script says, then yes.
type provider struct {
	mu     sync.Mutex
	script map[string][]error // by payload
	got    map[string][]string
	left   chan struct{} // a token for every yes
}

func newProvider() *provider {
	return &provider{script: map[string][]error{}, got: map[string][]string{}, left: make(chan struct{}, 1000)}
}

func (p *provider) Send(_ context.Context, o caselog.Outgoing) (outbox.Receipt, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if next := p.script[o.Payload]; len(next) > 0 {
		p.script[o.Payload] = next[1:]
		return outbox.Receipt{}, next[0]
	}
	p.got[o.Dest] = append(p.got[o.Dest], o.Payload)
	p.left <- struct{}{}
	return outbox.Receipt{}, nil
}

func (p *provider) await(t *testing.T, n int) {
	t.Helper()
	for i := range n {
		select {
		case <-p.left:
		case <-time.After(20 * time.Second):
			t.Fatalf("only %d of %d left", i, n)
		}
	}
}

func open(t *testing.T) caselog.Store {
	t.Helper()
	s, err := sqlstore.Open(t.Context(), filepath.Join(t.TempDir(), "cases.db"))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s
}

func queue(t *testing.T, s caselog.Store, rows ...caselog.Outgoing) {
	t.Helper()
	require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) error { return x.Enqueue(rows...) }))
}

// start runs a worker and returns what stops it.
func start(t *testing.T, w *outbox.Worker) (stop func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- w.Run(ctx) }()
	return sync.OnceFunc(func() {
		cancel()
		require.NoError(t, <-ended)
	})
}

func rows(dest string, n int) (all []caselog.Outgoing, want []string) {
	for i := range n {
		all = append(all, caselog.Outgoing{Dest: dest, Payload: fmt.Sprint(dest, "/", i)})
		want = append(want, fmt.Sprint(dest, "/", i))
	}
	return all, want
}

func TestLeavesInOrderPerDestinationThroughAnOutage(t *testing.T) {
	s, p := open(t), newProvider()
	down := errors.New("503")
	p.script["a/0"] = []error{down, &outbox.Delayed{After: 50 * time.Millisecond, Err: errors.New("429")}, down}
	p.script["a/3"] = []error{down}
	a, wantA := rows("a", 6)
	b, wantB := rows("b", 6)
	queue(t, s, append(a, b...)...)
	stop := start(t, &outbox.Worker{Queue: s, Sender: p, Owner: "w"})
	defer stop()
	p.await(t, 12)
	stop()
	assert.Equal(t, map[string][]string{"a": wantA, "b": wantB}, p.got)
	assert.Equal(t, 12, onlySent(t, s))
}

// onlySent counts the rows that were sent, and finds that there are no others.
func onlySent(t *testing.T, s caselog.Store) int {
	t.Helper()
	counts, err := s.Counts(t.Context())
	require.NoError(t, err)
	assert.Empty(t, counts)
	var sent []caselog.Outgoing
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		sent, err = x.Outgoing(caselog.Sent)
		return err
	}))
	return len(sent)
}

func TestAPermanentNoIsVisibleAndTheNextGoesOn(t *testing.T) {
	s, p := open(t), newProvider()
	p.script["a/0"] = []error{&outbox.Permanent{Err: errors.New("landline")}}
	a, _ := rows("a", 2)
	queue(t, s, a...)
	stop := start(t, &outbox.Worker{Queue: s, Sender: p, Owner: "w", OnDead: func(x caselog.Tx, o caselog.Outgoing, err error) error {
		return x.Enqueue(caselog.Outgoing{Dest: "team", Payload: o.Payload + ": " + err.Error()})
	}})
	defer stop()
	p.await(t, 2)
	stop()
	assert.Equal(t, map[string][]string{"a": {"a/1"}, "team": {"a/0: landline"}}, p.got)
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		dead, err := x.Outgoing(caselog.Dead)
		require.Len(t, dead, 1)
		assert.Equal(t, "landline", dead[0].Err)
		return err
	}))
}

func TestGivenUpAfterItsTime(t *testing.T) {
	s, p := open(t), newProvider()
	for range 100 {
		p.script["a/0"] = append(p.script["a/0"], errors.New("503"))
	}
	a, _ := rows("a", 2)
	queue(t, s, a...)
	stop := start(t, &outbox.Worker{Queue: s, Sender: p, Owner: "w", GiveUp: 300 * time.Millisecond, Poll: 20 * time.Millisecond})
	defer stop()
	p.await(t, 1)
	stop()
	assert.Equal(t, []string{"a/1"}, p.got["a"])
}

// A lease that ran out is taken by the next worker, and the late one changes nothing.
func TestALateWorkerChangesNothing(t *testing.T) {
	s := open(t)
	a, _ := rows("a", 1)
	queue(t, s, a...)
	now := time.Now()
	lease := func(owner string, at time.Time) []caselog.Outgoing {
		got, err := s.Lease(t.Context(), owner, at, at.Add(time.Second), 5)
		require.NoError(t, err)
		return got
	}
	require.Len(t, lease("slow", now), 1)
	require.Empty(t, lease("quick", now.Add(500*time.Millisecond)))
	again := lease("quick", now.Add(2*time.Second))
	require.Len(t, again, 1)
	assert.Equal(t, 2, again[0].Attempt)
	require.NoError(t, s.GiveUp(t.Context(), "slow", again[0].ID, "late", func(caselog.Tx) error {
		t.Error("a late worker did something")
		return nil
	}))
	require.NoError(t, s.Done(t.Context(), "quick", again[0].ID, nil))
	assert.Equal(t, 1, onlySent(t, s))
}

func TestPaceReleaseAndIdem(t *testing.T) {
	s := open(t)
	now := time.Now()
	one := caselog.Outgoing{Dest: "a", Payload: "x", Idem: "same"}
	queue(t, s, one, one, caselog.Outgoing{Dest: "a", Payload: "y"})
	got, err := s.Lease(t.Context(), "w", now, now.Add(time.Second), 5)
	require.NoError(t, err)
	require.Len(t, got, 1, "one row in flight a destination")
	require.NoError(t, s.Release(t.Context(), "w"))
	got, err = s.Lease(t.Context(), "w", now, now.Add(time.Second), 5)
	require.NoError(t, err)
	require.Len(t, got, 1)
	assert.Equal(t, 1, got[0].Attempt, "a lease given back is no try")
	require.NoError(t, s.Done(t.Context(), "w", got[0].ID, nil))
	require.NoError(t, s.Pace(t.Context(), "a", now.Add(time.Minute)))
	got, err = s.Lease(t.Context(), "w", now.Add(59*time.Second), now.Add(time.Hour), 5)
	require.NoError(t, err)
	require.Empty(t, got)
	got, err = s.Lease(t.Context(), "w", now.Add(time.Minute), now.Add(time.Hour), 5)
	require.NoError(t, err)
	require.Len(t, got, 1)
	assert.Equal(t, "y", got[0].Payload)
}

// source: parts.md, at most 5 s apart in the first five minutes, then growing.
func TestBackoffStaysShortAtFirst(t *testing.T) {
	for attempt := range 200 {
		assert.LessOrEqual(t, outbox.Backoff(attempt, time.Minute), 5*time.Second)
		assert.GreaterOrEqual(t, outbox.Backoff(attempt, time.Minute), 125*time.Millisecond)
		assert.LessOrEqual(t, outbox.Backoff(attempt, 6*time.Minute), time.Minute)
	}
	assert.GreaterOrEqual(t, outbox.Backoff(50, 6*time.Minute), 30*time.Second)
}
