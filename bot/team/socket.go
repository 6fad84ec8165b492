package team

import (
	"context"
	"encoding/json"
	"io"
	"log"
	"sync"
	"sync/atomic"
	"time"

	"github.com/slack-go/slack"
	"github.com/slack-go/slack/socketmode"
)

// sockets is how many are kept open: the library closes one before it opens the
// next, and each event goes to one of them.
const sockets = 2

// atOnce is how many events of one socket are put on record side by side.
const atOnce = 8

// Listen keeps sockets open until ctx ends. It is for an app with an app token.
func (t *Team) Listen(ctx context.Context) {
	var all sync.WaitGroup
	for range sockets {
		all.Go(func() { t.keepOpen(ctx) })
	}
	all.Wait()
}

// keepOpen opens a socket again whenever it is given up: on credentials that are
// refused the library stops for good.
func (t *Team) keepOpen(ctx context.Context) {
	const shortest, longest = time.Second, time.Minute
	wait := shortest
	for ctx.Err() == nil {
		from := time.Now()
		err := t.oneSocket(ctx)
		if ctx.Err() != nil {
			return
		}
		t.Log.Error("team chat: a socket was given up; it is opened again", "err", err)
		if time.Since(from) > longest {
			wait = shortest
		}
		select {
		case <-ctx.Done():
		case <-time.After(wait):
		}
		wait = min(2*wait, longest)
	}
}

func (t *Team) oneSocket(ctx context.Context) error {
	smc := socketmode.New(t.client, socketmode.OptionLog(log.New(io.Discard, "", 0)), socketmode.OptionReadLimit(maxEvent))
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	var reader sync.WaitGroup
	reader.Go(func() { t.readSocket(ctx, smc) })
	err := smc.RunContext(ctx)
	stop()
	reader.Wait()
	return err
}

// readSocket never waits for the database, or the library could not answer pings.
func (t *Team) readSocket(ctx context.Context, smc *socketmode.Client) {
	var under sync.WaitGroup
	defer under.Wait()
	room := make(chan struct{}, atOnce)
	var open atomic.Bool
	state := func(now bool) {
		if open.Swap(now) != now {
			t.Count.Sockets.Add(map[bool]float64{true: 1, false: -1}[now])
			if t.plugged.Add(map[bool]int32{true: 1, false: -1}[now]) == 1 && now {
				select {
				case t.missed <- struct{}{}:
				default: // one waits already
				}
			}
		}
	}
	defer state(false)
	for {
		select {
		case <-ctx.Done():
			return
		case e := <-smc.Events:
			switch e.Type {
			case socketmode.EventTypeHello:
				state(true)
			case socketmode.EventTypeConnecting, socketmode.EventTypeConnectionError, socketmode.EventTypeInvalidAuth:
				state(false)
			case socketmode.EventTypeErrorBadMessage:
				t.ackUnknown(ctx, smc, e)
			case socketmode.EventTypeEventsAPI, socketmode.EventTypeSlashCommand, socketmode.EventTypeInteractive:
				under.Go(func() {
					room <- struct{}{}
					defer func() { <-room }()
					t.envelope(ctx, smc, e)
				})
			}
		}
	}
}

// envelope puts what came on record, and only then acknowledges it; what could not
// be recorded comes again.
func (t *Team) envelope(ctx context.Context, smc *socketmode.Client, e socketmode.Event) {
	from := time.Now()
	work, stop := context.WithTimeout(context.WithoutCancel(ctx), answerWithin)
	defer stop()
	seen, say, err := t.unwrap(work, e)
	t.Count.Answer.Observe(time.Since(from).Seconds())
	if err != nil {
		t.counted("socket", "error")
		t.Log.Error("team chat: event not recorded; it comes again", "type", e.Type, "err", err)
		return
	}
	t.counted("socket", map[bool]string{true: "replayed", false: "taken"}[seen])
	if err := smc.AckCtx(ctx, e.Request.EnvelopeID, say); err != nil && ctx.Err() == nil {
		t.Log.Warn("team chat: not acknowledged; it comes again and changes nothing", "err", err)
	}
}

func (t *Team) unwrap(ctx context.Context, e socketmode.Event) (seen bool, say any, err error) {
	switch data := e.Data.(type) {
	case slack.SlashCommand:
		seen, err = t.Command(ctx, data)
		return seen, onIt(), err
	case slack.InteractionCallback:
		seen, err = t.Action(ctx, data)
		return seen, nil, err
	}
	seen, err = t.Event(ctx, e.Request.Payload)
	return seen, nil, err
}

// ackUnknown acknowledges an event of a kind that the library does not know, or it
// would come again and again.
func (t *Team) ackUnknown(ctx context.Context, smc *socketmode.Client, e socketmode.Event) {
	bad, ok := e.Data.(*socketmode.ErrorBadMessage)
	if !ok {
		return
	}
	var envelope struct {
		ID string `json:"envelope_id"`
	}
	if json.Unmarshal(bad.Message, &envelope) == nil && envelope.ID != "" {
		t.counted("socket", "unknown")
		_ = smc.AckCtx(ctx, envelope.ID, nil) // comes again when this fails
	}
}
