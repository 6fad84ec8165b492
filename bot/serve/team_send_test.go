package serve_test

import (
	"fmt"
	"io"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/rehearse/workspace"
)

// assertOnce: every post of ours carries a mark of its own.
func (o *office) assertOnce() {
	o.t.Helper()
	seen := map[string]int{}
	for _, p := range o.room.All() {
		if p.Metadata != nil && p.Only == "" {
			seen[string(p.Metadata)]++
		}
		for _, f := range p.Files {
			seen[f.Name]++
		}
	}
	for mark, n := range seen {
		assert.Equal(o.t, 1, n, mark)
	}
}

// The provider did what was asked and its answer was lost: the next try finds the
// post by its mark.
func TestALostAnswerDoublesNothing(t *testing.T) {
	slow(t)
	bothWays(t, func(t *testing.T, o *office) {
		var lost sync.Map
		o.room.Hook(workspace.Hooks{After: func(method string) bool {
			if method != "chat.postMessage" && method != "files.completeUploadExternal" {
				return false
			}
			n, _ := lost.LoadOrStore(method, new(atomic.Int32))
			return n.(*atomic.Int32).Add(1)%2 == 1
		}})
		o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8", jpeg)
		card := o.root("Harbor Lane Fish")
		assert.Len(t, o.thread(card), 3)
		o.assertOnce()
	})
}

// A kill between the provider's yes and our own record of it: the row is leased
// again by the next process.
func TestAStopWhileSendingDoublesNothing(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		posted := make(chan struct{})
		var once sync.Once
		o.room.Hook(workspace.Hooks{After: func(method string) bool {
			if method == "chat.postMessage" {
				once.Do(func() { close(posted) })
				return true
			}
			return false
		}})
		_, err := o.phone.Text(t.Context(), inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8")
		require.NoError(t, err)
		<-posted
		o.stop()
		o.room.Hook(workspace.Hooks{})
		o.start()
		o.drained()
		assert.Len(t, o.thread(o.root("Harbor Lane Fish")), 2)
		o.assertOnce()
	})
}

func TestRetryAfterIsHonoured(t *testing.T) {
	slow(t)
	o := newOffice(t, true)
	var first atomic.Int64
	var early atomic.Int32
	o.room.Hook(workspace.Hooks{Trouble: func(method string) (int, string, string) {
		if method != "chat.postMessage" {
			return 0, "", ""
		}
		now := time.Now().UnixMilli()
		if first.CompareAndSwap(0, now) {
			return http.StatusTooManyRequests, "", "2"
		}
		if now-first.Load() < 2000 {
			early.Add(1)
		}
		return 0, "", ""
	}})
	o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8")
	assert.Zero(t, early.Load(), "nothing is posted before the two seconds are over")
	assert.Len(t, o.thread(o.root("Harbor Lane Fish")), 2)
}

// Not invited, a lost token, an outage: nothing is given up, /readyz tells.
func TestKeptOutOfTheChannelNothingIsLost(t *testing.T) {
	o := newOffice(t, true)
	var word atomic.Value
	word.Store("not_in_channel")
	o.room.Hook(workspace.Hooks{Trouble: func(method string) (int, string, string) {
		if w := word.Load().(string); strings.HasPrefix(method, "chat.") {
			return 0, w, ""
		}
		return 0, "", ""
	}})
	_, err := o.phone.Text(t.Context(), inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8")
	require.NoError(t, err)
	require.Eventually(t, func() bool {
		r, err := http.Get("http://" + o.server.Addr() + "/readyz")
		if err != nil {
			return false
		}
		b, _ := io.ReadAll(r.Body)
		_ = r.Body.Close()
		return strings.Contains(string(b), "team chat: the app is not in the team's channel: invite it")
	}, checkWithin, checkEvery)
	require.NoError(t, o.store.View(t.Context(), func(tx caselog.Tx) error {
		dead, err := tx.Outgoing(caselog.Dead)
		assert.Empty(t, dead)
		return err
	}))
}

func TestManyEntriesMakeFewUpdatesOfTheCard(t *testing.T) {
	o := newOffice(t, true)
	var updates, posts atomic.Int32
	hold := make(chan struct{})
	o.room.Hook(workspace.Hooks{Seen: func(method string, _ map[string]string) {
		switch method {
		case "chat.update":
			updates.Add(1)
		case "chat.postMessage":
			posts.Add(1)
			<-hold
		}
	}})
	for i := range 8 {
		_, err := o.phone.Text(t.Context(), inesPhone, fmt.Sprintf("448a suct 28 line %d", 8+i))
		require.NoError(t, err)
	}
	close(hold)
	o.drained()
	assert.LessOrEqual(t, updates.Load(), int32(1), "all that waits is said by one update")
	assert.Equal(t, int32(1+16), posts.Load())
}

func TestWhatWasMissedWhileAwayIsCaughtUpInTheTeamChat(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8")
		card := o.root("Harbor Lane Fish")
		o.say(tomas, workspace.Direct(tomas), "", "Juniper Street Creamery, 404a suct 20 line 30")
		o.stop()
		o.room.Keep(tomas, teamChannel, card.TS, "coil out 2")
		o.room.Keep(tomas, workspace.Direct(tomas), "", "liq line 90")
		o.room.Keep(marit, teamChannel, "", "<@"+workspace.BotUser+"> Quarry Road Market, 134a suct 18 line 38")
		o.room.Keep(marit, teamChannel, "", "who takes the van")
		o.start()
		require.Eventually(t, func() bool { return o.cases() == 3 }, checkWithin, checkEvery)
		require.Eventually(t, func() bool { return len(o.thread(card)) == 4 }, checkWithin, checkEvery)
		o.drained()
		assert.Contains(t, strings.Join(o.thread(card), "\n"), "coil outlet 2 °F")
		assert.Contains(t, strings.Join(o.thread(o.root("Juniper")), "\n"), "liquid line 90 °F")
		n := len(o.room.All())
		for _, p := range o.room.All() {
			if !p.Bot {
				require.NoError(t, o.room.Tell(p), "the provider brings them late")
			}
		}
		o.drained()
		assert.Len(t, o.room.All(), n)
		o.assertOnce()
	})
}

// Sockets that break, are asked to connect anew and lose acknowledgements, with
// restarts in between: nothing is lost and nothing doubled.
func TestSocketsBreakAndNothingIsLost(t *testing.T) {
	slow(t)
	o := newOffice(t, true)
	o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8")
	card := o.root("Harbor Lane Fish")
	const rounds = 12
	for i := range rounds {
		switch i % 4 {
		case 0:
			o.room.Drop()
		case 1:
			o.room.LoseAcks(2)
		case 2:
			o.room.Refresh()
		case 3:
			o.restart()
		}
		_, err := o.room.Say(tomas, teamChannel, card.TS, fmt.Sprintf("note number %d from the van", i))
		require.NoError(t, err)
	}
	o.drained()
	var passed []string
	for _, text := range o.heard(inesPhone) {
		if strings.Contains(text, "note number") {
			passed = append(passed, text)
		}
	}
	require.Len(t, passed, rounds)
	for i, text := range passed {
		assert.Equal(t, fmt.Sprintf("Tomas: note number %d from the van", i), text)
	}
	o.assertOnce()
}

// A button is pressed on a card whose thread is not on record yet, since we were
// stopped in between: the press waits for it.
func TestAPressOnACardThatIsNotOnRecordWaits(t *testing.T) {
	bothWays(t, func(t *testing.T, o *office) {
		posted := make(chan struct{})
		var once sync.Once
		o.room.Hook(workspace.Hooks{After: func(method string) bool {
			if method == "chat.postMessage" {
				once.Do(func() { close(posted) })
				return true // its answer is lost
			}
			return false
		}})
		_, err := o.phone.Text(t.Context(), inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8")
		require.NoError(t, err)
		<-posted
		card := o.root("Harbor Lane Fish")
		require.NoError(t, o.room.Press(marit, card, "take", buttonValue(t, card, "take"), false))
		o.room.Hook(workspace.Hooks{})
		o.drained()
		assert.Contains(t, strings.Join(o.thread(o.root("Harbor Lane Fish")), "\n"), "Marit has taken case 1-3")
		o.assertOnce()
	})
}
