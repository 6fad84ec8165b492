package team

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/url"
	"time"

	"github.com/slack-go/slack"
	"github.com/slack-go/slack/slackevents"
)

// answerWithin leaves room in the provider's 3 s.
const answerWithin = 2 * time.Second

// maxEvent is far above what the provider sends: its longest message is 40,000
// characters.
const maxEvent = 1 << 20

// refusal is a request that was not taken.
type refusal struct {
	status    int
	kind, why string // the why never holds what the request said
}

func (r *refusal) Error() string { return r.kind + ": " + r.why }

// Routes hangs the signed HTTP events on a mux; there are none without a secret.
func (t *Team) Routes(mux *http.ServeMux) {
	if t.Account.SigningSecret == "" {
		return
	}
	mux.HandleFunc("POST /slack/events", t.hook("application/json", t.httpEvent))
	mux.HandleFunc("POST /slack/commands", t.hook(formType, t.httpCommand))
	mux.HandleFunc("POST /slack/actions", t.hook(formType, t.httpAction))
}

const formType = "application/x-www-form-urlencoded"

// hook checks a request and answers it once it is on record.
func (t *Team) hook(kind string, take func(ctx context.Context, body []byte) (seen bool, say any, err error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		from := time.Now()
		ctx, stop := context.WithTimeout(context.WithoutCancel(r.Context()), answerWithin)
		defer stop()
		body, err := t.signed(w, r, kind)
		var seen bool
		var say any
		if err == nil {
			seen, say, err = take(ctx, body)
		}
		t.Count.Answer.Observe(time.Since(from).Seconds())
		var no *refusal
		switch {
		case errors.As(err, &no):
			t.counted("http", no.kind)
			t.Log.Warn("team chat: request refused", "path", r.URL.Path, "kind", no.kind, "why", no.why)
			http.Error(w, http.StatusText(no.status), no.status)
		case err != nil:
			t.counted("http", "error")
			t.Log.Error("team chat: event not recorded; it comes again", "path", r.URL.Path, "err", err)
			http.Error(w, http.StatusText(http.StatusServiceUnavailable), http.StatusServiceUnavailable)
		default:
			t.counted("http", map[bool]string{true: "replayed", false: "taken"}[seen])
			write(w, say)
		}
	}
}

func (t *Team) counted(way, result string) { t.Count.Inbound.WithLabelValues(way, result).Inc() }

func write(w http.ResponseWriter, say any) {
	if say == nil {
		return // 200 and nothing else
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	_ = json.NewEncoder(w).Encode(say) // the provider has gone when this fails
}

// signed reads a request's body and lets it through only when the provider signed
// it within the last five minutes.
func (t *Team) signed(w http.ResponseWriter, r *http.Request, kind string) ([]byte, error) {
	if got, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || got != kind {
		return nil, &refusal{http.StatusUnsupportedMediaType, "content_type", "it has to be " + kind}
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxEvent))
	var big *http.MaxBytesError
	if errors.As(err, &big) {
		return nil, &refusal{http.StatusRequestEntityTooLarge, "oversized", fmt.Sprintf("over %d bytes", maxEvent)}
	}
	if err != nil {
		return nil, &refusal{http.StatusBadRequest, "malformed", "the body broke off"}
	}
	if len(r.Header.Values("X-Slack-Signature")) != 1 || len(r.Header.Values("X-Slack-Request-Timestamp")) != 1 {
		return nil, &refusal{http.StatusForbidden, "forged", "not exactly one signature and timestamp"}
	}
	check, err := slack.NewSecretsVerifier(r.Header, t.Account.SigningSecret)
	if errors.Is(err, slack.ErrExpiredTimestamp) {
		return nil, &refusal{http.StatusForbidden, "old", "signed more than five minutes ago or ahead"}
	}
	if err == nil {
		if _, err = check.Write(body); err == nil {
			err = check.Ensure()
		}
	}
	if err != nil {
		return nil, &refusal{http.StatusForbidden, "forged", "the signature does not fit"}
	}
	return body, nil
}

func (t *Team) httpEvent(ctx context.Context, body []byte) (seen bool, say any, err error) {
	var probe struct{ Type, Challenge string }
	if err := json.Unmarshal(body, &probe); err != nil {
		return false, nil, &refusal{http.StatusBadRequest, "malformed", "no event in it"}
	}
	if probe.Type == slackevents.URLVerification {
		return false, map[string]string{"challenge": probe.Challenge}, nil
	}
	seen, err = t.Event(ctx, body)
	return seen, nil, err
}

func (t *Team) httpCommand(ctx context.Context, body []byte) (seen bool, say any, err error) {
	f, err := url.ParseQuery(string(body))
	if err != nil {
		return false, nil, &refusal{http.StatusBadRequest, "malformed", "the form can't be read"}
	}
	c := slack.SlashCommand{TriggerID: f.Get("trigger_id"), UserID: f.Get("user_id"), ChannelID: f.Get("channel_id"), Text: f.Get("text")}
	seen, err = t.Command(ctx, c)
	return seen, onIt(), err
}

func (t *Team) httpAction(ctx context.Context, body []byte) (seen bool, say any, err error) {
	f, err := url.ParseQuery(string(body))
	if err != nil {
		return false, nil, &refusal{http.StatusBadRequest, "malformed", "the form can't be read"}
	}
	var c slack.InteractionCallback
	if err := json.Unmarshal([]byte(f.Get("payload")), &c); err != nil {
		return false, nil, &refusal{http.StatusBadRequest, "malformed", "no action in it"}
	}
	seen, err = t.Action(ctx, c)
	return seen, nil, err
}

// onIt is what the slash command's caller sees at once.
func onIt() map[string]string {
	return map[string]string{"response_type": "ephemeral", "text": "On it."}
}
