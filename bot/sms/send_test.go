package sms

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/gorillamux"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/rehearse"
	"coldcase/refdata/carrier"
)

// spec is the provider's own description of its API, read in place.
const spec = "../../../shared/specs/twilio_messages.openapi.json"

var phoneFormat = sync.OnceFunc(func() {
	openapi3.DefineStringFormatValidator("phone-number", openapi3.NewRegexpFormatValidator(`^\+[1-9]\d{6,14}$`))
})

func specRouter(t *testing.T) routers.Router {
	t.Helper()
	if _, err := os.Stat(spec); err != nil {
		t.Skip("the provider's API description is not there: " + filepath.Base(spec))
	}
	phoneFormat()
	doc, err := openapi3.NewLoader().LoadFromFile(spec)
	require.NoError(t, err)
	doc.Servers = openapi3.Servers{{URL: "/"}}
	for _, p := range doc.Paths.Map() {
		p.Servers = nil
	}
	r, err := gorillamux.NewRouter(doc)
	require.NoError(t, err)
	return r
}

// holds fails the test on each request that the description does not allow.
func holds(t *testing.T, spec routers.Router, seen *int, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		route, path, err := spec.FindRoute(q)
		if assert.NoError(t, err, q.URL.Path) {
			err = openapi3filter.ValidateRequest(q.Context(), &openapi3filter.RequestValidationInput{
				Request: q, PathParams: path, Route: route, Options: &openapi3filter.Options{AuthenticationFunc: openapi3filter.NoopAuthenticationFunc},
			})
			assert.NoError(t, err, "%s %s", q.Method, q.URL)
			*seen++
		}
		next.ServeHTTP(w, q)
	})
}

// standIn is the provider on loopback.
func standIn(t *testing.T, wrap func(http.Handler) http.Handler) (*rehearse.Provider, *Client) {
	t.Helper()
	p := &rehearse.Provider{SID: testAccount.SID, Token: testAccount.Token, Number: testAccount.From, PublicURL: testAccount.PublicURL, Now: time.Now, Quiet: true}
	mux := http.NewServeMux()
	p.Routes(mux)
	var h http.Handler = mux
	if wrap != nil {
		h = wrap(mux)
	}
	api := httptest.NewServer(h)
	t.Cleanup(api.Close)
	a := testAccount
	a.API = api.URL
	c, err := NewClient(a, nil)
	require.NoError(t, err)
	return p, c
}

var jpeg = append([]byte("\xff\xd8\xff\xe0\x00\x10JFIF\x00"), bytes.Repeat([]byte{1}, 100)...)

func TestEveryRequestFitsTheProvidersDescription(t *testing.T) {
	router := specRouter(t)
	seen := 0
	p, c := standIn(t, func(h http.Handler) http.Handler { return holds(t, router, &seen, h) })
	id, err := c.Send(t.Context(), "+15550100", "Case 1-3. Δ 40 F & more = [yes] + 🧊")
	require.NoError(t, err)
	assert.Equal(t, id, p.All()[0].SID)
	assert.Equal(t, "Case 1-3. Δ 40 F & more = [yes] + 🧊", p.All()[0].Body)
	p.Keep("+15550100", "suct 28")
	p.Keep("+15550100", "", jpeg)
	texts, err := c.Since(t.Context(), time.Now().Add(-time.Hour))
	require.NoError(t, err)
	require.Len(t, texts, 2)
	assert.False(t, texts[0].Unlisted)
	withMedia, err := c.WithMedia(t.Context(), texts[1])
	require.NoError(t, err)
	assert.Len(t, withMedia.Media, 1)
	ids, err := c.SentBefore(t.Context(), "+15550100", "Case 1-3. Δ 40 F & more = [yes] + 🧊", time.Now())
	require.NoError(t, err)
	assert.Equal(t, []string{id}, ids)
	assert.Equal(t, 4, seen, "create, list, media of one, list")
}

// The description does judge: a request that we never send fails it.
func TestTheDescriptionRefusesWhatIsWrong(t *testing.T) {
	router := specRouter(t)
	q := httptest.NewRequest(http.MethodPost, "/2010-04-01/Accounts/AC1/Messages.json", strings.NewReader("To=%2B15550100"))
	q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	route, path, err := router.FindRoute(q)
	require.NoError(t, err)
	err = openapi3filter.ValidateRequest(t.Context(), &openapi3filter.RequestValidationInput{
		Request: q, PathParams: path, Route: route, Options: &openapi3filter.Options{AuthenticationFunc: openapi3filter.NoopAuthenticationFunc},
	})
	assert.ErrorContains(t, err, "AccountSid")
}

// source: parts.md, table of codes; Retry-After: RFC 9110, section 10.2.3.
func TestWhatToDoAboutAnError(t *testing.T) {
	for _, c := range []struct {
		status, code int
		after        string
		do           carrier.Do
		pause        time.Duration
		counted      bool
		maybe        bool
	}{
		{429, 20429, "7", carrier.Later, 7 * time.Second, false, false},
		{429, 20429, "", carrier.Later, time.Second, false, false},
		{503, 0, "3", carrier.Later, 3 * time.Second, true, true},
		{502, 0, "", carrier.Later, 0, true, true},
		{500, 20500, "", carrier.Later, 0, true, true},
		{400, 21611, "", carrier.Later, 0, true, false},
		{400, 21610, "", carrier.Silent, 0, true, false},
		{400, 21211, "", carrier.Dead, 0, true, false},
		{400, 21614, "", carrier.Dead, 0, true, false},
		{400, 30007, "", carrier.Alarm, 0, true, false},
		{400, 30034, "", carrier.Alarm, 0, true, false},
		{401, 20003, "", carrier.Stop, time.Minute, false, false},
		{401, 0, "", carrier.Stop, time.Minute, false, false},
		{400, 21617, "", carrier.Bug, 0, true, false},
		{400, 99999, "", carrier.Alarm, 0, true, false},
		{429, 20429, "99999", carrier.Later, maxPause, false, false},
	} {
		t.Run(fmt.Sprint(c.status, "/", c.code), func(t *testing.T) {
			p, client := standIn(t, nil)
			p.Spoil(func(string) (int, int, string) { return c.status, c.code, c.after })
			_, err := client.Send(t.Context(), "+15550100", "x")
			var e *SendError
			require.ErrorAs(t, err, &e)
			assert.Equal(t, c.do, e.Do)
			assert.Equal(t, c.code, e.Code)
			assert.Equal(t, c.status, e.Status)
			assert.Equal(t, c.maybe, e.Maybe)
			pause, counted := e.RetryAfter()
			assert.Equal(t, c.pause, pause)
			assert.Equal(t, c.counted, counted)
			assert.NotContains(t, err.Error(), testAccount.Token)
		})
	}
}

func TestSendStopsWithItsContext(t *testing.T) {
	hang := make(chan struct{})
	defer close(hang)
	_, c := standIn(t, func(http.Handler) http.Handler {
		return http.HandlerFunc(func(http.ResponseWriter, *http.Request) { <-hang })
	})
	ctx, stop := context.WithTimeout(t.Context(), 30*time.Millisecond)
	defer stop()
	_, err := c.Send(ctx, "+15550100", "x")
	var e *SendError
	require.ErrorAs(t, err, &e)
	assert.True(t, e.Maybe, "nobody answered: it may have been sent")
	assert.Equal(t, carrier.Later, e.Do)
}

func TestCatchUpListsManyPagesOldestFirst(t *testing.T) {
	p, c := standIn(t, nil)
	start := time.Now()
	const n = 2300 // three pages of 1000
	for i := range n {
		p.Keep(fmt.Sprintf("+1555%07d", i), fmt.Sprint(i))
	}
	texts, err := c.Since(t.Context(), start.Add(-time.Minute))
	require.NoError(t, err)
	require.Len(t, texts, n)
	for i, x := range texts {
		require.Equal(t, fmt.Sprint(i), x.Body)
		require.False(t, x.At.IsZero())
	}
}

func TestPictures(t *testing.T) {
	p, c := standIn(t, nil)
	kept := p.Keep("+15550100", "", jpeg, []byte("<html>not a picture</html>"), append([]byte("\x89PNG\r\n\x1a\n"), make([]byte, maxPicture)...))
	texts, err := c.Since(t.Context(), time.Now().Add(-time.Hour))
	require.NoError(t, err)
	texts[0], err = c.WithMedia(t.Context(), texts[0])
	require.NoError(t, err)
	require.Len(t, texts[0].Media, len(kept.Media))
	got, err := c.Fetch(t.Context(), texts[0].Media[0])
	require.NoError(t, err)
	assert.Equal(t, Picture{Type: "image/jpeg", Bytes: jpeg}, got)
	for i, why := range map[int]string{1: "not a picture", 2: "over 5 MB"} {
		_, err := c.Fetch(t.Context(), texts[0].Media[i])
		var e *PictureError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, why, e.Why)
		assert.False(t, e.Again)
	}
	form := p.Form(kept)
	_, err = c.Fetch(t.Context(), form.Get("MediaUrl0"))
	assert.NoError(t, err, "the official link is fetched at the configured base")
}

func TestCredentialsGoNowhereElse(t *testing.T) {
	asked := 0
	elsewhere := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		asked++
		assert.Empty(t, q.Header.Get("Authorization"))
		_, _ = w.Write(jpeg)
	}))
	defer elsewhere.Close()
	_, c := standIn(t, func(http.Handler) http.Handler {
		return http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
			_, token, _ := q.BasicAuth()
			assert.Equal(t, testAccount.Token, token)
			http.Redirect(w, q, elsewhere.URL+"/bytes", http.StatusFound)
		})
	})
	path := "/2010-04-01/Accounts/" + testSID + "/Messages/MM" + strings.Repeat("1", 32) + "/Media/ME" + strings.Repeat("1", 32)
	got, err := c.Fetch(t.Context(), "https://api.twilio.com"+path)
	require.NoError(t, err)
	assert.Equal(t, jpeg, got.Bytes)
	require.Equal(t, 1, asked)
	for _, link := range []string{
		elsewhere.URL + path,
		"https://api.twilio.com.example.org" + path,
		"https://user@api.twilio.com" + path,
		"http://api.twilio.com" + path,
		"https://api.twilio.com/2010-04-01/Accounts/AC" + strings.Repeat("1", 32) + path[strings.Index(path, "/Messages"):],
		"https://api.twilio.com" + path + "/../../../../Keys.json",
		"https://api.twilio.com/2010-04-01/Accounts/" + testSID + "/Messages.json",
		"://",
	} {
		_, err := c.Fetch(t.Context(), link)
		var e *PictureError
		require.True(t, errors.As(err, &e), link)
		assert.Equal(t, "not at the provider", e.Why, link)
	}
	assert.Equal(t, 1, asked)
}
