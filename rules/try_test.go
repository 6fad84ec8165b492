package rules

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"iter"
	"runtime"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"coldcase/calc/derive"
)

// sameCase is a log of n times one case, closed with a cause.
func sameCase(n int, cause string, at func(i int)) iter.Seq2[Logged, error] {
	return func(yield func(Logged, error) bool) {
		for i := range n {
			at(i)
			l := Logged{Case: fmt.Sprint(i), Confirmed: cause, Record: func() (derive.Record, error) { return fullCase(), nil }}
			if !yield(l, nil) {
				return
			}
		}
	}
}

func trial(t *testing.T, w io.Writer, log iter.Seq2[Logged, error]) (Trial, error) {
	t.Helper()
	before, err := BuiltIn()
	require.NoError(t, err)
	after, err := WithExtra(fstest.MapFS{"ours.yaml": {Data: []byte(strings.ReplaceAll(floor, "why: w,", "why: w, supports: {floodback_running: some},"))}})
	require.NoError(t, err)
	return Try(w, before, after, after.RuleIDs("ours.yaml"), log)
}

// TestTryKeepsTheOrder: the lines come in the order of the log, and every case is
// counted, whatever is judged first.
func TestTryKeepsTheOrder(t *testing.T) {
	var out bytes.Buffer
	got, err := trial(t, &out, sameCase(5*batchSize+7, "floodback_running", func(int) {}))
	require.NoError(t, err)
	require.Equal(t, 5*batchSize+7, got.Cases)
	require.Equal(t, got.Cases, got.Changed)
	require.Equal(t, got.Cases, got.Fired["our-floor"].Hits)
	require.Zero(t, got.Fired["our-floor"].FalseAlarms)
	for i, line := range strings.Split(strings.TrimSpace(out.String()), "\n") {
		require.True(t, strings.HasPrefix(line, fmt.Sprintf("case %d: ", i)), line)
		require.Contains(t, line, "+ our-floor (watch)")
	}
}

// TestTryOfARuleThatBlamesNothing: it is wrong only on a machine that was sound.
func TestTryOfARuleThatBlamesNothing(t *testing.T) {
	before, err := BuiltIn()
	require.NoError(t, err)
	after, err := WithExtra(fstest.MapFS{"ours.yaml": {Data: []byte(floor)}})
	require.NoError(t, err)
	for cause, want := range map[string]Firing{"floodback_running": {Fires: 3}, "none_healthy": {Fires: 3, FalseAlarms: 3}} {
		got, err := Try(io.Discard, before, after, after.RuleIDs("ours.yaml"), sameCase(3, cause, func(int) {}))
		require.NoError(t, err)
		require.Equal(t, want, *got.Fired["our-floor"], cause)
	}
}

// TestTryStopsOnTrouble: a log that can't be read, a case that can't, and a reader
// that is gone end it with their reason.
func TestTryStopsOnTrouble(t *testing.T) {
	broken := errors.New("torn page")
	_, err := trial(t, io.Discard, func(yield func(Logged, error) bool) { yield(Logged{}, broken) })
	require.ErrorIs(t, err, broken)
	_, err = trial(t, io.Discard, func(yield func(Logged, error) bool) {
		yield(Logged{Case: "7-1", Record: func() (derive.Record, error) { return derive.Record{}, broken }}, nil)
	})
	require.ErrorIs(t, err, broken)
	require.ErrorContains(t, err, "7-1")
	r, w := io.Pipe()
	require.NoError(t, r.Close())
	_, err = trial(t, w, sameCase(50*batchSize, "", func(int) {}))
	require.ErrorIs(t, err, io.ErrClosedPipe)
}

// TestTryHoldsLittle: what is held at the end of a log does not depend on its length.
func TestTryHoldsLittle(t *testing.T) {
	if testing.Short() {
		t.Skip("seconds")
	}
	held := func(n int) (most uint64) {
		_, err := trial(t, io.Discard, sameCase(n, "", func(i int) {
			if i == n-1 {
				var m runtime.MemStats
				runtime.GC()
				runtime.ReadMemStats(&m)
				most = m.HeapAlloc
			}
		}))
		require.NoError(t, err)
		return most
	}
	short, long := held(20*batchSize), held(100*batchSize)
	require.InDelta(t, float64(short), float64(long), 8<<20, "bytes held")
}
