package inbox_test

import (
	"context"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/inbox"
)

func TestCatchesUpFromTheLastTimeThatWentWell(t *testing.T) {
	s, err := sqlstore.Open(t.Context(), filepath.Join(t.TempDir(), "cases.db"))
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	now := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	var asked []time.Time
	var down error
	logged, handed := 0, 0
	c := inbox.CatchUp{
		Store: s, Source: "sms", Clock: func() time.Time { return now },
		List: func(_ context.Context, since time.Time) ([]caselog.Inbound, error) {
			asked = append(asked, since)
			return []caselog.Inbound{{Source: "sms", ID: "SM1", At: now}}, down
		},
		Handle: func(ctx context.Context, in caselog.Inbound) error {
			handed++
			_, err := s.Receive(ctx, in, func(caselog.Tx) error { logged++; return nil })
			return err
		},
	}
	require.NoError(t, c.Once(t.Context()))
	first := now
	down, now = errors.New("503"), now.Add(3*time.Hour)
	require.Error(t, c.Once(t.Context()))
	down, now = nil, now.Add(time.Hour)
	require.NoError(t, c.Once(t.Context()))
	assert.Equal(t, []time.Time{first.Add(-24 * time.Hour), first.Add(-time.Hour), first.Add(-time.Hour)}, asked)
	assert.Equal(t, 1, logged, "the inbox knows it")
	assert.Equal(t, 1, handed, "what is known is not handed on again")
}
