package team

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"
	"strings"
	"sync/atomic"
	"time"

	"github.com/slack-go/slack"

	"coldcase/bot/caselog"
)

// GivenUp is a row that will never go.
type GivenUp struct{ Err error }

func (g *GivenUp) Error() string { return g.Err.Error() }
func (g *GivenUp) Unwrap() error { return g.Err }

// Later is a row that waits: the provider or the casebook is not reached, the provider
// asks to be left alone, or keeps us out of the channel. It is never given up for that.
type Later struct {
	After time.Duration
	Err   error
}

func (l *Later) Error() string { return l.Err.Error() }
func (l *Later) Unwrap() error { return l.Err }

// Deliver does one row. also belongs in the transaction that marks it as done,
// pause is how long the channel is to be left alone.
func (t *Team) Deliver(ctx context.Context, o caselog.Outgoing) (also func(caselog.Tx) error, pause time.Duration, err error) {
	also, posted, err := t.deliver(ctx, o)
	err = t.sorted(o, err)
	t.Count.sent(o.Kind, err)
	if posted {
		pause = t.Pause
	}
	return also, pause, err
}

// deliver does a row by its kind. One that panics is given up: it would take the
// process down at each try.
func (t *Team) deliver(ctx context.Context, o caselog.Outgoing) (also func(caselog.Tx) error, posted bool, err error) {
	defer func() {
		if p := recover(); p != nil {
			t.Log.Error("panic at a row of the team chat", "row", o.Idem, "panic", p, "stack", string(debug.Stack()))
			err = &GivenUp{Err: fmt.Errorf("panic: %v", p)}
		}
	}()
	switch o.Kind {
	case kindCard:
		return t.card(ctx, o)
	case kindLine:
		return t.line(ctx, o)
	case kindSay:
		return t.speak(ctx, o)
	case kindDrawing:
		posted, err = t.drawing(ctx, o)
		return nil, posted, err
	case kindPhoto:
		also, err = t.fetchPhoto(ctx, o)
		return also, false, err
	}
	return nil, false, t.work(ctx, o)
}

// OnDead says on its case that a row was given up. It is called in the transaction
// that gives it up.
func (t *Team) OnDead(tx caselog.Tx, o caselog.Outgoing, err error) error {
	if o.Case == 0 || o.Kind == kindCard {
		return nil // the log and the metric tell
	}
	what := "Not shown in the team's thread: "
	if o.Kind == kindPhoto {
		what = "A photo from the team's thread was not kept: "
	}
	return tx.Append(o.Case, []caselog.Entry{{At: t.Now(), Kind: caselog.KindReply, By: us, Channel: Source, Text: what + reasonOf(err) + "."}})
}

// reasonOf is a reason in words that hold no secret and no address.
func reasonOf(err error) string {
	var p *photoError
	if errors.As(err, &p) {
		return p.why
	}
	if code := codeOf(err); code != "" {
		return "the provider says " + code
	}
	return "our end could not do it"
}

// trouble is why the provider keeps us out, for /readyz.
type trouble struct{ why atomic.Pointer[string] }

// Ready is nil unless the provider keeps us out.
func (t *Team) Ready() error {
	if why := t.barred.why.Load(); why != nil {
		return errors.New(*why)
	}
	if t.Account.AppToken != "" && t.Account.SigningSecret == "" && t.plugged.Load() == 0 {
		return errors.New("no socket to the provider is open")
	}
	return nil
}

// keptOut are errors that somebody at the provider's settings has to mend; nothing
// is lost meanwhile.
var keptOut = map[string]string{
	"invalid_auth":      "the provider refuses SLACK_BOT_TOKEN",
	"not_authed":        "the provider refuses SLACK_BOT_TOKEN",
	"account_inactive":  "the provider refuses SLACK_BOT_TOKEN: the app was removed",
	"token_revoked":     "SLACK_BOT_TOKEN was revoked",
	"token_expired":     "SLACK_BOT_TOKEN has expired",
	"missing_scope":     "the app lacks a scope: install it again from the manifest",
	"not_in_channel":    "the app is not in the team's channel: invite it",
	"channel_not_found": "the app can't see COLDCASE_TEAM_CHANNEL: check the id and invite it",
	"is_archived":       "the team's channel is archived",
}

// Codes that mean: later.
var passing = map[string]bool{
	"ratelimited": true, "rate_limited": true, "internal_error": true, "fatal_error": true,
	"service_unavailable": true, "request_timeout": true, "team_added_to_org": true,
}

const (
	soonest     = time.Second // longer than triedBefore takes for one try
	whileAway   = time.Minute // at the most between tries at a provider that is not reached
	whileKept   = 30 * time.Second
	longestWait = 10 * time.Minute
)

// away is how long to wait for a provider that is not reached: the longer it is
// away, the longer.
func (t *Team) away(o caselog.Outgoing) time.Duration {
	return min(max(t.Now().Sub(o.First), soonest), whileAway)
}

// sorted tells what becomes of a row by what went wrong.
func (t *Team) sorted(o caselog.Outgoing, err error) error {
	var gone *GivenUp
	var limited *slack.RateLimitedError
	var status slack.StatusCodeError
	code := codeOf(err)
	switch {
	case err == nil:
		t.barred.why.Store(nil)
		return nil
	case errors.As(err, &gone):
		return err
	case errors.As(err, &limited):
		return &Later{After: min(max(limited.RetryAfter, soonest), longestWait), Err: err}
	case keptOut[code] != "":
		why := keptOut[code]
		t.barred.why.Store(&why)
		return &Later{After: whileKept, Err: err}
	case passing[code]:
		return &Later{After: t.away(o), Err: err}
	case code != "":
		return &GivenUp{Err: err}
	case errors.As(err, &status) && status.Code < http.StatusInternalServerError && status.Code != http.StatusTooManyRequests:
		return &GivenUp{Err: err}
	case errors.Is(err, caselog.ErrAway), unreached(err):
		return &Later{After: t.away(o), Err: err}
	}
	return err // our own trouble: tried again, in the end given up
}

// codeOf is the provider's word for what went wrong, "" when it gave none.
func codeOf(err error) string {
	var said slack.SlackErrorResponse
	if errors.As(err, &said) {
		return said.Err
	}
	return ""
}

// unreached: no answer, or none that means anything.
func unreached(err error) bool {
	var net interface{ Timeout() bool }
	var status slack.StatusCodeError
	return errors.As(err, &net) || errors.As(err, &status) || errors.Is(err, context.DeadlineExceeded) ||
		strings.Contains(err.Error(), "connection") || strings.Contains(err.Error(), "EOF") || strings.Contains(err.Error(), "invalid character")
}

// eventType names our posts' metadata, by which we know them again.
const eventType = "coldcase_post"

func metadata(idem string) slack.MsgOption {
	return slack.MsgOptionMetadata(slack.SlackMetadata{EventType: eventType, EventPayload: map[string]any{"outbox_id": idem}})
}

// triedBefore: an earlier try whose answer was lost may have posted.
func (t *Team) triedBefore(o caselog.Outgoing) bool {
	const atOnce = time.Second // between the lease and the first try
	return o.Attempt > 1 || !o.First.IsZero() && t.Now().Sub(o.First) > atOnce
}

// once posts, unless an earlier try did. Posting has no idempotency key at the
// provider: we look for our own mark.
func (t *Team) once(ctx context.Context, o caselog.Outgoing, channel, thread string, m message) (ts string, err error) {
	if t.triedBefore(o) {
		ts, err := t.postedBefore(ctx, o, channel, thread)
		if err != nil || ts != "" {
			return ts, err
		}
	}
	return t.send(ctx, o.Idem, channel, thread, m)
}

// message is a post in the making.
type message struct {
	text   string // escaped
	blocks []slack.Block
	alarm  bool
}

func (m message) options() []slack.MsgOption {
	return []slack.MsgOption{
		slack.MsgOptionText(m.text, false), slack.MsgOptionBlocks(m.blocks...),
		slack.MsgOptionDisableLinkUnfurl(), slack.MsgOptionDisableMediaUnfurl(),
	}
}

func (t *Team) send(ctx context.Context, idem, channel, thread string, m message) (ts string, err error) {
	options := append(m.options(), metadata(idem))
	if thread != "" {
		options = append(options, slack.MsgOptionTS(thread))
		if m.alarm {
			options = append(options, slack.MsgOptionBroadcast())
		}
	}
	_, ts, err = t.client.PostMessageContext(ctx, channel, options...)
	if code := codeOf(err); code == "invalid_blocks" || code == "invalid_blocks_format" || code == "msg_blocks_too_long" {
		t.Log.Error("the provider does not take our blocks; sent as plain text", "row", idem, "err", err)
		m.blocks = nil
		_, ts, err = t.client.PostMessageContext(ctx, channel, append(m.options(), options[4:]...)...)
	}
	if err != nil {
		return "", fmt.Errorf("post: %w", err)
	}
	return ts, nil
}

// postedBefore looks for a post of ours by its mark, in its thread or channel.
func (t *Team) postedBefore(ctx context.Context, o caselog.Outgoing, channel, thread string) (ts string, err error) {
	const clocks = time.Minute // ours and the provider's may differ
	oldest := tsOf(o.First.Add(-clocks))
	var found []slack.Message
	if thread != "" {
		found, err = t.replies(ctx, channel, thread, oldest)
	} else {
		found, err = t.history(ctx, channel, oldest)
	}
	if err != nil {
		return "", fmt.Errorf("look for an earlier try: %w", err)
	}
	for _, m := range found {
		if m.Metadata.EventType == eventType && m.Metadata.EventPayload["outbox_id"] == o.Idem {
			return m.Timestamp, nil
		}
	}
	return "", nil
}

const page = 200 // of a list; the provider advises no more

func (t *Team) replies(ctx context.Context, channel, thread, oldest string) (all []slack.Message, err error) {
	p := &slack.GetConversationRepliesParameters{ChannelID: channel, Timestamp: thread, Oldest: oldest, Inclusive: true, Limit: page, IncludeAllMetadata: true}
	for {
		some, more, next, err := t.client.GetConversationRepliesContext(ctx, p)
		if err != nil {
			return nil, fmt.Errorf("list a thread: %w", err)
		}
		all = append(all, some...)
		if p.Cursor = next; !more || next == "" {
			return all, nil
		}
	}
}

// history lists a channel, newest first.
func (t *Team) history(ctx context.Context, channel, oldest string) (all []slack.Message, err error) {
	p := &slack.GetConversationHistoryParameters{ChannelID: channel, Oldest: oldest, Inclusive: true, Limit: page, IncludeAllMetadata: true}
	for {
		some, err := t.client.GetConversationHistoryContext(ctx, p)
		if err != nil {
			return nil, fmt.Errorf("list a channel: %w", err)
		}
		all = append(all, some.Messages...)
		if p.Cursor = some.ResponseMetaData.NextCursor; !some.HasMore || p.Cursor == "" {
			return all, nil
		}
	}
}

func payloadOf(o caselog.Outgoing, into any) error {
	if err := json.Unmarshal([]byte(o.Payload), into); err != nil {
		return &GivenUp{Err: fmt.Errorf("outbox row %d: %w", o.ID, err)}
	}
	return nil
}
