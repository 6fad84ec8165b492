package sms

import (
	"context"
	"errors"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/twilio/twilio-go/client"

	"coldcase/bot/rehearse"
	"coldcase/refdata/carrier"
)

var (
	testSID     = "AC" + strings.Repeat("0a", 16)
	testAccount = Account{SID: testSID, Token: "0123456789abcdef", From: "+15559999999", PublicURL: "https://coldcase.example.org"}
	testTime    = time.Date(2026, 3, 2, 15, 4, 5, 0, time.UTC)
)

func textForm() url.Values {
	id := "SM" + strings.Repeat("1", 32)
	return url.Values{
		"MessageSid": {id}, "SmsSid": {id}, "AccountSid": {testSID}, "From": {"+15550100"}, "To": {"+15559999999"}, "Body": {"R448A suct 28 line 8"},
		"NumMedia": {"0"}, "NumSegments": {"1"}, "FromCity": {""}, "FromCountry": {"US"}, "ApiVersion": {"2010-04-01"},
	}
}

// taken keeps what a webhook hands on.
type taken struct {
	texts   []Text
	reports []Status
	block   chan struct{}
	fail    error
}

func newHook(t testing.TB, got *taken) *Webhook {
	t.Helper()
	count, err := NewCounters(prometheus.NewRegistry())
	require.NoError(t, err)
	return &Webhook{
		Account: testAccount, Now: func() time.Time { return testTime }, Log: slog.New(slog.DiscardHandler), Count: count,
		Receive: func(ctx context.Context, x Text) (bool, error) {
			if got.block != nil {
				<-got.block
			}
			got.texts = append(got.texts, x)
			return len(got.texts) > 1, got.fail
		},
		Report: func(_ context.Context, s Status) (bool, error) {
			got.reports = append(got.reports, s)
			return false, nil
		},
	}
}

// call is one request as it reaches us, and what was signed.
type call struct {
	name      string
	body      string
	signedFor string // URL
	signed    url.Values
	token     string
	uri       string
	change    func(*http.Request)
	provider  bool // what the provider's own validator says
	status    int  // what we answer
	kind      string
}

func (c call) request(t testing.TB) (*http.Request, string) {
	t.Helper()
	uri, token, signedFor := "/sms/inbound", testAccount.Token, testAccount.PublicURL+"/sms/inbound"
	if c.uri != "" {
		uri = c.uri
	}
	if c.token != "" {
		token = c.token
	}
	if c.signedFor != "" {
		signedFor = c.signedFor
	}
	sig := rehearse.Sign(token, signedFor, c.signed)
	q := httptest.NewRequest(http.MethodPost, uri, strings.NewReader(c.body))
	q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	q.Header.Set("X-Twilio-Signature", sig)
	if c.change != nil {
		c.change(q)
	}
	return q, sig
}

func with(key, value string) url.Values {
	f := textForm()
	f.Set(key, value)
	return f
}

func without(key string) url.Values {
	f := textForm()
	f.Del(key)
	return f
}

// reordered writes the same fields last first.
func reordered(f url.Values) string {
	pairs := strings.Split(f.Encode(), "&")
	for i, j := 0, len(pairs)-1; i < j; i, j = i+1, j-1 {
		pairs[i], pairs[j] = pairs[j], pairs[i]
	}
	return strings.Join(pairs, "&")
}

// bent moves a field boundary: the signed text stays the same.
func bent() url.Values {
	f := without("NumMedia")
	f.Set("MessageSid", f.Get("MessageSid")+"NumMedia0")
	return f
}

func TestTheProvidersValidatorAgrees(t *testing.T) {
	good := textForm()
	for _, c := range []call{
		{name: "good", body: good.Encode(), signed: good, provider: true, status: 200},
		{name: "re-ordered", body: reordered(good), signed: good, provider: true, status: 200},
		{name: "unknown new field", body: with("Later", "x").Encode(), signed: with("Later", "x"), provider: true, status: 200},
		{name: "accents and emoji", body: with("Body", "é 40 °F 🧊 + & =").Encode(), signed: with("Body", "é 40 °F 🧊 + & ="), provider: true, status: 200},
		{name: "forged with another token", body: good.Encode(), signed: good, token: "guess", provider: false, status: 403, kind: "forged"},
		{name: "words changed on the way", body: with("Body", "suct 29").Encode(), signed: good, provider: false, status: 403, kind: "forged"},
		{name: "signed for http", body: good.Encode(), signed: good, signedFor: "http://coldcase.example.org/sms/inbound", provider: false, status: 403, kind: "forged"},
		{name: "signed for another path", body: good.Encode(), signed: good, signedFor: "https://coldcase.example.org/sms/status", provider: false, status: 403, kind: "forged"},
		{name: "signed with the port", body: good.Encode(), signed: good, signedFor: "https://coldcase.example.org:443/sms/inbound", provider: true, status: 200},
		{name: "proxied", body: good.Encode(), signed: good, provider: true, status: 200, change: func(q *http.Request) {
			q.Host = "10.0.0.7:8080"
			q.Header.Set("X-Forwarded-Host", "elsewhere.example.org")
			q.Header.Set("X-Forwarded-Proto", "http")
		}},
		{name: "signed for the host that a proxy names", body: good.Encode(), signed: good, signedFor: "https://elsewhere.example.org/sms/inbound", provider: false, status: 403, kind: "forged", change: func(q *http.Request) {
			q.Host = "elsewhere.example.org"
			q.Header.Set("X-Forwarded-Host", "elsewhere.example.org")
		}},
		// Signed and yet refused: the signature alone is not enough.
		{name: "repeated field", body: good.Encode() + "&Body=suct+99", signed: good, provider: true, status: 400, kind: "fields"},
		{name: "boundary moved", body: bent().Encode(), signed: good, provider: true, status: 400, kind: "fields"},
		{name: "empty digest in the URL", body: good.Encode(), signed: good, uri: "/sms/inbound?bodySHA256=", signedFor: "https://coldcase.example.org/sms/inbound?bodySHA256=", provider: true, status: 403, kind: "forged"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := &taken{}
			h := newHook(t, got)
			q, sig := c.request(t)
			check := client.NewRequestValidator(testAccount.Token)
			assert.Equal(t, c.provider, check.ValidateBody(testAccount.PublicURL+q.URL.RequestURI(), []byte(c.body), sig), "the provider's own")
			w := httptest.NewRecorder()
			h.inbound(w, q)
			assert.Equal(t, c.status, w.Code)
			assert.Len(t, got.texts, map[bool]int{true: 1, false: 0}[c.status == 200])
			if c.kind != "" {
				assert.Equal(t, 1.0, testutil.ToFloat64(h.Count.Inbound.WithLabelValues(c.kind)))
			}
		})
	}
}

// Forms of any content: an independent signature passes ours and theirs; with one
// letter changed it passes neither.
func TestSignatureOfAnyForm(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	letters := []rune("aZ09 +&=%é°🧊\n")
	word := func() string {
		var b strings.Builder
		for range 1 + random.IntN(12) {
			b.WriteRune(letters[random.IntN(len(letters))])
		}
		return b.String()
	}
	check := client.NewRequestValidator(testAccount.Token)
	for range 300 {
		f := url.Values{}
		for range 1 + random.IntN(8) {
			f.Set(word(), word())
		}
		for _, change := range []string{"", "x"} {
			body := f.Encode() + change
			q, sig := call{body: body, signed: f}.request(t)
			ours := testAccount.signed(q, []byte(body)) == nil
			assert.Equal(t, check.ValidateBody(testAccount.PublicURL+"/sms/inbound", []byte(body), sig), ours, body)
			assert.Equal(t, change == "", ours, body)
		}
	}
}

func TestWebhookRefuses(t *testing.T) {
	good := textForm()
	picture := "https://api.twilio.com/2010-04-01/Accounts/" + testSID + "/Messages/MM1/Media/ME1"
	fields := func(name string, f url.Values) call {
		return call{name: name, body: f.Encode(), signed: f, status: 400, kind: "fields"}
	}
	two := with("MediaUrl0", picture)
	for _, c := range []call{
		fields("no id", without("MessageSid")),
		fields("id of another kind", with("MessageSid", "XX"+strings.Repeat("1", 32))),
		fields("ids differ", with("SmsSid", "SM"+strings.Repeat("2", 32))),
		fields("another account", with("AccountSid", "AC"+strings.Repeat("1", 32))),
		fields("another number of ours", with("To", "+15558888888")),
		fields("a name for a sender", with("From", "ACME")),
		fields("from ourselves", with("From", testAccount.From)),
		fields("no words field", without("Body")),
		fields("too many words", with("Body", strings.Repeat("x", 1601))),
		fields("count of media", with("NumMedia", "-1")),
		fields("count of media without media", with("NumMedia", "1")),
		fields("more media than counted", two),
		{name: "no signature", body: good.Encode(), signed: good, status: 403, kind: "forged", change: func(q *http.Request) { q.Header.Del("X-Twilio-Signature") }},
		{name: "two signatures", body: good.Encode(), signed: good, status: 403, kind: "forged", change: func(q *http.Request) { q.Header.Add("X-Twilio-Signature", "x") }},
		{name: "webhook rules", body: good.Encode(), signed: good, status: 403, kind: "forged", change: func(q *http.Request) { q.Header.Set("X-Twilio-Webhooks-Signature-Settings", "alg=HMAC-SHA256") }},
		{name: "json", body: "{}", signed: nil, status: 415, kind: "content_type", change: func(q *http.Request) { q.Header.Set("Content-Type", "application/json") }},
		{name: "too big", body: "Body=" + strings.Repeat("x", maxBody), signed: nil, status: 413, kind: "oversized"},
		{name: "not text", body: with("Body", "\xff").Encode(), signed: with("Body", "\xff"), status: 400, kind: "malformed"},
		{name: "broken escapes", body: "Body=%zz", signed: nil, status: 403, kind: "forged"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := &taken{}
			h := newHook(t, got)
			q, _ := c.request(t)
			w := httptest.NewRecorder()
			h.inbound(w, q)
			assert.Equal(t, c.status, w.Code)
			assert.Empty(t, got.texts)
			assert.Equal(t, 1.0, testutil.ToFloat64(h.Count.Inbound.WithLabelValues(c.kind)))
			assert.NotContains(t, w.Body.String(), testAccount.Token)
		})
	}
}

func TestTextIsRead(t *testing.T) {
	got := &taken{}
	f := with("Body", " suct\x0028\r\nline 8 ")
	f.Set("Body", " suct 28\r\nline\x01 8 ")
	f.Set("NumMedia", "1")
	f.Set("MediaUrl0", "https://api.twilio.com/x")
	q, _ := call{body: f.Encode(), signed: f}.request(t)
	w := httptest.NewRecorder()
	newHook(t, got).inbound(w, q)
	require.Len(t, got.texts, 1)
	assert.Equal(t, Text{ID: "SM" + strings.Repeat("1", 32), From: "+15550100", Body: "suct 28 \nline  8", At: testTime, Media: []string{"https://api.twilio.com/x"}}, got.texts[0])
	assert.Equal(t, "text/xml; charset=utf-8", w.Header().Get("Content-Type"))
	assert.Equal(t, `<?xml version="1.0" encoding="UTF-8"?><Response/>`, w.Body.String())
}

func TestCarrierWordsCountOnlyAlone(t *testing.T) {
	for text, want := range map[string]carrier.Act{
		"STOP": carrier.ActStop, " stop ": carrier.ActStop, "Revoke": carrier.ActStop, "OPTOUT": carrier.ActStop, "start": carrier.ActStart, "Yes": carrier.ActStart,
		"help": carrier.ActHelp, "stop the compressor": carrier.ActNone, "yes, grounded": carrier.ActNone, "": carrier.ActNone,
	} {
		assert.Equal(t, want, act("", text), text)
	}
	assert.Equal(t, carrier.ActStop, act("STOP", "arrêt"), "as the provider says")
}

func TestABusyDatabaseIsAnsweredInTime(t *testing.T) {
	got := &taken{block: make(chan struct{})}
	h := newHook(t, got)
	h.Patience = 20 * time.Millisecond
	f := textForm()
	q, _ := call{body: f.Encode(), signed: f}.request(t)
	w := httptest.NewRecorder()
	h.inbound(w, q)
	assert.Equal(t, http.StatusServiceUnavailable, w.Code, "not yet on disk, so not yet taken")
	close(got.block)

	h = newHook(t, &taken{fail: errors.New("disk full")})
	q, _ = call{body: f.Encode(), signed: f}.request(t)
	w = httptest.NewRecorder()
	h.inbound(w, q)
	assert.Equal(t, http.StatusServiceUnavailable, w.Code)
	assert.NotContains(t, w.Body.String(), "disk")
}

func TestStatusReports(t *testing.T) {
	f := url.Values{"MessageSid": {"SM" + strings.Repeat("3", 32)}, "AccountSid": {testSID}, "From": {testAccount.From}, "To": {"+15550100"}, "MessageStatus": {"undelivered"}, "ErrorCode": {"30003"}}
	post := func(f url.Values) (*taken, int) {
		got := &taken{}
		c := call{body: f.Encode(), signed: f, uri: "/sms/status", signedFor: testAccount.PublicURL + "/sms/status"}
		q, _ := c.request(t)
		w := httptest.NewRecorder()
		newHook(t, got).status(w, q)
		return got, w.Code
	}
	got, code := post(f)
	assert.Equal(t, http.StatusOK, code)
	assert.Equal(t, []Status{{ID: f.Get("MessageSid"), To: "+15550100", State: "undelivered", Code: 30003}}, got.reports)
	for key, bad := range map[string]string{"MessageStatus": "lost", "From": "+15550100", "AccountSid": "AC1", "ErrorCode": "x", "MessageSid": "1", "To": "x"} {
		old := f.Get(key)
		f.Set(key, bad)
		got, code := post(f)
		assert.Equal(t, http.StatusBadRequest, code, key)
		assert.Empty(t, got.reports, key)
		f.Set(key, old)
	}
}

func TestAccountIsChecked(t *testing.T) {
	require.NoError(t, testAccount.Check())
	err := Account{SID: "AC1", From: "555", PublicURL: "coldcase", API: "ftp://x"}.Check()
	for _, name := range []string{"TWILIO_ACCOUNT_SID", "TWILIO_AUTH_TOKEN", "COLDCASE_SMS_FROM", "COLDCASE_PUBLIC_URL", "COLDCASE_SMS_API"} {
		assert.ErrorContains(t, err, name, "all mistakes at once")
	}
}

func TestTheTokenIsNeverShown(t *testing.T) {
	var b strings.Builder
	slog.New(slog.NewJSONHandler(&b, nil)).Info("line", "account", testAccount)
	slog.New(slog.NewTextHandler(&b, nil)).Info("line", "account", testAccount)
	b.WriteString(testAccount.String() + testAccount.GoString())
	assert.NotContains(t, b.String(), testAccount.Token)
}

func FuzzForm(f *testing.F) {
	f.Add(textForm().Encode())
	f.Add(bent().Encode())
	f.Add("Body=a&Body=b;c")
	f.Fuzz(func(t *testing.T, body string) {
		values, err := url.ParseQuery(body)
		if err != nil {
			return
		}
		form, err := onceEach(values)
		if err != nil {
			return
		}
		if x, err := testAccount.text(form, testTime); err == nil {
			assert.Regexp(t, messageSID, x.ID)
			assert.Regexp(t, phone, x.From)
			assert.LessOrEqual(t, len([]rune(x.Body)), maxText)
		}
		if s, err := testAccount.status(form); err == nil {
			assert.Positive(t, Rank(s.State))
		}
	})
}
