package team

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/slack-go/slack"
	"github.com/slack-go/slack/slackevents"

	"coldcase/bot/caselog"
)

// Event puts one event of the provider on record, once, and queues it to be worked
// on. Only after that may it be acknowledged. seen: it was there before.
func (t *Team) Event(ctx context.Context, payload []byte) (seen bool, err error) {
	var outer struct {
		Type  string `json:"type"`
		Event wire   `json:"event"`
	}
	if err := json.Unmarshal(payload, &outer); err != nil {
		return false, fmt.Errorf("event: %w", err)
	}
	w := outer.Event
	if outer.Type != slackevents.CallbackEvent {
		return false, nil
	}
	if w.Type != "message" && w.Type != "app_mention" {
		return false, nil
	}
	if e, ok := w.edited(); ok {
		return t.record(ctx, "edit/"+e.Post.Key()+"/"+e.EventTS, e.Post.User, kindEdit, e, t.concerns(e.Post))
	}
	p, ok := w.said()
	if !ok {
		return false, nil
	}
	return t.Said(ctx, p)
}

// Said puts a post on record, whether an event brought it or it was caught up.
func (t *Team) Said(ctx context.Context, p Post) (seen bool, err error) {
	if _, ok := t.people().ByChat(p.User); !ok {
		p.Text, p.Files = mentionsOnly(p.Text), nil // a stranger's words are not kept
	}
	return t.record(ctx, p.Key(), p.User, kindPost, p, t.concerns(p))
}

// mentionsOnly is what tells whether a text was meant for us.
func mentionsOnly(text string) string { return strings.Join(mentioned.FindAllString(text, -1), " ") }

// concerns tells whether a post is meant for us: written to us, naming somebody
// (maybe us), or in the thread of a case. What people say elsewhere is not kept.
func (t *Team) concerns(p Post) func(caselog.Tx) (bool, error) {
	return func(tx caselog.Tx) (bool, error) {
		if p.DM {
			return true, tx.SaveNote(dmNote(p.User), p.Channel)
		}
		if mentioned.MatchString(p.Text) || p.Channel == t.Account.Channel && ruleFile(p.Files) != nil {
			return true, nil
		}
		if p.Thread == "" {
			return false, nil
		}
		_, err := tx.CaseOfThread(p.ThreadKey())
		if errors.Is(err, caselog.ErrNoCase) {
			return false, nil
		}
		return err == nil, err
	}
}

// dmNote keeps where a person writes to us directly: what came there while we were
// away is caught up.
func dmNote(user string) string { return "slack/dm/" + user }

// Press is a button, a choice or the slash command.
type Press struct {
	ID      string `json:"id"`      // trigger_id
	Action  string `json:"action"`  // of a button; "" for the slash command
	Value   string `json:"value"`   // of the button or choice; what followed the command
	User    string `json:"user"`    //
	Channel string `json:"channel"` // where
	Thread  string `json:"thread"`  // of the post with the button
	TS      string `json:"ts"`      // of the post with the button
	At      int64  `json:"at"`      // unix milliseconds: it has no ts of its own
}

// Command puts a slash command on record.
func (t *Team) Command(ctx context.Context, c slack.SlashCommand) (seen bool, err error) {
	if c.TriggerID == "" || c.UserID == "" {
		return false, errors.New("slash command without trigger or user")
	}
	return t.press(ctx, Press{ID: c.TriggerID, Value: c.Text, User: c.UserID, Channel: c.ChannelID})
}

// Action puts pressed buttons on record.
func (t *Team) Action(ctx context.Context, c slack.InteractionCallback) (seen bool, err error) {
	if c.Type != slack.InteractionTypeBlockActions {
		return false, nil
	}
	if c.TriggerID == "" || c.User.ID == "" {
		return false, errors.New("action without trigger or user")
	}
	for i, a := range c.ActionCallback.BlockActions {
		p := Press{ID: fmt.Sprintf("%s/%d", c.TriggerID, i), Action: a.ActionID, Value: a.Value, User: c.User.ID, Channel: c.Channel.ID, TS: c.Container.MessageTs, Thread: c.Container.ThreadTs}
		if a.SelectedOption.Value != "" {
			p.Value = a.SelectedOption.Value
		}
		if p.Thread == "" {
			p.Thread = p.TS
		}
		if seen, err = t.press(ctx, p); err != nil {
			return false, err
		}
	}
	return seen, nil
}

func (t *Team) press(ctx context.Context, p Press) (seen bool, err error) {
	p.At = t.Now().UnixMilli()
	if _, ok := t.people().ByChat(p.User); !ok {
		p.Value = ""
	}
	always := func(caselog.Tx) (bool, error) { return true, nil }
	return t.record(ctx, "press/"+p.ID, p.User, kindPress, p, always)
}

// record writes down that something came and queues it. The inbox keeps its name
// alone: the words lie in the queue, and on a case once they are on one.
func (t *Team) record(ctx context.Context, key, user, kind string, what any, wanted func(caselog.Tx) (bool, error)) (seen bool, err error) {
	payload, err := asText(what)
	if err != nil {
		return false, err
	}
	in := caselog.Inbound{Source: sourceIn, ID: key, Person: "", At: t.Now().UTC()}
	seen, err = t.Store.Receive(ctx, in, func(tx caselog.Tx) error {
		switch ok, err := wanted(tx); {
		case err != nil:
			return err
		case !ok:
			return errNotForUs
		}
		return tx.Enqueue(caselog.Outgoing{Dest: destIn + user, Kind: kind, Payload: payload, Idem: "slack/in/" + key})
	})
	if errors.Is(err, errNotForUs) {
		return false, nil
	}
	return seen, err
}

// errNotForUs leaves no trace: when the thread turns out to be a case's after all,
// the post is caught up.
var errNotForUs = errors.New("not for us")
