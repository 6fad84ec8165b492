package serve_test

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/crew"
	"coldcase/bot/intake"
	"coldcase/bot/rehearse"
	"coldcase/bot/reply"
	"coldcase/bot/serve"
	"coldcase/bot/sms"
	"coldcase/bot/talk"
	"coldcase/rules"
)

// ring is the whole line: server, casebook, outbox and a stand-in of the provider.
type ring struct {
	server   *serve.Server
	store    caselog.Store
	provider *rehearse.Provider
	crewFile string
	stop     func()
}

func phoneOf(i int) string { return fmt.Sprintf("+1555%07d", i) }

func crewOf(n int) string {
	var b strings.Builder
	b.WriteString("time_zone: America/New_York\npeople:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {name: tech%d, phone: %q}\n", i, phoneOf(i))
	}
	return b.String()
}

func newBot(t testing.TB, store caselog.Store) *bot.Bot {
	t.Helper()
	reader, err := intake.BuiltIn()
	require.NoError(t, err)
	set, err := rules.BuiltIn()
	require.NoError(t, err)
	helper := &talk.Helper{Reader: reader, Rules: set}
	return &bot.Bot{Store: store, Helper: func() *talk.Helper { return helper }, Render: func(_ string, a talk.Answer) string { return reply.SMS(a) }}
}

// newRing starts everything on free ports in a folder of the test's own.
func newRing(t testing.TB, people int, trouble func(to string) (int, int, string)) *ring {
	t.Helper()
	provider := &rehearse.Provider{
		SID: "AC" + strings.Repeat("0", 32), Token: "rehearsal", Number: "+15559999999", PublicURL: "https://coldcase.example.org",
		Now: time.Now, Client: &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64}},
	}
	provider.Spoil(trouble)
	return startRing(t, t.TempDir(), people, provider)
}

// startRing starts on what is in a folder, with a provider that may know of earlier days.
func startRing(t testing.TB, dir string, people int, provider *rehearse.Provider) *ring {
	t.Helper()
	store, err := sqlstore.Open(t.Context(), filepath.Join(dir, "cases.db"))
	require.NoError(t, err)
	r := &ring{store: store, crewFile: filepath.Join(dir, "crew.yaml")}
	require.NoError(t, os.WriteFile(r.crewFile, []byte(crewOf(people)), 0o600))
	file, err := crew.Open(r.crewFile)
	require.NoError(t, err)
	r.server, err = serve.New("127.0.0.1:0", slog.New(slog.DiscardHandler))
	require.NoError(t, err)
	r.provider = provider
	provider.Target = "http://" + r.server.Addr()
	mux := http.NewServeMux()
	r.provider.Routes(mux)
	api := httptest.NewServer(mux)
	account := sms.Account{SID: r.provider.SID, Token: r.provider.Token, From: r.provider.Number, PublicURL: r.provider.PublicURL, API: api.URL}
	require.NoError(t, r.server.Crew(file))
	require.NoError(t, r.server.SMS(account, newBot(t, store), file))
	require.NoError(t, r.server.Outbox(store, "test"))
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- r.server.Run(ctx) }()
	r.stop = sync.OnceFunc(func() {
		cancel()
		assert.NoError(t, <-ended)
		r.provider.Wait()
		api.Close()
		assert.NoError(t, store.Close())
	})
	t.Cleanup(r.stop)
	return r
}

// drained waits until nothing is left to send.
func (r *ring) drained(t testing.TB, within time.Duration) {
	t.Helper()
	require.Eventually(t, func() bool {
		counts, err := r.store.Counts(t.Context())
		return err == nil && counts[caselog.Ready] == 0 && counts[caselog.Leased] == 0
	}, within, 20*time.Millisecond)
}

func (r *ring) metrics(t testing.TB) string {
	t.Helper()
	w, err := http.Get("http://" + r.server.Addr() + "/metrics")
	require.NoError(t, err)
	defer w.Body.Close()
	text, err := io.ReadAll(w.Body)
	require.NoError(t, err)
	return string(text)
}

// TestTenThousandTexts is the promise of the line: nothing lost, nothing doubled,
// the provider's REST API down for the middle third of the run.
func TestTenThousandTexts(t *testing.T) {
	if testing.Short() {
		t.Skip("about a minute")
	}
	const senders, each, atOnce, every = 500, 20, 4, 50
	total := int64(senders * each)
	var done atomic.Int64
	r := newRing(t, senders, func(string) (int, int, string) {
		if n := done.Load(); n > total/3 && n < 2*total/3 {
			return http.StatusServiceUnavailable, 0, ""
		}
		return 0, 0, ""
	})
	r.provider.Quiet = true
	ids := make([][]string, senders)
	took := make([]time.Duration, 0, total)
	var mu sync.Mutex
	var hostile atomic.Int64
	next := make(chan int)
	var phones sync.WaitGroup
	for range atOnce {
		phones.Go(func() {
			for who := range next {
				for i := range each {
					m := r.provider.Keep(phoneOf(who), fmt.Sprintf("R448A suct %d line %d", 20+i, 40+i))
					form := r.provider.Form(m)
					from := time.Now()
					status, err := r.provider.Call(t.Context(), "/sms/inbound", form)
					spent := time.Since(from)
					if assert.NoError(t, err) && assert.Equal(t, http.StatusOK, status) {
						mu.Lock()
						took = append(took, spent)
						ids[who] = append(ids[who], m.SID)
						mu.Unlock()
					}
					if n := done.Add(1); n%every == 0 {
						attack(t, r, form)
						hostile.Add(1)
					}
				}
			}
		})
	}
	for who := range senders {
		next <- who
	}
	close(next)
	phones.Wait()
	r.drained(t, 3*time.Minute)

	slices.Sort(took)
	t.Logf("%d texts from %d phones, %d at once: webhook answer p50 %v, p99 %v, worst %v", total, senders, atOnce, took[len(took)/2], took[len(took)*99/100], took[len(took)-1])
	checkRecord(t, r, ids)
	checkReplies(t, r, senders, each)
	text := r.metrics(t)
	// A text that catching up met before its webhook came counts as replayed.
	assert.Equal(t, total+hostile.Load(), inbound(t, text, "taken")+inbound(t, text, "replayed"))
	assert.GreaterOrEqual(t, inbound(t, text, "replayed"), hostile.Load())
	for _, kind := range []string{"forged", "oversized", "fields", "content_type"} {
		assert.Equal(t, hostile.Load(), inbound(t, text, kind), kind)
	}
}

// inbound is the count of webhook requests with a result.
func inbound(t *testing.T, metrics, result string) (n int64) {
	t.Helper()
	_, rest, ok := strings.Cut(metrics, fmt.Sprintf("coldcase_sms_inbound_total{result=%q} ", result))
	require.True(t, ok, result)
	_, err := fmt.Sscan(rest, &n)
	require.NoError(t, err)
	return n
}

// attack sends what must change nothing: a replay, a forgery, a request bent and
// still validly signed, one too big, one of the wrong type.
func attack(t *testing.T, r *ring, form url.Values) {
	t.Helper()
	status, err := r.provider.Call(t.Context(), "/sms/inbound", form)
	assert.NoError(t, err)
	assert.Equal(t, http.StatusOK, status, "a replay is answered and changes nothing")
	bent := url.Values{}
	for k, v := range form {
		bent[k] = v
	}
	bent.Set("MessageSid", form.Get("MessageSid")+"NumMedia0")
	bent.Del("NumMedia")
	for _, a := range []struct {
		kind, body, signature string
		status                int
	}{
		{"application/x-www-form-urlencoded", form.Encode(), rehearse.Sign("guess", r.provider.PublicURL+"/sms/inbound", form), http.StatusForbidden},
		{"application/x-www-form-urlencoded", bent.Encode(), rehearse.Sign(r.provider.Token, r.provider.PublicURL+"/sms/inbound", form), http.StatusBadRequest},
		{"application/x-www-form-urlencoded", "Body=" + strings.Repeat("x", 70<<10), "", http.StatusRequestEntityTooLarge},
		{"application/json", "{}", "", http.StatusUnsupportedMediaType},
	} {
		q, err := http.NewRequestWithContext(t.Context(), http.MethodPost, r.provider.Target+"/sms/inbound", strings.NewReader(a.body))
		require.NoError(t, err)
		q.Header.Set("Content-Type", a.kind)
		q.Header.Set("X-Twilio-Signature", a.signature)
		w, err := r.provider.Client.Do(q)
		if assert.NoError(t, err) {
			assert.Equal(t, a.status, w.StatusCode, a.kind)
			_, _ = io.Copy(io.Discard, w.Body)
			assert.NoError(t, w.Body.Close())
		}
	}
}

// checkRecord: each text is on its sender's case exactly once, in the order sent.
func checkRecord(t *testing.T, r *ring, ids [][]string) {
	t.Helper()
	require.NoError(t, r.store.View(t.Context(), func(x caselog.Tx) error {
		for who := range ids {
			p, err := x.Person(fmt.Sprintf("tech%d", who))
			require.NoError(t, err)
			entries, err := x.Entries(p.Current)
			require.NoError(t, err)
			var got []string
			for _, e := range entries {
				if e.Kind == caselog.KindMessage {
					got = append(got, e.ProviderID)
				}
			}
			require.Equal(t, ids[who], got, "phone %d", who)
		}
		return nil
	}))
}

// checkReplies: the provider took one reply a text, in the order of the texts.
func checkReplies(t *testing.T, r *ring, senders, each int) {
	t.Helper()
	sent := map[string][]string{}
	for _, m := range r.provider.All() {
		if !m.Inbound {
			sent[m.To] = append(sent[m.To], m.Body)
		}
	}
	require.NoError(t, r.store.View(t.Context(), func(x caselog.Tx) error {
		rows, err := x.Outgoing(caselog.Sent)
		require.NoError(t, err)
		want := map[string][]string{}
		for _, o := range rows {
			var p struct{ Body string }
			require.NoError(t, json.Unmarshal([]byte(o.Payload), &p))
			to := strings.TrimPrefix(o.Dest, "sms:")
			want[to] = append(want[to], p.Body)
		}
		for who := range senders {
			require.Len(t, want[phoneOf(who)], each, "phone %d", who)
			require.Equal(t, want[phoneOf(who)], sent[phoneOf(who)], "phone %d", who)
		}
		return nil
	}))
}
