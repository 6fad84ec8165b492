// Package sms is the phone line: it takes the provider's webhooks, sends through
// its REST API, and catches up on what came while we were away.
package sms

import (
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"regexp"
	"strings"
)

// Account is the line as the provider knows it, and where the outside reaches us.
type Account struct {
	SID       string
	Token     string // secret: signs webhooks, opens the REST API
	From      string // our number
	PublicURL string // COLDCASE_PUBLIC_URL
	API       string // another base URL of the REST API; "" is the provider's own
}

const providerAPI = "https://api.twilio.com"

var (
	accountSID = regexp.MustCompile(`^AC[0-9a-f]{32}$`)
	phone      = regexp.MustCompile(`^\+[1-9]\d{6,14}$`)
	messageSID = regexp.MustCompile(`^(SM|MM)[0-9a-f]{32}$`)
	// The provider's client refuses a token with other characters.
	tokenText = regexp.MustCompile(`^[0-9A-Za-z]+$`)
)

// Check tells everything that keeps the line from starting. An empty token would
// let anybody sign, so there is no line without one.
func (a Account) Check() error {
	var all []error
	fail := func(bad bool, format string, args ...any) {
		if bad {
			all = append(all, fmt.Errorf(format, args...))
		}
	}
	fail(!accountSID.MatchString(a.SID), "TWILIO_ACCOUNT_SID is AC and 32 hex digits; it is %d characters long", len(a.SID))
	fail(a.Token == "", "TWILIO_AUTH_TOKEN is empty: anybody could sign")
	fail(a.Token != "" && !tokenText.MatchString(a.Token), "TWILIO_AUTH_TOKEN has characters that no token has")
	fail(!phone.MatchString(a.From), "COLDCASE_SMS_FROM is our number as +15550100, not %q", a.From)
	for name, text := range map[string]string{"COLDCASE_PUBLIC_URL": a.PublicURL, "COLDCASE_SMS_API": a.API} {
		if text == "" && name == "COLDCASE_SMS_API" {
			continue
		}
		u, err := url.Parse(text)
		fail(err != nil || u.Host == "" || (u.Scheme != "https" && u.Scheme != "http") || u.RawQuery != "" || u.Fragment != "",
			"%s is a base URL such as https://coldcase.example.org, not %q", name, text)
	}
	return errors.Join(all...)
}

// LogValue keeps the token out of every log.
func (a Account) LogValue() slog.Value {
	return slog.GroupValue(slog.String("account", a.SID), slog.String("from", a.From), slog.String("public_url", a.PublicURL))
}

// String keeps the token out of %v.
func (a Account) String() string { return "account " + a.SID + " at " + a.From }

// GoString keeps the token out of %#v.
func (a Account) GoString() string { return a.String() }

func (a Account) publicURL(requestURI string) string {
	return strings.TrimRight(a.PublicURL, "/") + requestURI
}

func (a Account) apiBase() (*url.URL, error) {
	base := a.API
	if base == "" {
		base = providerAPI
	}
	u, err := url.Parse(base)
	if err != nil {
		return nil, fmt.Errorf("base URL of the SMS API: %w", err)
	}
	return u, nil
}
