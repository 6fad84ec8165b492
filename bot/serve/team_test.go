package serve_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/caselog/pgtest"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/casepage"
	"coldcase/bot/crew"
	"coldcase/bot/rehearse"
	"coldcase/bot/rehearse/workspace"
	"coldcase/bot/reply"
	"coldcase/bot/rulebook"
	"coldcase/bot/serve"
	"coldcase/bot/sms"
	"coldcase/bot/talk"
	"coldcase/bot/team"
	"coldcase/rules"
)

const (
	ines, marit, tomas = "U0INES", "U0MARIT", "U0TOMAS"
	inesPhone          = "+15550100"
	officeCrew         = `time_zone: America/New_York
people:
  - {name: Ines, phone: "+15550100", chat: U0INES, role: tech}
  - {name: Marit, phone: "+15550101", chat: U0MARIT, role: lead}
  - {name: Tomas, chat: U0TOMAS, role: tech}
`
	teamChannel = "C0TEAM"
)

// office is a whole shop: server, casebook, and stand-ins of both providers, which
// outlive a restart of the server.
type office struct {
	t        *testing.T
	dir      string
	db       string // of the casebook
	sockets  bool
	phone    *rehearse.Provider
	room     *workspace.Workspace
	phoneAPI string
	roomAPI  string
	pictures func() *casepage.Pages // that its cases have; nil: none are drawn

	server *serve.Server
	bot    *bot.Bot
	store  caselog.Store
	stop   func()
}

// newOffice opens it, with Socket Mode or with signed HTTP events.
func newOffice(t *testing.T, sockets bool) *office {
	t.Helper()
	return newOfficeOn(t, sockets, filepath.Join(t.TempDir(), "cases.db"))
}

// newOfficeOn opens it on a casebook.
func newOfficeOn(t *testing.T, sockets bool, db string) *office {
	t.Helper()
	o := &office{t: t, dir: t.TempDir(), db: db, sockets: sockets}
	o.phone = &rehearse.Provider{SID: "AC" + strings.Repeat("0", 32), Token: "rehearsal", Number: "+15559999999", PublicURL: "https://coldcase.example.org", Now: time.Now, Quiet: true}
	o.room = &workspace.Workspace{BotToken: "xoxb-rehearsal", AppToken: "xapp-rehearsal", Secret: "signing secret", Channel: teamChannel, Now: time.Now}
	o.phoneAPI, o.roomAPI = o.serve(o.phone.Routes), o.serve(o.room.Routes)
	require.NoError(t, os.WriteFile(filepath.Join(o.dir, "crew.yaml"), []byte(officeCrew), 0o600))
	o.start()
	t.Cleanup(func() { o.stop() })
	return o
}

func (o *office) serve(routes func(*http.ServeMux)) string {
	mux := http.NewServeMux()
	routes(mux)
	s := httptest.NewUnstartedServer(mux)
	s.Config.ErrorLog = slog.NewLogLogger(slog.DiscardHandler, slog.LevelError) // lost answers panic by intent
	s.Start()
	o.t.Cleanup(func() { s.CloseClientConnections(); s.Close() })
	return s.URL
}

func (o *office) account() team.Account {
	a := team.Account{BotToken: o.room.BotToken, Channel: teamChannel, API: o.roomAPI}
	if o.sockets {
		a.AppToken = o.room.AppToken
	} else {
		a.SigningSecret = o.room.Secret
	}
	return a
}

// start runs the server on what is in the folder.
func (o *office) start() {
	t := o.t
	t.Helper()
	store, err := sqlstore.Open(context.Background(), o.db)
	require.NoError(t, err)
	people, err := crew.Open(filepath.Join(o.dir, "crew.yaml"))
	require.NoError(t, err)
	o.server, err = serve.New("127.0.0.1:0", testLog(t))
	require.NoError(t, err)
	o.server.Pause(0)
	o.phone.Target = "http://" + o.server.Addr()
	if !o.sockets {
		o.room.Target = "http://" + o.server.Addr()
	}
	set := &shopRules{store: store}
	o.bot = newBot(t, store)
	set.helper.Store(o.bot.Helper())
	o.bot.Helper = set.helper.Load
	o.bot.Render = reply.For
	o.bot.Lead = func(name string) bool { all, _ := people.Now(); p, _ := all.ByName(name); return p.Role == crew.Lead }
	require.NoError(t, set.Reload(context.Background()))
	parts := serve.TeamParts{Rules: set, Link: pageLink}
	if o.pictures != nil {
		o.bot.Pictures = o.pictures().Pictures
		parts.Pictures = o.bot.Pictures
	}
	require.NoError(t, o.server.Team(o.account(), o.bot, people, parts))
	account := sms.Account{SID: o.phone.SID, Token: o.phone.Token, From: o.phone.Number, PublicURL: o.phone.PublicURL, API: o.phoneAPI}
	require.NoError(t, o.server.SMS(account, o.bot, people))
	require.NoError(t, o.server.Outbox(o.bot.Store, "test"))
	o.store = o.bot.Store
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- o.server.Run(ctx) }()
	o.stop = sync.OnceFunc(func() {
		cancel()
		assert.NoError(t, <-ended)
		assert.NoError(t, store.Close())
	})
	if o.sockets {
		require.Eventually(t, func() bool { return o.room.Sockets() == 2 }, checkWithin, checkEvery)
	}
}

func pageLink(_ caselog.Tx, n caselog.Number) (string, error) {
	return "https://coldcase.example.org/case/" + n.String(), nil
}

func testLog(t *testing.T) *slog.Logger {
	if os.Getenv("TEAM_LOG") != "" {
		return slog.New(slog.NewTextHandler(t.Output(), nil))
	}
	return slog.New(slog.DiscardHandler)
}

// shopRules are the rules in force, as the program keeps them.
type shopRules struct {
	store  caselog.Store
	helper atomic.Pointer[talk.Helper] // messages are answered while it changes
}

func (s *shopRules) InForce() *rules.Set { return s.helper.Load().Rules }

func (s *shopRules) Reload(ctx context.Context) error {
	base, err := rules.BuiltIn()
	if err != nil {
		return err
	}
	return s.store.View(ctx, func(t caselog.Tx) error {
		sheets, err := rulebook.Live(t)
		if err != nil {
			return err
		}
		set, err := rulebook.Over(base, sheets)
		if err != nil {
			return err
		}
		s.helper.Store(&talk.Helper{Reader: s.helper.Load().Reader, Rules: set})
		return nil
	})
}

func (o *office) restart() { o.stop(); o.start() }

// text is one from a phone.
func (o *office) text(from, body string, pictures ...[]byte) {
	o.t.Helper()
	_, err := o.phone.Text(o.t.Context(), from, body, pictures...)
	require.NoError(o.t, err)
	o.drained()
}

// say is something that a person writes in the team chat.
func (o *office) say(user, channel, thread, words string, files ...*workspace.File) workspace.Post {
	o.t.Helper()
	p, err := o.room.Say(user, channel, thread, words, files...)
	require.NoError(o.t, err)
	o.drained()
	return p
}

func (o *office) drained() {
	o.t.Helper()
	var counts map[caselog.State]int
	ok := assert.Eventually(o.t, func() bool {
		var err error
		counts, err = o.store.Counts(context.Background())
		return err == nil && counts[caselog.Ready] == 0 && counts[caselog.Leased] == 0
	}, checkWithin, checkEvery)
	if !ok {
		_ = o.store.View(context.Background(), func(tx caselog.Tx) error {
			for _, s := range []caselog.State{caselog.Ready, caselog.Leased} {
				rows, _ := tx.Outgoing(s)
				for _, r := range rows {
					o.t.Logf("%s %s %s %d %s", r.State, r.Dest, r.Kind, r.Attempt, r.Err)
				}
			}
			return nil
		})
		o.t.FailNow()
	}
}

// root is the card of the only case with that place in it.
func (o *office) root(has string) workspace.Post {
	o.t.Helper()
	for _, p := range o.room.All() {
		if p.Channel == teamChannel && p.Thread == "" && p.Bot && strings.Contains(string(p.Blocks), has) {
			return p
		}
	}
	require.Fail(o.t, "no card", has)
	return workspace.Post{}
}

// words of a post, as a reader sees them.
func words(p workspace.Post) string {
	var b strings.Builder
	var walk func(v any)
	walk = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			if text, ok := v["text"].(string); ok {
				b.WriteString(text + "\n")
			}
			for _, key := range []string{"text", "fields", "elements", "options", "accessory"} {
				if _, plain := v[key].(string); !plain {
					walk(v[key])
				}
			}
		case []any:
			for _, one := range v {
				walk(one)
			}
		}
	}
	var blocks any
	if json.Unmarshal(p.Blocks, &blocks) == nil && blocks != nil {
		walk(blocks)
		return strings.TrimSpace(b.String())
	}
	return p.Text
}

// thread in words, one string a post.
func (o *office) thread(root workspace.Post) (all []string) {
	for _, p := range o.room.Thread(root.TS)[1:] {
		text := words(p)
		for _, f := range p.Files {
			text += fmt.Sprintf(" [%s, %s, %d bytes]", f.Title, f.Type, len(f.Bytes))
		}
		all = append(all, text)
	}
	return all
}

func (o *office) heard(phone string) (all []string) {
	for _, m := range o.phone.All() {
		if !m.Inbound && m.To == phone {
			all = append(all, m.Body)
		}
	}
	return all
}

// bothWays runs a test over sockets and over HTTP.
func bothWays(t *testing.T, run func(t *testing.T, o *office)) {
	t.Helper()
	for name, sockets := range map[string]bool{"sockets": true, "http": false} {
		if testing.Short() && !sockets {
			continue
		}
		t.Run(name, func(t *testing.T) { run(t, newOffice(t, sockets)) })
	}
}

// TestACaseInTheTeamChannel is the promise of the channel from a text on a roof to
// the lead's close.
func TestACaseInTheTeamChannel(t *testing.T) {
	bothWays(t, aCaseInTheTeamChannel)
	t.Run("postgres", func(t *testing.T) { aCaseInTheTeamChannel(t, newOfficeOn(t, true, pgtest.URL(t))) })
}

func aCaseInTheTeamChannel(t *testing.T, o *office) {
	o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8 head 240")
	card := o.root("Harbor Lane Fish")
	require.Contains(t, words(card), "Liquid is coming back")
	thread := o.thread(card)
	require.Len(t, thread, 2, "her text and the answer")
	assert.Contains(t, thread[0], "Ines by text")
	assert.Contains(t, thread[0], "448a suct 28 line 8 head 240")
	assert.Contains(t, thread[1], "R448A")

	o.restart()
	o.say(tomas, teamChannel, card.TS, "how is the oil level &amp; is the bulb &lt;tight&gt;?") // as the provider escapes it
	require.Len(t, o.heard(inesPhone), 2)
	assert.Equal(t, "Tomas: how is the oil level & is the bulb <tight>?", o.heard(inesPhone)[1])

	if o.sockets {
		o.room.Drop()
		require.Eventually(t, func() bool { return o.room.Sockets() == 2 }, checkWithin, checkEvery)
		o.room.LoseAcks(1)
	}
	o.text(inesPhone, "on my way down to look")
	require.Len(t, o.heard(inesPhone), 2, "that was for Tomas")
	o.text(inesPhone, "bulb was loose, tight now. suct line 31")
	thread = o.thread(card)
	require.Len(t, thread, 6)
	assert.Contains(t, thread[3], "on my way down")
	assert.Contains(t, thread[4], "bulb was loose, tight now")

	o.say(marit, teamChannel, card.TS, "close floodback running, new bulb clamp")
	assert.Contains(t, o.heard(inesPhone)[3], "Marit: close floodback running")
	assert.Contains(t, o.heard(inesPhone)[4], "Closed")
	card = o.root("Harbor Lane Fish")
	assert.Contains(t, words(card), "Closed: liquid coming back while running; fitted: new bulb clamp")
	assert.NotContains(t, words(card), "Take the case")

	if os.Getenv("TEAM_SHOW") != "" {
		t.Log("\n" + words(card) + "\n\n" + strings.Join(o.thread(card), "\n--\n") + "\n\nPHONE\n" + strings.Join(o.heard(inesPhone), "\n--\n"))
	}
	for _, p := range o.room.All() { // nothing doubled
		n := 0
		for _, q := range o.room.All() {
			if q.Channel == p.Channel && q.Thread == p.Thread && q.Text == p.Text && q.User == p.User {
				n++
			}
		}
		assert.Equal(t, 1, n, p.Text)
	}
}

const (
	checkWithin = 30 * time.Second
	checkEvery  = 10 * time.Millisecond
)

func slow(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("takes seconds")
	}
}

// entries of a case.
func (o *office) entries(n caselog.Number) (all []caselog.Entry) {
	o.t.Helper()
	require.NoError(o.t, o.store.View(context.Background(), func(tx caselog.Tx) (err error) {
		all, err = tx.Entries(n)
		return err
	}))
	return all
}
