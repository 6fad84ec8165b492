package serve_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog/pgtest"
)

// While the database is out of reach nothing is acknowledged, neither a text nor an
// event; what comes again when it is back is on its case once.
func TestNothingIsAcknowledgedWhileTheDatabaseIsAway(t *testing.T) {
	at := pgtest.URL(t)
	o := newOfficeOn(t, false, at)
	o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8")
	card := o.root("Harbor Lane Fish")
	back := pgtest.Away(t, at)
	defer back()
	text := o.phone.Keep(inesPhone, "head 240")
	status, err := o.phone.Call(t.Context(), "/sms/inbound", o.phone.Form(text))
	require.NoError(t, err)
	assert.Equal(t, http.StatusServiceUnavailable, status)
	post := o.room.Keep(tomas, teamChannel, card.TS, "coil out 2")
	require.Error(t, o.room.Tell(post))
	require.Error(t, o.room.Press(marit, card, "take", "1-3", false))
	require.Error(t, o.room.Slash(marit, teamChannel, "?"))
	r, err := http.Get("http://" + o.server.Addr() + "/readyz")
	require.NoError(t, err)
	require.NoError(t, r.Body.Close())
	assert.Equal(t, http.StatusServiceUnavailable, r.StatusCode)

	back()
	for range 2 {
		status, err = o.phone.Call(t.Context(), "/sms/inbound", o.phone.Form(text))
		require.NoError(t, err)
		assert.Equal(t, http.StatusOK, status)
		require.NoError(t, o.room.Tell(post))
	}
	o.drained()
	ids := map[string]int{}
	for _, e := range o.entries(1) {
		ids[e.ProviderID]++
		assert.NotContains(t, e.Text, "Our end broke")
		assert.NotContains(t, e.Text, "has taken", "it was not acknowledged and was not pressed again")
	}
	assert.Equal(t, 1, ids[text.SID])
	assert.Equal(t, 1, ids[post.Channel+"/"+post.TS])
	o.assertOnce()
}
