package main

import (
	"net/http"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
)

// TestAFullDiskAcknowledgesNothing takes the disk away from a running `coldcase serve`
// by the system's limit on the size of files: no text and no event is acknowledged. Once
// there is room again, what comes again is on its case once.
func TestAFullDiskAcknowledgesNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and starts the program")
	}
	db := filepath.Join(t.TempDir(), "cases.db")
	k := newKilledTeam(t, build(t), db, 1, false)
	phone, server := k.line.provider, k.line.replicas[0]
	text := func(words string) (id string, again func() int) {
		m := phone.Keep(phoneNumber(0), words)
		return m.SID, func() int {
			status, err := phone.Call(t.Context(), "/sms/inbound", phone.Form(m))
			require.NoError(t, err)
			return status
		}
	}
	_, first := text("R448A suct 28 line 8")
	require.Equal(t, http.StatusOK, first())

	room := func(most uint64) {
		require.NoError(t, unix.Prlimit(server.cmd.Process.Pid, unix.RLIMIT_FSIZE, &unix.Rlimit{Cur: most, Max: unix.RLIM_INFINITY}, nil))
	}
	room(0)
	sid, second := text("head 240")
	require.Equal(t, http.StatusServiceUnavailable, second())
	post := k.room.Keep(mateID(0), "D0MATE00", "", "R134a suct 18 line 38")
	require.Error(t, k.room.Tell(post))

	room(unix.RLIM_INFINITY)
	for range 2 {
		require.Equal(t, http.StatusOK, second())
		require.NoError(t, k.room.Tell(post))
	}
	s, err := sqlstore.Open(t.Context(), db)
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	allSent(t, s)
	server.stop(t)
	times := map[string]int{}
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		for c, err := range x.Find(caselog.Filter{}) {
			require.NoError(t, err)
			entries, err := x.Entries(c.Number)
			require.NoError(t, err)
			for _, e := range entries {
				if e.Kind == caselog.KindMessage {
					times[e.ProviderID]++
				}
			}
		}
		return nil
	}))
	require.Equal(t, 1, times[sid])
	require.Equal(t, 1, times[keyOf(post)])
	require.Len(t, times, 3)
}
