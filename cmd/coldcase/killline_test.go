package main

import (
	"bufio"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"math"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/pgtest"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/rehearse"
)

const (
	kills  = 200 // on each engine (the issue)
	phones = 12
)

// TestKillsOfTheLineLoseNothing kills `coldcase serve` at random moments while
// phones text it: webhook, conversation, casebook, outbox and photos are all the
// real ones; only the provider is the stand-in.
func TestKillsOfTheLineLoseNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("minutes of kills")
	}
	bin := build(t)
	t.Run("sqlite", func(t *testing.T) {
		at := filepath.Join(t.TempDir(), "cases.db")
		killLine(t, bin, at, 1)
		db, err := sql.Open("sqlite", at)
		require.NoError(t, err)
		defer func() { require.NoError(t, db.Close()) }()
		var says string
		require.NoError(t, db.QueryRowContext(t.Context(), "pragma integrity_check").Scan(&says))
		require.Equal(t, "ok", says)
	})
	t.Run("postgres", func(t *testing.T) {
		server, err := pgtest.Start(true) // on the disk, as in life
		if err != nil && os.Getenv("CI") == "" {
			t.Skip(err)
		}
		require.NoError(t, err)
		t.Cleanup(func() { require.NoError(t, server.Stop()) })
		killLine(t, bin, server.Database(t), 2)
	})
}

func killLine(t *testing.T, bin, db string, replicas int) {
	l := newKilledLine(t, bin, db, replicas)
	sent := [phones][]rehearse.Message{}
	l.during(t, kills, 200*time.Millisecond, func(ctx context.Context, all *sync.WaitGroup) {
		for i := range phones {
			all.Go(func() { sent[i] = l.phone(ctx, i) })
		}
	})
	s, err := sqlstore.Open(t.Context(), db)
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	allSent(t, s)
	for _, r := range l.replicas {
		r.stop(t)
	}
	texts := 0
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		l.checkCases(t, x, sent)
		texts = l.checkReplies(t, x)
		return nil
	}))
	t.Logf("%d kills, %d texts acknowledged and answered, %d answers sent twice", kills, texts, l.repeated)
}

// stuckAfter is far above the longest wait of a row for its next try here.
const stuckAfter = time.Minute

// allSent waits until nothing is left to send or to fetch, for as long as it gets less:
// one channel's posts go one after the other, however many wait.
func allSent(t *testing.T, s caselog.Store) {
	t.Helper()
	fewest, since := math.MaxInt, time.Now()
	for {
		counts, err := s.Counts(t.Context())
		require.NoError(t, err)
		left := counts[caselog.Ready] + counts[caselog.Leased]
		switch {
		case left == 0:
			return
		case left < fewest:
			fewest, since = left, time.Now()
		}
		require.Less(t, time.Since(since), stuckAfter, "every reply leaves, every photo is fetched: %d are left", left)
		time.Sleep(50 * time.Millisecond)
	}
}

// killedLine is the line with its provider and its phones.
type killedLine struct {
	provider *rehearse.Provider
	replicas []*killed
	repeated int
}

func newKilledLine(t *testing.T, bin, db string, replicas int, more ...string) *killedLine {
	l := &killedLine{}
	l.provider = &rehearse.Provider{
		SID: "AC" + strings.Repeat("0", 32), Token: "rehearsal", Number: "+15559999999", PublicURL: "https://line.example.org", Quiet: true,
		Target: "http://line.example.org", Now: time.Now,
		// A proxy in front of the replicas, as far as the provider can tell.
		Client: &http.Client{Timeout: 5 * time.Second, Transport: &http.Transport{
			DisableKeepAlives: true, DialContext: l.dial,
		}},
	}
	l.provider.Spoil(nowAndThen)
	mux := http.NewServeMux()
	l.provider.Routes(mux)
	api := httptest.NewServer(mux)
	t.Cleanup(api.Close)
	file := filepath.Join(t.TempDir(), "crew.yaml")
	require.NoError(t, os.WriteFile(file, []byte(crewOfPhones()), 0o600))
	env := append(os.Environ(), "COLDCASE_DB="+db, "COLDCASE_CREW="+file, "COLDCASE_LISTEN=127.0.0.1:0", "COLDCASE_LEASE=1s",
		"COLDCASE_PUBLIC_URL="+l.provider.PublicURL, "COLDCASE_SMS_API="+api.URL, "COLDCASE_SMS_FROM="+l.provider.Number,
		"TWILIO_ACCOUNT_SID="+l.provider.SID, "TWILIO_AUTH_TOKEN="+l.provider.Token)
	env = append(env, more...)
	for range replicas {
		r := &killed{bin: bin, env: env}
		l.replicas = append(l.replicas, r)
		r.start(t)
		r.await(t)
	}
	return l
}

// dial reaches any one of the replicas.
func (l *killedLine) dial(ctx context.Context, _, _ string) (net.Conn, error) {
	return new(net.Dialer).DialContext(ctx, "tcp", l.replicas[rand.N(len(l.replicas))].address())
}

// nowAndThen the provider is out, or asks to be left alone for a second.
func nowAndThen(string) (status, code int, retryAfter string) {
	switch rand.N(100) {
	case 0:
		return http.StatusServiceUnavailable, 0, ""
	case 1:
		return http.StatusTooManyRequests, 20429, "1"
	}
	return 0, 0, ""
}

func phoneNumber(i int) string { return fmt.Sprintf("+155501000%02d", i) }
func techName(i int) string    { return fmt.Sprintf("tech%02d", i) }

func crewOfPhones() string {
	text := "people:\n"
	for i := range phones {
		text += fmt.Sprintf("  - {name: %s, phone: %q}\n", techName(i), phoneNumber(i))
	}
	for i := range mates {
		text += fmt.Sprintf("  - {name: mate%02d, chat: %s}\n", i, mateID(i))
	}
	return text
}

// killed is one replica of serve; when it is killed, the next one follows.
type killed struct {
	bin string
	env []string
	cmd *exec.Cmd

	mu   sync.Mutex
	addr string
	up   chan struct{} // closed when it listens
}

func (r *killed) start(t *testing.T) {
	r.cmd = exec.Command(r.bin, "serve")
	r.cmd.Env = r.env
	out, err := r.cmd.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, r.cmd.Start())
	r.up = make(chan struct{})
	go r.read(out, r.up)
}

// read follows the log until the process ends.
func (r *killed) read(log io.Reader, up chan struct{}) {
	for lines := bufio.NewScanner(log); lines.Scan(); {
		var said struct{ Level, Msg, At string }
		switch err := json.Unmarshal(lines.Bytes(), &said); {
		case err != nil, strings.Contains(said.Msg, "panic"):
			fmt.Fprintln(os.Stderr, lines.Text())
		case said.Msg == "listening":
			r.mu.Lock()
			r.addr = said.At
			r.mu.Unlock()
			close(up)
		case said.Level == slog.LevelError.String() && testing.Verbose():
			fmt.Fprintln(os.Stderr, lines.Text())
		}
	}
}

func (r *killed) await(t *testing.T) {
	select {
	case <-r.up:
	case <-time.After(30 * time.Second):
		require.Fail(t, "the replica does not listen")
	}
}

func (r *killed) kill(t *testing.T) {
	require.NoError(t, r.cmd.Process.Signal(syscall.SIGKILL))
	require.Error(t, r.cmd.Wait(), "it was killed")
}

// stop is the good end: everything under way is finished.
func (r *killed) stop(t *testing.T) {
	require.NoError(t, r.cmd.Process.Signal(syscall.SIGTERM))
	require.NoError(t, r.cmd.Wait(), "an end in good order")
}

func (r *killed) address() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.addr
}

// during lets work go on while replicas are killed so many times, some before they
// listen and each after a while at the most. Afterwards all of them run.
func (l *killedLine) during(t *testing.T, times int, while time.Duration, work func(ctx context.Context, all *sync.WaitGroup)) {
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	var all sync.WaitGroup
	work(ctx, &all)
	for n := range times {
		victim := l.replicas[rand.N(len(l.replicas))]
		if rand.N(5) > 0 {
			victim.await(t)
		}
		time.Sleep(rand.N(while))
		victim.kill(t)
		victim.start(t)
		if n == times-1 {
			victim.await(t)
		}
	}
	stop()
	all.Wait()
}

// phone sends readings, each until it is acknowledged, as the provider redelivers.
// Now and then it begins a new case, or sends a photo with the words.
func (l *killedLine) phone(ctx context.Context, i int) (acked []rehearse.Message) {
	for n := 0; ctx.Err() == nil; n++ {
		text, photos := fmt.Sprintf("R448A suct %d line %.1f", 20+n/100, 30+float64(n%100)/10), [][]byte(nil)
		switch {
		case n%20 == 19:
			text = "new"
		case n%6 == 5:
			photos = [][]byte{fmt.Appendf([]byte("\xff\xd8\xff\xe0\x00\x10JFIF\x00"), "%d/%d", i, n)}
		}
		m := l.provider.Keep(phoneNumber(i), text, photos...)
		for {
			status, err := l.provider.Call(context.WithoutCancel(ctx), "/sms/inbound", l.provider.Form(m))
			if err == nil && status == http.StatusOK {
				break
			}
			time.Sleep(5 * time.Millisecond)
		}
		acked = append(acked, m)
		time.Sleep(rand.N(80 * time.Millisecond))
	}
	return acked
}

// checkCases: every case is whole, and each phone's texts stand on its own cases,
// once and in order, with their photos.
func (l *killedLine) checkCases(t *testing.T, x caselog.Tx, sent [phones][]rehearse.Message) {
	t.Helper()
	stands, shown := map[string][]string{}, map[string]int{}
	last := caselog.Number(0)
	for c, err := range x.Find(caselog.Filter{}) {
		require.NoError(t, err)
		require.Equal(t, last+1, c.Number, "no number was lost")
		last = c.Number
		entries, err := x.Entries(c.Number)
		require.NoError(t, err)
		require.Len(t, entries, c.Entries)
		stands[c.OpenedBy] = append(stands[c.OpenedBy], wholeCase(t, c, entries, shown)...)
	}
	for i, texts := range sent {
		var want []string
		for _, m := range texts {
			if m.Body != "new" {
				want = append(want, m.SID)
				require.Equal(t, len(m.Media), shown[m.SID], "photos of %s", m.SID)
			}
		}
		require.Equal(t, want, stands[techName(i)], techName(i))
	}
}

// wholeCase checks that the entries are numbered without holes and that every
// message is followed by what was read of it, a judgement and a reply. It counts
// the photos of each message.
func wholeCase(t *testing.T, c caselog.Case, entries []caselog.Entry, shown map[string]int) (ids []string) {
	t.Helper()
	var open []caselog.Kind // what has still to follow the last message
	for i, e := range entries {
		require.Equal(t, i+1, e.Seq, "case %s", c.Number)
		switch e.Kind {
		case caselog.KindPhoto:
			require.Equal(t, c.OpenedBy, e.By, "case %s", c.Number)
			shown[e.ProviderID]++
			continue
		case caselog.KindMessage:
			require.Empty(t, open, "case %s, before entry %d", c.Number, e.Seq)
			require.Equal(t, c.OpenedBy, e.By, "case %s", c.Number)
			ids = append(ids, e.ProviderID)
			open = []caselog.Kind{caselog.KindReading, caselog.KindJudgement, caselog.KindReply}
			continue
		}
		require.NotEmpty(t, open, "case %s, entry %d", c.Number, e.Seq)
		require.Equal(t, open[0], e.Kind, "case %s, entry %d", c.Number, e.Seq)
		open = open[1:]
	}
	require.Empty(t, open, "case %s", c.Number)
	return ids
}

// checkReplies: the provider took every reply, in the order in which they were
// queued for its phone; one that was sent again comes right behind itself.
func (l *killedLine) checkReplies(t *testing.T, x caselog.Tx) (texts int) {
	t.Helper()
	dead, err := x.Outgoing(caselog.Dead)
	require.NoError(t, err)
	require.Empty(t, dead)
	rows, err := x.Outgoing(caselog.Sent)
	require.NoError(t, err)
	want := map[string][]string{}
	for _, o := range rows {
		var p struct{ Body string }
		if to, ok := strings.CutPrefix(o.Dest, "sms:"); ok {
			require.NoError(t, json.Unmarshal([]byte(o.Payload), &p))
			want[to] = append(want[to], p.Body)
		}
	}
	taken := map[string]int{}
	for _, m := range l.provider.All() {
		if m.Inbound {
			texts++
			continue
		}
		n := taken[m.To]
		switch {
		case n < len(want[m.To]) && m.Body == want[m.To][n]:
			taken[m.To]++
		case n > 0 && m.Body == want[m.To][n-1]:
			l.repeated++
		default:
			require.Fail(t, "out of order", "to %s came %q, due was %q", m.To, m.Body, want[m.To][max(0, n-2):min(len(want[m.To]), n+3)])
		}
	}
	all := 0
	for to, bodies := range want {
		require.Equal(t, len(bodies), taken[to], "every reply to %s arrived", to)
		all += len(bodies)
	}
	require.Equal(t, texts, all, "one reply for each text")
	return texts
}
