package serve_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/crew"
	"coldcase/bot/serve"
)

const reading = "R448A freezer 2 @ Harbor Lane Fish suct 28 line 30"

// say texts as a phone and waits until the line has nothing left to send.
func (r *ring) say(t *testing.T, from, body string, pictures ...[]byte) {
	t.Helper()
	_, err := r.provider.Text(t.Context(), from, body, pictures...)
	require.NoError(t, err)
	r.drained(t, 10*time.Second)
}

// heard is what a phone got, in order.
func (r *ring) heard(phone string) (all []string) {
	for _, m := range r.provider.All() {
		if !m.Inbound && m.To == phone {
			all = append(all, m.Body)
		}
	}
	return all
}

// entries of a person's current case.
func (r *ring) entries(t *testing.T, person string) (all []caselog.Entry) {
	t.Helper()
	require.NoError(t, r.store.View(t.Context(), func(x caselog.Tx) error {
		p, err := x.Person(person)
		if err != nil || p.Current == 0 {
			return err
		}
		all, err = x.Entries(p.Current)
		return err
	}))
	return all
}

func texts(entries []caselog.Entry) string {
	var b strings.Builder
	for _, e := range entries {
		b.WriteString(string(e.Kind) + ": " + e.Text + "\n")
	}
	return b.String()
}

var jpeg = []byte("\xff\xd8\xff\xe0\x00\x10JFIF\x00 invented")

func TestTheCrewFileChangesWithoutRestart(t *testing.T) {
	r := newRing(t, 1, nil)
	r.say(t, phoneOf(1), reading)
	assert.Contains(t, r.heard(phoneOf(1))[0], "not on its list")
	require.NoError(t, os.WriteFile(r.crewFile, []byte(crewOf(2)), 0o600))
	r.say(t, phoneOf(1), reading)
	require.Len(t, r.heard(phoneOf(1)), 2)
	assert.Contains(t, r.heard(phoneOf(1))[1], "R448A")
	status, text := r.get(t, "/readyz")
	assert.Equal(t, "200 ready\n", fmt.Sprint(status, " ", text))
	assert.Contains(t, r.metrics(t), "coldcase_crew_file_broken 0")
	require.NoError(t, os.WriteFile(r.crewFile, []byte("people: [{name: x, phone: 5}]"), 0o600))
	r.say(t, phoneOf(1), "liq line 92")
	assert.Len(t, r.heard(phoneOf(1)), 3, "a broken file leaves the last good crew in force")
	status, text = r.get(t, "/readyz")
	assert.Equal(t, "200 ready\nbut crew file: not read, the last good one stays in force; the log says why\n", fmt.Sprint(status, " ", text))
	assert.Contains(t, r.metrics(t), "coldcase_crew_file_broken 1")
}

func TestNothingIsSentAfterStop(t *testing.T) {
	r := newRing(t, 1, nil)
	r.say(t, phoneOf(0), reading)
	require.Len(t, r.heard(phoneOf(0)), 1)
	r.say(t, phoneOf(0), "Stop")
	r.say(t, phoneOf(0), "liq line 92")
	assert.Len(t, r.heard(phoneOf(0)), 1)
	story := texts(r.entries(t, "tech0"))
	assert.Contains(t, story, "opted out with STOP")
	assert.Contains(t, story, "message: liq line 92", "what comes in is still kept")
	assert.Contains(t, story, "Not sent: **********00 has opted out")
	r.say(t, phoneOf(0), "START")
	r.say(t, phoneOf(0), "head 245")
	assert.Len(t, r.heard(phoneOf(0)), 2)
	assert.Contains(t, texts(r.entries(t, "tech0")), "opted in again")
	r.say(t, phoneOf(0), "HELP")
	assert.Len(t, r.heard(phoneOf(0)), 2, "the carrier answers HELP by itself")
}

// The number opted out where we could not see it: the provider says so at sending.
func TestAnOptOutThatTheProviderKnowsSilencesTheNumber(t *testing.T) {
	var out atomic.Bool
	r := newRing(t, 1, func(string) (int, int, string) {
		if out.Load() {
			return http.StatusBadRequest, 21610, ""
		}
		return 0, 0, ""
	})
	r.say(t, phoneOf(0), reading)
	out.Store(true)
	r.say(t, phoneOf(0), "liq line 92")
	assert.Contains(t, texts(r.entries(t, "tech0")), "the number has opted out (21610)")
	out.Store(false)
	r.say(t, phoneOf(0), "head 245")
	assert.Len(t, r.heard(phoneOf(0)), 1, "silent until START")
	r.say(t, phoneOf(0), "START")
	r.say(t, phoneOf(0), "ambient 80")
	assert.Len(t, r.heard(phoneOf(0)), 2)
}

func TestPhotosAreKeptWithTheCase(t *testing.T) {
	r := newRing(t, 1, nil)
	r.say(t, phoneOf(0), "", jpeg)
	r.say(t, phoneOf(0), "", append([]byte{}, append(jpeg, '2')...))
	require.Len(t, r.heard(phoneOf(0)), 1, "one question for photos without words")
	assert.Contains(t, r.heard(phoneOf(0))[0], "What does it show")
	r.say(t, phoneOf(0), reading, []byte("\x89PNG\r\n\x1a\n invented"))
	r.say(t, phoneOf(0), "plate", []byte("<html>"))
	var photos []caselog.Entry
	story := r.entries(t, "tech0")
	for _, e := range story {
		if e.Kind == caselog.KindPhoto {
			photos = append(photos, e)
		}
	}
	require.Len(t, photos, 3, "two that came before the case, one with it")
	assert.Contains(t, string(photos[2].Body), `"type":"image/png"`)
	assert.Contains(t, texts(story), "A photo of tech0's was not kept: not a picture.")
	require.NoError(t, r.store.View(t.Context(), func(x caselog.Tx) error {
		m, err := caselog.PhotoAt(x, 1, photos[0].Seq)
		assert.Equal(t, caselog.Media{Type: "image/jpeg", Bytes: jpeg}, m)
		listed, e := caselog.Photos(x, 1)
		assert.Equal(t, photos, listed)
		_, none := caselog.PhotoAt(x, 1, 1)
		assert.ErrorIs(t, none, caselog.ErrNoMedia, "an entry that is no photo")
		return errors.Join(err, e)
	}))
}

func TestWhatCameWhileWeWereAwayIsCaughtUp(t *testing.T) {
	dir := t.TempDir()
	first := newRing(t, 1, nil)
	first.stop()
	r := startRing(t, dir, 1, first.provider)
	r.say(t, phoneOf(0), reading)
	r.stop()
	missed := first.provider.Keep(phoneOf(0), "liq line 92")
	_, err := first.provider.Text(t.Context(), phoneOf(0), "head 245")
	require.Error(t, err, "nobody listens")
	r = startRing(t, dir, 1, first.provider)
	require.Eventually(t, func() bool { return len(r.heard(phoneOf(0))) == 3 }, 10*time.Second, 20*time.Millisecond)
	status, err := r.provider.Call(t.Context(), "/sms/inbound", r.provider.Form(missed)) // its webhook comes after all
	require.NoError(t, err)
	assert.Equal(t, http.StatusOK, status)
	r.drained(t, 10*time.Second)
	assert.Len(t, r.heard(phoneOf(0)), 3)
	var got []string
	for _, e := range r.entries(t, "tech0") {
		if e.Kind == caselog.KindMessage {
			got = append(got, e.Text)
		}
	}
	assert.Equal(t, []string{reading, "liq line 92", "head 245"}, got, "each once, in the order they came")
}

func TestAFailedTextIsSaidOnTheCaseAndTriedAgain(t *testing.T) {
	r := newRing(t, 1, nil)
	r.provider.Quiet = true
	r.say(t, phoneOf(0), reading)
	sent := r.provider.All()[1]
	report := func(state, code string) {
		f := url.Values{"MessageSid": {sent.SID}, "AccountSid": {r.provider.SID}, "From": {sent.From}, "To": {sent.To}, "MessageStatus": {state}, "ErrorCode": {code}}
		status, err := r.provider.Call(t.Context(), "/sms/status", f)
		require.NoError(t, err)
		require.Equal(t, http.StatusOK, status)
	}
	report("undelivered", "30003")
	report("undelivered", "30003")
	report("sent", "")
	story := texts(r.entries(t, "tech0"))
	assert.Equal(t, 1, strings.Count(story, "Not delivered to **********00: the phone is off or out of reach (30003). Tried again in 1m0s."), story)
	require.NoError(t, r.store.View(t.Context(), func(x caselog.Tx) error {
		waiting, err := x.Outgoing(caselog.Ready)
		require.Len(t, waiting, 1)
		assert.Equal(t, "sms-again:"+phoneOf(0), waiting[0].Dest)
		assert.WithinDuration(t, time.Now().Add(time.Minute), waiting[0].Due, 5*time.Second)
		return err
	}))
}

func TestWrongCredentialsTurnReadyRed(t *testing.T) {
	r := newRing(t, 1, func(string) (int, int, string) { return http.StatusUnauthorized, 20003, "" })
	_, err := r.provider.Text(t.Context(), phoneOf(0), reading)
	require.NoError(t, err)
	require.Eventually(t, func() bool {
		status, text := r.get(t, "/readyz")
		return status == http.StatusServiceUnavailable && strings.Contains(text, "credentials")
	}, 10*time.Second, 20*time.Millisecond)
	status, _ := r.get(t, "/healthz")
	assert.Equal(t, http.StatusOK, status)
	counts, err := r.store.Counts(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 1, counts[caselog.Ready]+counts[caselog.Leased], "the answer waits for the right credentials")
}

func (r *ring) get(t *testing.T, path string) (int, string) {
	t.Helper()
	w, err := http.Get("http://" + r.server.Addr() + path)
	require.NoError(t, err)
	defer w.Body.Close()
	text, err := io.ReadAll(w.Body)
	require.NoError(t, err)
	return w.StatusCode, string(text)
}

// TestRehearsal goes the way of a newcomer: open the page, type, read the answer.
func TestRehearsal(t *testing.T) {
	dir := t.TempDir()
	store, err := sqlstore.Open(t.Context(), filepath.Join(dir, "cases.db"))
	require.NoError(t, err)
	file := filepath.Join(dir, "crew.yaml")
	require.NoError(t, os.WriteFile(file, []byte(serve.RehearsalCrew), 0o600))
	people, err := crew.Open(file)
	require.NoError(t, err)
	var log strings.Builder
	server, err := serve.New("127.0.0.1:0", slog.New(slog.NewTextHandler(&log, nil)))
	require.NoError(t, err)
	account, page, err := server.Rehearsal()
	require.NoError(t, err)
	require.NoError(t, server.SMS(account, newBot(t, store), people))
	require.NoError(t, server.Outbox(store, "test"))
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- server.Run(ctx) }()
	stop := sync.OnceFunc(func() { cancel(); assert.NoError(t, <-ended) })
	defer stop()

	w, err := http.Get(page + "/")
	require.NoError(t, err)
	assert.Contains(t, w.Header.Get("Content-Security-Policy"), "default-src 'none'")
	assert.NotContains(t, readAll(t, w), "<script")
	post := url.Values{"from": {"+15550100"}, "body": {reading}}
	q, err := http.NewRequestWithContext(ctx, http.MethodPost, page+"/text", multipartOf(post))
	require.NoError(t, err)
	q.Header.Set("Content-Type", "multipart/form-data; boundary=b")
	q.Header.Set("Origin", "https://elsewhere.example.org")
	w, err = http.DefaultClient.Do(q)
	require.NoError(t, err)
	assert.Equal(t, http.StatusForbidden, w.StatusCode, "another site's form")
	_ = readAll(t, w)
	w, err = http.Post(page+"/text", "multipart/form-data; boundary=b", multipartOf(post))
	require.NoError(t, err)
	assert.Equal(t, http.StatusOK, w.StatusCode)
	assert.NotContains(t, readAll(t, w), `role="alert"`)
	require.Eventually(t, func() bool {
		w, err := http.Get(page + "/thread?from=%2B15550100")
		return err == nil && strings.Contains(readAll(t, w), " · delivered")
	}, 10*time.Second, 50*time.Millisecond)
	stop()
	require.NoError(t, store.Close())
	assert.NotContains(t, log.String(), account.Token)
}

func readAll(t *testing.T, w *http.Response) string {
	t.Helper()
	defer w.Body.Close()
	text, err := io.ReadAll(w.Body)
	require.NoError(t, err)
	return string(text)
}

func multipartOf(f url.Values) io.Reader {
	var b strings.Builder
	for k := range f {
		b.WriteString("--b\r\nContent-Disposition: form-data; name=\"" + k + "\"\r\n\r\n" + f.Get(k) + "\r\n")
	}
	b.WriteString("--b--\r\n")
	return strings.NewReader(b.String())
}
