package workspace

import (
	"bytes"
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"
)

// Kinds of what the provider brings.
const (
	eventsAPI   = "events_api"
	slashWords  = "slash_commands"
	interactive = "interactive"
)

// Keep records what a person wrote without telling the app: what it missed, it has
// to ask for.
func (w *Workspace) Keep(user, channel, thread, text string, files ...*File) Post {
	w.mu.Lock()
	defer w.mu.Unlock()
	p := &Post{Channel: room(channel), Thread: thread, User: user, Text: text, TS: w.ts()}
	for _, f := range files {
		f.ID, f.Title, f.done = w.id("F"), f.Name, true
		if f.Type == "" {
			f.Type = http.DetectContentType(f.Bytes)
		}
		if w.files == nil {
			w.files = map[string]*File{}
		}
		w.files[f.ID] = f
		p.Files = append(p.Files, f)
	}
	w.posts = append(w.posts, p)
	return *p
}

// Say is something that a person writes; it tells the app, and waits until that has
// acknowledged it or is given up.
func (w *Workspace) Say(user, channel, thread, text string, files ...*File) (Post, error) {
	p := w.Keep(user, channel, thread, text, files...)
	return p, w.Tell(p)
}

// Direct is where a person writes to the app alone.
func Direct(user string) string { return room(user) }

// Tell brings the app the events of a post: a mention comes as two.
func (w *Workspace) Tell(p Post) error {
	w.mu.Lock()
	e := w.resource(&p)
	w.mu.Unlock()
	e["channel"], e["event_ts"], e["channel_type"], e["client_msg_id"] = p.Channel, p.TS, "channel", "client-"+p.TS
	if strings.HasPrefix(p.Channel, "D") {
		e["channel_type"] = "im"
	}
	err := w.event(e)
	if strings.Contains(p.Text, "<@"+BotUser+">") && e["channel_type"] == "channel" {
		again := answer{}
		for k, v := range e {
			again[k] = v
		}
		again["type"] = "app_mention"
		err = errors.Join(err, w.event(again))
	}
	return err
}

func (w *Workspace) event(e answer) error {
	w.mu.Lock()
	payload := answer{
		"token": "unused", "team_id": teamID, "api_app_id": appID, "type": "event_callback", "event_id": w.id("Ev"), "event_time": w.Now().Unix(),
		"event": e, "authorizations": []answer{{"team_id": teamID, "user_id": BotUser, "is_bot": true}},
	}
	w.mu.Unlock()
	return w.Bring(eventsAPI, payload)
}

// Press is a button that a person presses on a post; or a choice, by its value.
func (w *Workspace) Press(user string, on Post, action, value string, choice bool) error {
	w.mu.Lock()
	trigger := w.id("Tr")
	w.mu.Unlock()
	a := answer{"type": "button", "action_id": action, "block_id": "b", "value": value, "action_ts": on.TS}
	if choice {
		a = answer{"type": "static_select", "action_id": action, "block_id": "b", "selected_option": answer{"value": value, "text": answer{"type": "plain_text", "text": value}}, "action_ts": on.TS}
	}
	container := answer{"type": "message", "message_ts": on.TS, "channel_id": on.Channel, "is_ephemeral": on.Only != ""}
	if on.Thread != "" {
		container["thread_ts"] = on.Thread
	}
	return w.Bring(interactive, answer{
		"type": "block_actions", "team": answer{"id": teamID}, "user": answer{"id": user}, "api_app_id": appID, "token": "unused",
		"trigger_id": trigger, "container": container, "channel": answer{"id": on.Channel}, "actions": []answer{a}, "response_url": "",
	})
}

// Slash is the slash command.
func (w *Workspace) Slash(user, channel, text string) error {
	w.mu.Lock()
	trigger := w.id("Tr")
	w.mu.Unlock()
	return w.Bring(slashWords, answer{
		"command": "/coldcase", "text": text, "user_id": user, "channel_id": room(channel), "trigger_id": trigger, "team_id": teamID, "api_app_id": appID, "response_url": "", "token": "unused",
	})
}

// tries of one event before the provider gives it up; the real ones lie minutes
// apart.
const tries = 4

// Bring brings something to the app: over a socket when one is open, else as a
// signed request; again when it is not acknowledged in time.
func (w *Workspace) Bring(kind string, payload answer) error {
	body, err := json.Marshal(payload)
	if err != nil {
		return fmt.Errorf("event: %w", err)
	}
	w.mu.Lock()
	envelope := w.id("envelope-")
	w.mu.Unlock()
	for try := range tries {
		if w.bringOnce(kind, envelope, body, try) {
			return nil
		}
	}
	return fmt.Errorf("%s was not acknowledged", kind)
}

// ackWithin is how long the provider waits for an acknowledgement.
const ackWithin = 3 * time.Second

func (w *Workspace) bringOnce(kind, envelope string, body []byte, try int) bool {
	if w.Target != "" {
		return w.post(kind, body, try)
	}
	return w.deliver(envelope, func(s *socket) answer {
		return answer{"envelope_id": envelope, "type": kind, "accepts_response_payload": kind == slashWords, "retry_attempt": try, "retry_reason": "", "payload": json.RawMessage(s.files(body))}
	}, time.After(ackWithin))
}

var paths = map[string]string{eventsAPI: "/slack/events", slashWords: "/slack/commands", interactive: "/slack/actions"}

// post brings something as a signed request.
func (w *Workspace) post(kind string, body []byte, try int) bool {
	ctx, stop := context.WithTimeout(context.Background(), ackWithin)
	defer stop()
	body = withHost(body, w.FilesAt())
	contentType := "application/json"
	if kind != eventsAPI {
		contentType, body = "application/x-www-form-urlencoded", encoded(kind, body)
	}
	status, _, err := w.Request(ctx, paths[kind], contentType, body, w.Now(), w.Secret, try)
	return err == nil && status == http.StatusOK
}

func encoded(kind string, body []byte) []byte {
	if kind == interactive {
		return []byte(url.Values{"payload": {string(body)}}.Encode())
	}
	var fields map[string]string
	_ = json.Unmarshal(body, &fields) // made of strings just now
	v := url.Values{}
	for k, text := range fields {
		v.Set(k, text)
	}
	return []byte(v.Encode())
}

// Sign is the provider's signature of a body at a time.
func Sign(secret, timestamp string, body []byte) string {
	m := hmac.New(sha256.New, []byte(secret))
	_, _ = fmt.Fprintf(m, "v0:%s:%s", timestamp, body)
	return "v0=" + hex.EncodeToString(m.Sum(nil))
}

// Request sends a signed request to the app and tells how it answered.
func (w *Workspace) Request(ctx context.Context, path, contentType string, body []byte, at time.Time, secret string, try int) (status int, said string, err error) {
	q, err := http.NewRequestWithContext(ctx, http.MethodPost, w.Target+path, bytes.NewReader(body))
	if err != nil {
		return 0, "", fmt.Errorf("call the app: %w", err)
	}
	timestamp := strconv.FormatInt(at.Unix(), 10)
	q.Header.Set("Content-Type", contentType)
	q.Header.Set("X-Slack-Request-Timestamp", timestamp)
	q.Header.Set("X-Slack-Signature", Sign(secret, timestamp, body))
	if try > 0 {
		q.Header.Set("X-Slack-Retry-Num", strconv.Itoa(try))
		q.Header.Set("X-Slack-Retry-Reason", "http_timeout")
	}
	r, err := w.client().Do(q)
	if err != nil {
		return 0, "", fmt.Errorf("call the app: %w", err)
	}
	b, err := io.ReadAll(r.Body)
	return r.StatusCode, string(b), errors.Join(err, r.Body.Close())
}
