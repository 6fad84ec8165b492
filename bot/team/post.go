package team

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Post is one message of a person in the team chat.
type Post struct {
	Channel string `json:"channel"`
	TS      string `json:"ts"`               // names it in its channel
	Thread  string `json:"thread,omitempty"` // ts of the thread's root
	User    string `json:"user"`
	Text    string `json:"text,omitempty"` // as the provider escaped it
	DM      bool   `json:"dm,omitempty"`
	Files   []File `json:"files,omitempty"`
}

// File is what came with a post, still to be fetched.
type File struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Type string `json:"mimetype"`
	Size int    `json:"size"`
	URL  string `json:"url_private"`
}

// Key names a post whichever way it came: one mention arrives as two events with
// two ids, and is listed once more when we catch up.
func (p Post) Key() string { return p.Channel + "/" + p.TS }

// ThreadKey names the thread that it stands in; "" when it stands in none.
func (p Post) ThreadKey() string {
	if p.Thread == "" {
		return ""
	}
	return p.Channel + "/" + p.Thread
}

// At is when it was written.
func (p Post) At() time.Time { return timeOf(p.TS) }

// timeOf a ts: seconds, a point, and what tells two posts of one second apart.
func timeOf(ts string) time.Time {
	seconds, micros, _ := strings.Cut(ts, ".")
	s, err := strconv.ParseInt(seconds, 10, 64)
	if err != nil {
		return time.Time{}
	}
	us, _ := strconv.ParseInt((micros + "000000")[:6], 10, 64) // none: a whole second
	return time.Unix(s, us*1000).UTC()
}

func tsOf(at time.Time) string { return fmt.Sprintf("%d.%06d", at.Unix(), at.Nanosecond()/1000) }

// wire is a message as the provider writes it, in events and in lists.
type wire struct {
	Type        string `json:"type"`
	Subtype     string `json:"subtype"`
	Channel     string `json:"channel"`
	ChannelType string `json:"channel_type"`
	TS          string `json:"ts"`
	Thread      string `json:"thread_ts"`
	User        string `json:"user"`
	BotID       string `json:"bot_id"`
	Text        string `json:"text"`
	Files       []File `json:"files"`
	EventTS     string `json:"event_ts"`
	Message     *wire  `json:"message"`          // of message_changed
	Previous    *wire  `json:"previous_message"` // of message_changed and message_deleted
	LatestReply string `json:"latest_reply"`     // of a thread's root in a list
}

// said makes a post of what a person wrote. Joins, topics, other apps and our own
// posts are none: we never answer ourselves or other bots.
func (w wire) said() (Post, bool) {
	switch w.Subtype {
	case "", "file_share", "thread_broadcast":
	default:
		return Post{}, false
	}
	if w.BotID != "" || w.User == "" || w.Channel == "" || timeOf(w.TS).IsZero() {
		return Post{}, false
	}
	p := Post{Channel: w.Channel, TS: w.TS, Thread: w.Thread, User: w.User, Text: w.Text, DM: w.ChannelType == "im" || strings.HasPrefix(w.Channel, "D"), Files: w.Files}
	if p.Thread == p.TS {
		p.Thread = ""
	}
	return p, true
}

// Edit is a post that its writer changed or took away. What was read of it stays.
type Edit struct {
	Post    Post   `json:"post"` // the new text; "" when taken away
	Before  string `json:"before"`
	EventTS string `json:"event_ts"`
}

func (w wire) edited() (Edit, bool) {
	before := w.Previous
	if before == nil || before.BotID != "" || before.User == "" {
		return Edit{}, false
	}
	after := *before
	after.Text = ""
	if w.Subtype == "message_changed" {
		if w.Message == nil || w.Message.Text == before.Text {
			return Edit{}, false // a link was unfolded, or a reply counted
		}
		after.Text = w.Message.Text
	}
	after.Channel, after.ChannelType, after.Subtype = w.Channel, w.ChannelType, ""
	p, ok := after.said()
	return Edit{Post: p, Before: before.Text, EventTS: w.EventTS}, ok
}

func asText(v any) (string, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return "", fmt.Errorf("team chat: %w", err)
	}
	return string(text), nil
}
