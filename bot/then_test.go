package bot_test

import (
	"errors"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/talk"
)

// A panic takes one message's transaction back and nothing else: the store goes on,
// and the message can come again.
func TestAPanicTakesItsTransactionBack(t *testing.T) {
	store, err := sqlstore.Open(t.Context(), filepath.Join(t.TempDir(), "cases.db"))
	require.NoError(t, err)
	defer func() { require.NoError(t, store.Close()) }()
	b := &bot.Bot{Store: store, Helper: func() *talk.Helper { panic("a bug") }}
	in := caselog.Inbound{Source: "sms", ID: "SM1", Person: "Ines", Text: "suct 28", At: time.Unix(1, 0)}
	for range 2 {
		_, err = b.HandleThen(t.Context(), in, func(caselog.Tx, string) error { return errors.New("not reached") })
		assert.ErrorContains(t, err, "a bug")
	}
	seen, err := store.Receive(t.Context(), in, func(caselog.Tx) error { return nil })
	require.NoError(t, err)
	assert.False(t, seen, "nothing of it was kept")
}
