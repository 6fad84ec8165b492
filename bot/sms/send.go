package sms

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"github.com/twilio/twilio-go/client"
	api "github.com/twilio/twilio-go/rest/api/v2010"

	"coldcase/refdata/carrier"
)

// Client speaks to the provider's REST API.
type Client struct {
	account Account
	base    *url.URL
	next    http.RoundTripper
}

// sendWithin is the most that one call may take.
const sendWithin = 10 * time.Second

// NewClient makes a client; next is how requests travel (nil: the usual way).
func NewClient(a Account, next http.RoundTripper) (*Client, error) {
	base, err := a.apiBase()
	if err != nil {
		return nil, err
	}
	if next == nil {
		next = http.DefaultTransport
	}
	return &Client{account: a, base: base, next: next}, nil
}

// SendError is a message that was not taken, and what to do.
type SendError struct {
	Do     carrier.Do
	Code   int           // the provider's, 0 when it gave none
	Status int           // HTTP, 0 when nobody answered
	After  time.Duration // Retry-After, 0 when none
	Maybe  bool          // it may have been sent all the same
	Err    error
}

func (e *SendError) Error() string {
	return fmt.Sprintf("send a text: code %d, status %d, %s: %v", e.Code, e.Status, e.Do, e.Err)
}

func (e *SendError) Unwrap() error { return e.Err }

// Send hands a text to the provider, which reports on it at the status webhook; the
// provider fetches the pictures from their public addresses.
func (c *Client) Send(ctx context.Context, to, body string, pictures ...string) (id string, err error) {
	t := &trip{ctx: ctx, base: c.base, next: c.next}
	p := &api.CreateMessageParams{}
	p.SetTo(to).SetFrom(c.account.From).SetBody(body).SetStatusCallback(c.account.publicURL("/sms/status"))
	if len(pictures) > 0 {
		p.SetMediaUrl(pictures)
	}
	m, err := c.service(t).CreateMessage(p)
	if err != nil {
		return "", t.sendError(err)
	}
	if m.Sid == nil || !messageSID.MatchString(*m.Sid) {
		return "", &SendError{Do: carrier.Later, Status: t.status, Maybe: true, Err: errors.New("the provider named no message")}
	}
	return *m.Sid, nil
}

// service is the provider's client for one call, so that the call's context and
// its Retry-After travel with it.
func (c *Client) service(t *trip) *api.ApiService {
	base := &client.Client{
		Credentials: client.NewCredentials(c.account.SID, c.account.Token),
		HTTPClient: &http.Client{
			Transport: t, Timeout: sendWithin,
			CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		},
	}
	base.SetAccountSid(c.account.SID)
	return api.NewApiService(client.NewRequestHandler(base))
}

// trip sends one call's requests to our base URL. Scheme and host are set here
// since the client builds them itself, from its environment among others.
type trip struct {
	ctx    context.Context
	base   *url.URL
	next   http.RoundTripper
	status int
	after  time.Duration
}

func (t *trip) RoundTrip(q *http.Request) (*http.Response, error) {
	ctx, stop := context.WithCancel(q.Context())
	defer context.AfterFunc(t.ctx, stop)()
	q = q.Clone(ctx)
	q.URL.Scheme, q.URL.Host, q.Host = t.base.Scheme, t.base.Host, t.base.Host
	r, err := t.next.RoundTrip(q)
	if err != nil {
		stop()
		return nil, err
	}
	t.status, t.after = r.StatusCode, retryAfter(r.Header.Get("Retry-After"), time.Now())
	r.Body = &endOfTrip{r.Body, stop}
	return r, nil
}

// maxPause is the longest that a provider can hold a row back by Retry-After.
const maxPause = 10 * time.Minute

// retryAfter reads seconds or a date; 0 when there is none.
func retryAfter(text string, now time.Time) time.Duration {
	var d time.Duration
	if n, err := strconv.Atoi(text); err == nil {
		d = time.Duration(min(max(n, 0), int(maxPause/time.Second))) * time.Second
	} else if at, err := http.ParseTime(text); err == nil {
		d = at.Sub(now)
	}
	return min(max(d, 0), maxPause)
}

// sendError turns what the provider's client returned into what to do. Anything
// that is no plain answer may have been sent.
func (t *trip) sendError(err error) *SendError {
	e := &SendError{Do: carrier.Later, Status: t.status, After: t.after, Err: err}
	var said *client.TwilioRestError
	if !errors.As(err, &said) {
		e.Maybe = true
		if t.status == http.StatusUnauthorized {
			e.Do, e.Maybe = carrier.Stop, false
		}
		return e
	}
	e.Code = said.Code
	if e.Status == 0 {
		e.Status = said.Status
	}
	switch known, ok := carrier.CodeOf(said.Code); {
	case ok:
		e.Do = known.Do
	case e.Status == http.StatusTooManyRequests, e.Status >= 500:
	case e.Status == http.StatusUnauthorized:
		e.Do = carrier.Stop
	default:
		e.Do = carrier.Alarm
	}
	e.Maybe = e.Status >= 500
	return e
}

// endOfTrip frees the call's context when its answer was read.
type endOfTrip struct {
	io.ReadCloser
	stop context.CancelFunc
}

func (e *endOfTrip) Close() error {
	defer e.stop()
	return e.ReadCloser.Close()
}
