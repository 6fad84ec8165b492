// Package team is the team channel: each case is one thread there, teammates talk
// with the tech through it, and leads change rules from it.
package team

import (
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"time"

	"github.com/slack-go/slack"
)

// Source is the team chat's name in the record.
const Source = "slack"

// sourceIn is under what the inbox has the names of what came in.
const sourceIn = "slack/in"

// Account is our app at the provider, and the team's channel.
type Account struct {
	BotToken      string // secret: opens the Web API
	SigningSecret string // secret: signs HTTP events; "" without a public address
	AppToken      string // secret: opens sockets; "" without Socket Mode
	Channel       string // id of the team's channel
	API           string // another base URL of the Web API; "" is the provider's own
}

var (
	botToken  = regexp.MustCompile(`^xoxb-[0-9A-Za-z-]+$`)
	appToken  = regexp.MustCompile(`^xapp-[0-9A-Za-z-]+$`)
	channelID = regexp.MustCompile(`^[CG][0-9A-Z]{2,}$`)
)

// Check tells everything that keeps the team chat from starting. Without a signing
// secret there are no HTTP events: anybody could sign.
func (a Account) Check() error {
	var all []error
	fail := func(bad bool, format string, args ...any) {
		if bad {
			all = append(all, fmt.Errorf(format, args...))
		}
	}
	fail(!botToken.MatchString(a.BotToken), "SLACK_BOT_TOKEN begins with xoxb-; it is %d characters long", len(a.BotToken))
	fail(a.AppToken != "" && !appToken.MatchString(a.AppToken), "SLACK_APP_TOKEN begins with xapp-; it is %d characters long", len(a.AppToken))
	fail(a.AppToken == "" && a.SigningSecret == "", "set SLACK_APP_TOKEN (Socket Mode) or SLACK_SIGNING_SECRET (HTTP events), or nothing can come in")
	fail(!channelID.MatchString(a.Channel), "COLDCASE_TEAM_CHANNEL is the channel's id, like C0123456789, not %q", a.Channel)
	if a.API != "" {
		u, err := url.Parse(a.API)
		fail(err != nil || u.Host == "" || (u.Scheme != "https" && u.Scheme != "http") || u.RawQuery != "" || u.Fragment != "",
			"COLDCASE_SLACK_API is a base URL such as https://chat.example.org, not %q", a.API)
	}
	return errors.Join(all...)
}

// LogValue keeps the secrets out of every log.
func (a Account) LogValue() slog.Value { return slog.StringValue(a.String()) }

// String keeps the secrets out of %v.
func (a Account) String() string {
	return fmt.Sprintf("channel %s, socket mode %t, http events %t", a.Channel, a.AppToken != "", a.SigningSecret != "")
}

// GoString keeps the secrets out of %#v.
func (a Account) GoString() string { return a.String() }

// callWithin is the most that one call of the Web API may take: the library's own
// client waits for ever.
const callWithin = 10 * time.Second

// client makes the provider's client.
func (a Account) client() *slack.Client {
	options := []slack.Option{slack.OptionHTTPClient(&http.Client{Timeout: callWithin})}
	if a.API != "" {
		options = append(options, slack.OptionAPIURL(strings.TrimRight(a.API, "/")+"/api/"))
	}
	if a.AppToken != "" {
		options = append(options, slack.OptionAppLevelToken(a.AppToken))
	}
	return slack.New(a.BotToken, options...)
}
