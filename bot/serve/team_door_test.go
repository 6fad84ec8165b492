package serve_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/rehearse/workspace"
)

// direct is an event: a person writes to us directly.
func direct(ts, text string) []byte {
	b, _ := json.Marshal(map[string]any{
		"type": "event_callback", "team_id": "T0", "event_id": "Ev" + ts, "event": map[string]any{
			"type": "message", "channel": workspace.Direct(tomas), "channel_type": "im", "user": tomas, "text": text, "ts": ts, "event_ts": ts,
		},
	})
	return b
}

func (o *office) cases() (n int) {
	_ = o.store.View(o.t.Context(), func(tx caselog.Tx) error {
		for range tx.Find(caselog.Filter{}) {
			n++
		}
		return nil
	})
	return n
}

func TestForgedOldAndReplayedEventsChangeNothing(t *testing.T) {
	o := newOffice(t, false)
	now := time.Now()
	ts := func(n int) string { return fmt.Sprintf("%d.%06d", now.Unix(), n) }
	text := "448a suct 28 line 30"
	for _, c := range []struct {
		name   string
		at     time.Time
		secret string
		status int
	}{
		{"another secret", now, "guessed", http.StatusForbidden},
		{"no secret", now, "", http.StatusForbidden},
		{"six minutes old", now.Add(-6 * time.Minute), o.room.Secret, http.StatusForbidden},
		{"six minutes ahead", now.Add(6 * time.Minute), o.room.Secret, http.StatusForbidden},
	} {
		for _, path := range []string{"/slack/events", "/slack/commands", "/slack/actions"} {
			kind := "application/x-www-form-urlencoded"
			if path == "/slack/events" {
				kind = "application/json"
			}
			status, _, err := o.room.Request(t.Context(), path, kind, direct(ts(1), text), c.at, c.secret, 0)
			require.NoError(t, err)
			assert.Equal(t, c.status, status, "%s: %s", path, c.name)
		}
	}
	o.drained()
	require.Zero(t, o.cases())

	for try := range 3 { // a captured request, sent again
		status, _, err := o.room.Request(t.Context(), "/slack/events", "application/json", direct(ts(1), text), now, o.room.Secret, try)
		require.NoError(t, err)
		assert.Equal(t, http.StatusOK, status)
	}
	o.drained()
	assert.Equal(t, 1, o.cases())
	said := 0
	for _, p := range o.room.All() {
		if p.Channel == workspace.Direct(tomas) && p.Bot {
			said++
		}
	}
	assert.Equal(t, 1, said, "answered once")
}

// A body that was changed after signing, headers twice, a wrong type, too much.
func TestEventsThatAreNotAsSigned(t *testing.T) {
	o := newOffice(t, false)
	stamp := fmt.Sprint(time.Now().Unix())
	body := string(direct(stamp+".000001", "448a suct 28 line 30"))
	sign := workspace.Sign(o.room.Secret, stamp, []byte(body))
	send := func(body string, change func(http.Header)) int {
		q, err := http.NewRequestWithContext(t.Context(), http.MethodPost, o.room.Target+"/slack/events", strings.NewReader(body))
		require.NoError(t, err)
		q.Header.Set("Content-Type", "application/json")
		q.Header.Set("X-Slack-Request-Timestamp", stamp)
		q.Header.Set("X-Slack-Signature", sign)
		change(q.Header)
		r, err := http.DefaultClient.Do(q)
		require.NoError(t, err)
		require.NoError(t, r.Body.Close())
		return r.StatusCode
	}
	none := func(http.Header) {}
	assert.Equal(t, http.StatusForbidden, send(strings.Replace(body, "suct 28", "suct 82", 1), none))
	assert.Equal(t, http.StatusForbidden, send(body, func(h http.Header) { h.Del("X-Slack-Signature") }))
	assert.Equal(t, http.StatusForbidden, send(body, func(h http.Header) { h.Add("X-Slack-Signature", sign) }))
	assert.Equal(t, http.StatusForbidden, send(body, func(h http.Header) { h.Add("X-Slack-Request-Timestamp", stamp) }))
	assert.Equal(t, http.StatusForbidden, send(body, func(h http.Header) { h.Set("X-Slack-Signature", "v0=00") }))
	assert.Equal(t, http.StatusUnsupportedMediaType, send(body, func(h http.Header) { h.Set("Content-Type", "text/plain") }))
	assert.Equal(t, http.StatusRequestEntityTooLarge, send(strings.Repeat(" ", 2<<20), none))
	assert.Zero(t, o.cases())
	assert.Equal(t, http.StatusOK, send(body, none))
	o.drained()
	assert.Equal(t, 1, o.cases())
}

func TestTheProviderChecksTheAddress(t *testing.T) {
	o := newOffice(t, false)
	status, said, err := o.room.Request(t.Context(), "/slack/events", "application/json", []byte(`{"type":"url_verification","challenge":"c-1"}`), time.Now(), o.room.Secret, 0)
	require.NoError(t, err)
	assert.Equal(t, http.StatusOK, status)
	assert.JSONEq(t, `{"challenge":"c-1"}`, said)
	status, _, err = o.room.Request(t.Context(), "/slack/events", "application/json", []byte(`{"type":"event_callback","event":{"type":"never_heard_of"}}`), time.Now(), o.room.Secret, 0)
	require.NoError(t, err)
	assert.Equal(t, http.StatusOK, status, "an event of an unknown kind does not come again")
}

// Without a signing secret there are no addresses to call: an empty one would let
// anybody sign.
func TestSocketModeHasNoAddresses(t *testing.T) {
	o := newOffice(t, true)
	r, err := http.Post("http://"+o.server.Addr()+"/slack/events", "application/json", strings.NewReader("{}"))
	require.NoError(t, err)
	require.NoError(t, r.Body.Close())
	assert.Equal(t, http.StatusNotFound, r.StatusCode)
}

func TestWhoIsNotOnTheCrewListIsRefusedOnceADay(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		o.say("U0STRANGER", workspace.Direct("U0STRANGER"), "", "448a suct 28 line 30")
		o.say("U0STRANGER", workspace.Direct("U0STRANGER"), "", "liq line 90")
		o.text(inesPhone, "Juniper Street Creamery, 448a suct 28 line 30")
		card := o.root("Juniper")
		o.say("U0STRANGER", teamChannel, card.TS, "let me in")
		require.NoError(t, o.room.Slash("U0STRANGER", teamChannel, "?"))
		o.drained()
		assert.Equal(t, 1, o.cases())
		var said []string
		for _, p := range o.room.All() {
			if p.Bot && (p.Only == "U0STRANGER" || p.Channel == workspace.Direct("U0STRANGER")) {
				said = append(said, words(p))
			}
		}
		require.Len(t, said, 1)
		assert.Contains(t, said[0], "not on the crew list")
		assert.Len(t, o.heard(inesPhone), 1, "nothing was passed on")
		require.NoError(t, o.store.View(t.Context(), func(tx caselog.Tx) error {
			rows, err := tx.Outgoing(caselog.Sent)
			for _, r := range rows {
				assert.NotContains(t, r.Payload, "let me in", "a stranger's words are not kept")
				assert.NotContains(t, r.Payload, "liq line 90")
			}
			return err
		}))
	})
}

// The app's own posts come back as events, and other apps post, too.
func TestBotsAreNeverAnswered(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		o.text(inesPhone, "Juniper Street Creamery, 448a suct 28 line 30")
		card := o.root("Juniper")
		before := len(o.room.All())
		for i, who := range []map[string]any{
			{"user": workspace.BotUser, "bot_id": "B0COLDCASE"},
			{"user": workspace.BotUser},
			{"user": "U0OTHER", "bot_id": "B0OTHER"},
			{"bot_id": "B0OTHER", "subtype": "bot_message"},
			{"user": marit, "subtype": "channel_join"},
			{"user": marit, "subtype": "channel_topic"},
		} {
			e := map[string]any{"type": "message", "channel": teamChannel, "channel_type": "channel", "thread_ts": card.TS, "ts": fmt.Sprintf("%d.00000%d", time.Now().Unix(), i), "text": "suct 12 line 2 <@" + workspace.BotUser + ">"}
			for k, v := range who {
				e[k] = v
			}
			require.NoError(t, o.room.Bring("events_api", map[string]any{"type": "event_callback", "event_id": fmt.Sprint("Ev", i), "event": e}))
		}
		o.drained()
		assert.Len(t, o.room.All(), before)
	})
}

// What people say among themselves is neither answered nor kept.
func TestTheChannelsOwnTalkIsLeftAlone(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		o.say(tomas, teamChannel, "", "anyone has the van keys, suct 28 psig line 30")
		p := o.say(tomas, teamChannel, "", "<@U0MARIT> 448a suct 28 line 30")
		o.say(marit, teamChannel, p.TS, "yes")
		assert.Zero(t, o.cases())
		assert.Len(t, o.room.All(), 3)
		require.NoError(t, o.store.View(t.Context(), func(tx caselog.Tx) error {
			rows, err := tx.Outgoing(caselog.Sent)
			for _, r := range rows {
				assert.NotContains(t, r.Payload, "van keys")
			}
			return err
		}))
	})
}

// One mention comes as two events with ids of their own.
func TestAMentionIsAnsweredOnceWhereItStands(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		p := o.say(tomas, teamChannel, "", "<@"+workspace.BotUser+"> Quarry Road Market, 404a suct 20 line -11 head 305")
		assert.Equal(t, 1, o.cases())
		under := o.thread(p)
		require.Len(t, under, 1)
		assert.Contains(t, under[0], "New case 1-3")
		card := o.root("Quarry Road Market")
		assert.Contains(t, o.thread(card)[0], "404a suct 20")
		o.say(tomas, teamChannel, p.TS, "nobody hears this")
		assert.Len(t, o.room.Thread(p.TS), 3)
		o.say(tomas, teamChannel, p.TS, "<@"+workspace.BotUser+"> liq 100")
		assert.Len(t, o.room.Thread(p.TS), 5)
	})
}

func TestTheSlashCommandAnswersItsCallerAlone(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		require.NoError(t, o.room.Slash(marit, teamChannel, "?"))
		o.drained()
		all := o.room.All()
		require.Len(t, all, 1)
		assert.Equal(t, marit, all[0].Only)
		assert.Contains(t, words(all[0]), "case N: go to that case")
		require.NoError(t, o.room.Slash(marit, "C0ELSEWHERE", "448a suct 28 line 30"))
		o.drained()
		found := false
		for _, p := range o.room.All() {
			found = found || p.Channel == workspace.Direct(marit) && strings.Contains(words(p), "New case")
		}
		assert.True(t, found, "where the app is not in the channel, directly")
	})
}

func TestASlashCommandIsAnsweredAtOnce(t *testing.T) {
	o := newOffice(t, false)
	form := url.Values{"trigger_id": {"1.2"}, "user_id": {marit}, "channel_id": {teamChannel}, "text": {"?"}}.Encode()
	status, said, err := o.room.Request(t.Context(), "/slack/commands", "application/x-www-form-urlencoded", []byte(form), time.Now(), o.room.Secret, 0)
	require.NoError(t, err)
	assert.Equal(t, http.StatusOK, status)
	assert.JSONEq(t, `{"response_type":"ephemeral","text":"On it."}`, said)
}
