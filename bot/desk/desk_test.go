package desk

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot"
	"coldcase/bot/browsertest"
	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/casepage"
	"coldcase/bot/intake"
	"coldcase/bot/reply"
	"coldcase/bot/talk"
	"coldcase/rules"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// opened is a desk on an empty casebook, with the case pages beside it.
func opened(t *testing.T) (*Desk, http.Handler) {
	store, err := sqlstore.Open(context.Background(), filepath.Join(t.TempDir(), "cases.db"))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, store.Close()) })
	reader, err := intake.BuiltIn()
	require.NoError(t, err)
	set, err := rules.BuiltIn()
	require.NoError(t, err)
	helper := &talk.Helper{Reader: reader, Rules: set}
	b := &bot.Bot{Store: store, Helper: func() *talk.Helper { return helper }, Render: reply.For}
	signer, err := casepage.NewSigner("a key that nobody guesses")
	require.NoError(t, err)
	pages := &casepage.Pages{Store: store, Helper: b.Helper, Signer: signer, Zone: time.UTC, Now: time.Now, Lives: time.Hour, Framed: true}
	d := &Desk{Store: store, Handle: b.Handle, Page: pages.LinkFor, Person: "Ines", Where: "cases.db", Now: time.Now, Fail: func(err error) { t.Error(err) }}
	mux := http.NewServeMux()
	d.Routes(mux)
	pages.Hang(mux)
	return d, mux
}

// ask sends a request as a browser on this machine does; change makes it another's.
func ask(h http.Handler, method, path string, form url.Values, change func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(form.Encode()))
	r.Host, r.RemoteAddr = "127.0.0.1:8080", "127.0.0.1:50000"
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	if change != nil {
		change(r)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func TestTextingAtTheDesk(t *testing.T) {
	_, h := opened(t)
	first := ask(h, "GET", "/", nil, nil)
	require.Equal(t, http.StatusOK, first.Code)
	assert.Contains(t, first.Body.String(), "No case in hand")
	sent := ask(h, "POST", "/say", url.Values{"text": {"R404A freezer 2 @ Juniper Street Creamery suct 18 line 38 head 235"}}, nil)
	require.Equal(t, http.StatusSeeOther, sent.Code)
	page := ask(h, "GET", "/", nil, nil).Body.String()
	for _, part := range []string{"Case 1-3: <bdi>freezer 2 @ Juniper Street Creamery</bdi>", "superheat at the compressor", "/case/", "On record in case 1-3", "3 readings"} {
		assert.Contains(t, page, part)
	}
	assert.Equal(t, http.StatusNotFound, ask(h, "GET", "/?case=1-4", nil, nil).Code, "a number that doesn't check out")
}

func TestASecondPressOfTheButtonIsNoSecondMessage(t *testing.T) {
	d, h := opened(t)
	form := url.Values{"text": {"R404A suct 18 line 38"}, "id": {strings.Repeat("0a", 16)}}
	ask(h, "POST", "/say", form, nil)
	ask(h, "POST", "/say", form, nil)
	assert.Len(t, d.said(), 2, "one message, one answer")
}

func TestOnlyThisMachineGetsIn(t *testing.T) {
	_, h := opened(t)
	for name, c := range map[string]struct {
		change func(*http.Request)
		want   int
	}{
		"localhost":                 {func(r *http.Request) { r.Host = "localhost:8080" }, http.StatusSeeOther},
		"IPv6":                      {func(r *http.Request) { r.Host, r.RemoteAddr = "[::1]:8080", "[::1]:50000" }, http.StatusSeeOther},
		"a name that resolves here": {func(r *http.Request) { r.Host = "cold.example.org:8080" }, http.StatusForbidden},
		"from the network":          {func(r *http.Request) { r.RemoteAddr = "192.0.2.7:50000" }, http.StatusForbidden},
		"another site's form":       {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, http.StatusForbidden},
		"another port of this host": {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") }, http.StatusForbidden},
		"an old browser's other site": {func(r *http.Request) {
			r.Header.Del("Sec-Fetch-Site")
			r.Header.Set("Origin", "https://cold.example.org")
		}, http.StatusForbidden},
	} {
		got := ask(h, "POST", "/say", url.Values{"text": {"suct 20"}}, c.change)
		assert.Equal(t, c.want, got.Code, name)
	}
	assert.Equal(t, http.StatusForbidden, ask(h, "GET", "/", nil, func(r *http.Request) { r.Host = "cold.example.org" }).Code, "nor is anything read")
}

func TestADeskWhoseEndBrokeSaysSo(t *testing.T) {
	d, h := opened(t)
	var told error
	d.Fail = func(err error) { told = err }
	d.Handle = func(context.Context, caselog.Inbound) (string, error) { return "", errors.New("disk full") }
	ask(h, "POST", "/say", url.Values{"text": {"suct 20"}}, nil)
	require.EqualError(t, told, "disk full")
	page := ask(h, "GET", "/", nil, nil).Body.String()
	assert.Contains(t, page, "Our end broke")
	assert.NotContains(t, page, "disk full")
}
