// Package rehearse is a local stand-in of the SMS provider: the part of its REST
// API that the line uses, signed webhooks, and a page where people type as a phone.
// Tests run the line against it, too.
package rehearse

import (
	"context"
	"crypto/hmac"
	"crypto/sha1" // the provider's signature
	"encoding/base64"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"
)

// Provider keeps every message in memory.
type Provider struct {
	SID, Token string
	Number     string // of the line under rehearsal
	PublicURL  string // what the line believes to be reached at: signed
	Target     string // where it really listens; "" is PublicURL
	Now        func() time.Time
	Client     *http.Client
	// Quiet leaves out the status reports.
	Quiet bool

	mu       sync.Mutex
	trouble  Trouble
	made     int
	messages []*Message // oldest first
	media    map[string][]byte
	silent   map[string]bool // numbers that texted STOP
	reports  sync.WaitGroup
}

// Trouble is asked before each REST request: a status other than 0 is answered with
// that error.
type Trouble func(to string) (status, code int, retryAfter string)

// Spoil puts trouble, nil for none, in place of the one before, also while requests
// come in.
func (p *Provider) Spoil(trouble Trouble) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.trouble = trouble
}

func (p *Provider) spoiled() Trouble {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.trouble
}

// Message is one text, in or out.
type Message struct {
	SID, From, To, Body string
	Inbound             bool
	At                  time.Time
	State               string
	Code                int
	Media               []string // SIDs
	Links               []string // of pictures that the line sends
	callback            string
}

// Sign is the provider's signature of a form posted to a URL.
func Sign(token, target string, form url.Values) string {
	keys := make([]string, 0, len(form))
	for k := range form {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	text := target
	for _, k := range keys {
		text += k + form.Get(k)
	}
	m := hmac.New(sha1.New, []byte(token))
	_, _ = io.WriteString(m, text)
	return base64.StdEncoding.EncodeToString(m.Sum(nil))
}

// All is a copy of what was said, oldest first.
func (p *Provider) All() []Message {
	p.mu.Lock()
	defer p.mu.Unlock()
	all := make([]Message, len(p.messages))
	for i, m := range p.messages {
		all[i] = *m
	}
	return all
}

// sid makes ids that look like the provider's. Callers hold the lock.
func (p *Provider) sid(kind string) string {
	p.made++
	return fmt.Sprintf("%s%032x", kind, p.made)
}

// Keep records a text from a phone as the provider would, without calling the line:
// what the line missed, it has to ask for.
func (p *Provider) Keep(from, body string, pictures ...[]byte) Message {
	p.mu.Lock()
	defer p.mu.Unlock()
	kind := "SM"
	if len(pictures) > 0 {
		kind = "MM"
	}
	m := &Message{SID: p.sid(kind), From: from, To: p.Number, Body: body, Inbound: true, At: p.Now(), State: "received"}
	for _, b := range pictures {
		id := p.sid("ME")
		if p.media == nil {
			p.media = map[string][]byte{}
		}
		p.media[id] = b
		m.Media = append(m.Media, id)
	}
	p.messages = append(p.messages, m)
	p.heed(from, body)
	return *m
}

// Form is the webhook form of a text.
func (p *Provider) Form(m Message) url.Values {
	f := url.Values{
		"MessageSid": {m.SID}, "SmsSid": {m.SID}, "SmsMessageSid": {m.SID}, "AccountSid": {p.SID}, "From": {m.From}, "To": {m.To}, "Body": {m.Body},
		"NumMedia": {fmt.Sprint(len(m.Media))}, "NumSegments": {"1"}, "ApiVersion": {"2010-04-01"}, "SmsStatus": {"received"},
		"FromCity": {""}, "FromState": {""}, "FromZip": {""}, "FromCountry": {"US"},
	}
	for i, id := range m.Media {
		f.Set(fmt.Sprintf("MediaUrl%d", i), "https://api.twilio.com"+p.path("Messages/"+m.SID+"/Media/"+id))
		f.Set(fmt.Sprintf("MediaContentType%d", i), "image/jpeg")
	}
	return f
}

func (p *Provider) path(rest string) string { return "/2010-04-01/Accounts/" + p.SID + "/" + rest }

// Call posts a signed form to a path of the line and tells the status of its answer.
func (p *Provider) Call(ctx context.Context, path string, form url.Values) (int, error) {
	target := p.Target
	if target == "" {
		target = p.PublicURL
	}
	q, err := http.NewRequestWithContext(ctx, http.MethodPost, target+path, strings.NewReader(form.Encode()))
	if err != nil {
		return 0, fmt.Errorf("call the line: %w", err)
	}
	q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	q.Header.Set("X-Twilio-Signature", Sign(p.Token, p.PublicURL+path, form))
	r, err := p.client().Do(q)
	if err != nil {
		return 0, fmt.Errorf("call the line: %w", err)
	}
	_, err = io.Copy(io.Discard, r.Body)
	return r.StatusCode, firstError(err, r.Body.Close())
}

func firstError(all ...error) error {
	for _, err := range all {
		if err != nil {
			return err
		}
	}
	return nil
}

func (p *Provider) client() *http.Client {
	if p.Client == nil {
		return http.DefaultClient
	}
	return p.Client
}

// Text sends a text from a phone to the line.
func (p *Provider) Text(ctx context.Context, from, body string, pictures ...[]byte) (Message, error) {
	m := p.Keep(from, body, pictures...)
	status, err := p.Call(ctx, "/sms/inbound", p.Form(m))
	if err == nil && status != http.StatusOK {
		err = fmt.Errorf("the line answered %d", status)
	}
	return m, err
}

// report tells the line how its text fares.
func (p *Provider) report(m Message, states ...string) {
	if p.Quiet || !strings.HasPrefix(m.callback, p.PublicURL) {
		return
	}
	p.reports.Go(func() {
		ctx, stop := context.WithTimeout(context.Background(), 15*time.Second)
		defer stop()
		for _, s := range states {
			p.mu.Lock()
			for _, kept := range p.messages {
				if kept.SID == m.SID {
					kept.State = s
				}
			}
			p.mu.Unlock()
			f := url.Values{"MessageSid": {m.SID}, "SmsSid": {m.SID}, "AccountSid": {p.SID}, "From": {m.From}, "To": {m.To}, "MessageStatus": {s}, "SmsStatus": {s}, "ApiVersion": {"2010-04-01"}}
			if m.Code != 0 {
				f.Set("ErrorCode", fmt.Sprint(m.Code))
			}
			if _, err := p.Call(ctx, strings.TrimPrefix(m.callback, p.PublicURL), f); err != nil {
				return // as with the provider: a report may be lost
			}
		}
	})
}

// Wait lets the reports under way end.
func (p *Provider) Wait() { p.reports.Wait() }
