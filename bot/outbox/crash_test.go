package outbox_test

import (
	"bufio"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"io"
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

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/casetest"
	"coldcase/bot/caselog/pgtest"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/outbox"
)

const (
	childEnv = "COLDCASE_TEST_CHILD" // "STORE PROVIDER": be a replica
	kills    = 200                   // on each engine (the issue)
	phones   = 12
	lease    = time.Second // a killed replica's rows wait that long on PostgreSQL
)

func TestMain(m *testing.M) {
	if at := os.Getenv(childEnv); at != "" {
		replica(at)
	}
	pgtest.Main(m)
}

// replica is a whole serve in small: a door, a store and a worker. It never returns.
func replica(env string) {
	at, provider, _ := strings.Cut(env, " ")
	must := func(err error) {
		if err != nil {
			fmt.Fprintln(os.Stderr, "replica:", err)
			os.Exit(1)
		}
	}
	s, err := sqlstore.Open(context.Background(), at)
	must(err)
	w := &outbox.Worker{Queue: s, Sender: toProvider(provider), Owner: fmt.Sprint(os.Getpid(), "/", time.Now().UnixNano()), Lease: lease, Poll: 100 * time.Millisecond}
	go func() { must(w.Run(context.Background())) }()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	must(err)
	fmt.Println("ready", l.Addr())
	must(http.Serve(l, door(s)))
}

// door answers 200 only after the commit.
func door(s caselog.Store) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var in caselog.Inbound
		err := json.NewDecoder(r.Body).Decode(&in)
		if err == nil {
			_, err = s.Receive(r.Context(), in, casetest.File(in))
		}
		if err != nil {
			http.Error(w, err.Error(), http.StatusServiceUnavailable)
		}
	})
}

type toProvider string

func (url toProvider) Send(ctx context.Context, o caselog.Outgoing) (outbox.Receipt, error) {
	q, err := http.NewRequestWithContext(ctx, http.MethodPost, string(url)+"/"+o.Dest, strings.NewReader(o.Payload))
	if err != nil {
		return outbox.Receipt{}, err
	}
	a, err := http.DefaultClient.Do(q)
	if err != nil {
		return outbox.Receipt{}, err
	}
	if err := a.Body.Close(); err != nil || a.StatusCode != http.StatusOK {
		return outbox.Receipt{}, fmt.Errorf("provider: %s", a.Status)
	}
	return outbox.Receipt{}, nil
}

// mailbox is the provider's end: what arrived for each dest, first arrivals in order.
type mailbox struct {
	mu       sync.Mutex
	seen     map[string]bool
	first    map[string][]string
	repeated int
}

func (m *mailbox) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	text, err := io.ReadAll(r.Body)
	if err != nil {
		return // the sender was killed in the middle: nothing has arrived
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	switch dest := strings.TrimPrefix(r.URL.Path, "/sms:"); {
	case rand.N(50) == 0: // an outage now and then
		w.WriteHeader(http.StatusServiceUnavailable)
	case m.seen[dest+string(text)]:
		m.repeated++
	default:
		m.seen[dest+string(text)] = true
		m.first[dest] = append(m.first[dest], string(text))
	}
}

// slot holds one replica; a killed one is followed by the next.
type slot struct {
	mu   sync.Mutex
	addr string
	cmd  *exec.Cmd
}

func (s *slot) start(t *testing.T, env string) {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"="+env)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err, "the replica did not start")
	s.mu.Lock()
	defer s.mu.Unlock()
	s.cmd, s.addr = cmd, strings.TrimSpace(strings.TrimPrefix(line, "ready "))
}

func (s *slot) kill(t *testing.T) {
	require.NoError(t, s.cmd.Process.Signal(syscall.SIGKILL))
	require.Error(t, s.cmd.Wait(), "it was killed")
}

func (s *slot) address() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.addr
}

// phone sends its texts one after the other, each until it is acknowledged, as a
// provider redelivers. It returns what was acknowledged.
func phone(ctx context.Context, name string, slots []*slot) (acked []string) {
	client := &http.Client{Timeout: 5 * time.Second, Transport: &http.Transport{DisableKeepAlives: true}}
	for i := 0; ctx.Err() == nil; i++ {
		text := fmt.Sprintf("%s/%04d", name, i)
		body, _ := json.Marshal(casetest.Message("SM"+text, name, text, time.Now())) // strings and a time always encode
		for {
			a, err := client.Post("http://"+slots[rand.N(len(slots))].address(), "application/json", strings.NewReader(string(body)))
			if err == nil {
				ok := a.StatusCode == http.StatusOK
				if err := a.Body.Close(); err == nil && ok {
					break
				}
			}
			time.Sleep(5 * time.Millisecond)
		}
		acked = append(acked, text)
		time.Sleep(rand.N(20 * time.Millisecond))
	}
	return acked
}

func TestKillsLoseNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("minutes of kills")
	}
	t.Run("sqlite", func(t *testing.T) {
		at := filepath.Join(t.TempDir(), "cases.db")
		crash(t, at, 1)
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
		crash(t, server.Database(t), 2)
	})
}

func crash(t *testing.T, at string, replicas int) {
	provider := &mailbox{seen: map[string]bool{}, first: map[string][]string{}}
	web := httptest.NewServer(provider)
	defer web.Close()
	env := at + " " + web.URL
	slots := make([]*slot, replicas)
	for i := range slots {
		slots[i] = &slot{}
		slots[i].start(t, env)
	}
	acked := pour(t, slots, env)
	s, err := sqlstore.Open(t.Context(), at)
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	require.Eventually(t, func() bool {
		counts, err := s.Counts(t.Context())
		return err == nil && counts[caselog.Ready]+counts[caselog.Leased] == 0
	}, 2*time.Minute, 100*time.Millisecond, "every reply leaves")
	for _, slot := range slots {
		slot.kill(t)
	}
	provider.mu.Lock()
	defer provider.mu.Unlock()
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		story, err := casetest.Story(x)
		require.NoError(t, err, "a case is not whole")
		assert.Equal(t, acked, story, "every acknowledged message stands on its case once, in order")
		return nil
	}))
	assert.Equal(t, acked, provider.first, "every reply arrived, in order")
	sent := onlySent(t, s)
	t.Logf("%d kills, %d messages acknowledged, %d replies repeated", kills, sent, provider.repeated)
}

// pour lets the phones text while replicas are killed at random.
func pour(t *testing.T, slots []*slot, env string) map[string][]string {
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	acked, mu, all := map[string][]string{}, sync.Mutex{}, sync.WaitGroup{}
	for i := range phones {
		all.Go(func() {
			name := fmt.Sprintf("phone%02d", i)
			got := phone(ctx, name, slots)
			mu.Lock()
			defer mu.Unlock()
			acked[name] = got
		})
	}
	for range kills {
		time.Sleep(rand.N(300 * time.Millisecond))
		victim := slots[rand.N(len(slots))]
		victim.kill(t)
		victim.start(t, env)
	}
	stop()
	all.Wait()
	return acked
}
