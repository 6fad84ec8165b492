package team

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/slack-go/slack"

	"coldcase/bot/caselog"
)

// stillWarm is for how long after its last message a case's thread is looked through
// for what was missed.
const stillWarm = 14 * 24 * time.Hour

// Since lists what people wrote after a time in the team's channel, in the threads
// of cases, and directly to us; oldest first. The list of the channel's roots tells
// which threads have something new; only older ones are looked through one by one.
func (t *Team) Since(ctx context.Context, after time.Time) ([]Post, error) {
	threads, directs, err := t.places(ctx, after)
	if err != nil {
		return nil, err
	}
	var all []Post
	add := func(found []slack.Message, channel string) {
		for _, m := range found {
			if p, ok := postOf(m, channel); ok && !p.At().Before(after) {
				all = append(all, p)
			}
		}
	}
	for _, channel := range append([]string{t.Account.Channel}, directs...) {
		from := after
		if channel == t.Account.Channel {
			from = after.Add(-stillWarm)
		}
		found, err := t.listed(ctx, func() ([]slack.Message, error) { return t.history(ctx, channel, tsOf(from)) })
		if err != nil {
			return nil, err
		}
		add(found, channel)
		for _, m := range found {
			delete(threads, channel+"/"+m.Timestamp)
			if m.LatestReply != "" && !timeOf(m.LatestReply).Before(after) {
				threads[channel+"/"+m.Timestamp] = true
			}
		}
	}
	for _, thread := range slices.Sorted(maps.Keys(threads)) {
		channel, ts, _ := strings.Cut(thread, "/")
		found, err := t.listed(ctx, func() ([]slack.Message, error) { return t.replies(ctx, channel, ts, tsOf(after)) })
		if codeOf(err) == "thread_not_found" {
			continue // its root was taken away
		}
		if err != nil {
			return nil, err
		}
		add(found, channel)
	}
	slices.SortStableFunc(all, func(a, b Post) int { return a.At().Compare(b.At()) })
	return slices.CompactFunc(all, func(a, b Post) bool { return a.Key() == b.Key() }), nil
}

// places are where something may have been written: threads of cases that are warm,
// and the channels of those who have ever written to us directly.
func (t *Team) places(ctx context.Context, after time.Time) (threads map[string]bool, directs []string, err error) {
	people := t.people().People
	threads = map[string]bool{}
	err = t.Store.View(ctx, func(tx caselog.Tx) error {
		for head, err := range tx.Find(caselog.Filter{}) {
			if err != nil {
				return err
			}
			if head.Thread != "" && head.LastAt.After(after.Add(-stillWarm)) {
				threads[head.Thread] = true
			}
		}
		for _, p := range people {
			if p.Chat == "" {
				continue
			}
			channel, err := tx.Note(dmNote(p.Chat))
			if err != nil {
				return err
			}
			if channel != "" {
				directs = append(directs, channel)
			}
		}
		return nil
	})
	return threads, directs, err
}

// listed waits as long as the provider asks, a few times.
func (t *Team) listed(ctx context.Context, list func() ([]slack.Message, error)) ([]slack.Message, error) {
	const tries = 5
	for try := 1; ; try++ {
		found, err := list()
		var limited *slack.RateLimitedError
		if !errors.As(err, &limited) || try == tries {
			return found, err
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(min(limited.RetryAfter, longestWait)):
		}
	}
}

// postOf reads a listed message as an event would have brought it.
func postOf(m slack.Message, channel string) (Post, bool) {
	text, err := json.Marshal(m)
	if err != nil {
		return Post{}, false
	}
	var w wire
	if err := json.Unmarshal(text, &w); err != nil {
		return Post{}, false
	}
	w.Channel = channel
	return w.said()
}

// Missed lists posts in the form of the inbox; what only the team chat knows of a
// post travels in Form.
func (t *Team) Missed(ctx context.Context, after time.Time) ([]caselog.Inbound, error) {
	posts, err := t.Since(ctx, after)
	if err != nil {
		return nil, err
	}
	var all []caselog.Inbound
	for _, p := range posts {
		form, err := json.Marshal(p)
		if err != nil {
			return nil, fmt.Errorf("post %s: %w", p.Key(), err)
		}
		all = append(all, caselog.Inbound{Source: sourceIn, ID: p.Key(), At: p.At(), Form: form})
	}
	return all, nil
}

// TakeMissed puts a missed post on record; one that is there already changes nothing.
func (t *Team) TakeMissed(ctx context.Context, in caselog.Inbound) error {
	var p Post
	if err := json.Unmarshal(in.Form, &p); err != nil {
		return fmt.Errorf("post %s: %w", in.ID, err)
	}
	_, err := t.Said(ctx, p)
	return err
}
