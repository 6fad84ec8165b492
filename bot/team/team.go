package team

import (
	"context"
	"fmt"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"github.com/slack-go/slack"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/bot/talk"
)

// Kinds of what the team chat puts into the outbox. What came in goes through it,
// too: it is acknowledged when it is on record, and worked on after that.
const (
	kindCard  = "card"  // the case's card: its thread's first post, then kept up to date
	kindLine  = "line"  // one entry of a case, in its thread
	kindSay   = "say"   // an answer where it was asked
	kindPost  = "post"  // came in: something written
	kindEdit  = "edit"  // came in: something changed or taken away
	kindPress = "press" // came in: a button, a choice or the slash command
	kindPhoto = "photo" // a picture to be fetched

	kindDrawing = "drawing" // a picture of a case, drawn when it is shown

	destChat = "slack:"      // and the channel or person
	destIn   = "slack-in:"   // and who wrote
	destFile = "slack-file:" // and the file
)

// Dests are the words that the dests of our rows begin with.
var Dests = []string{"slack", "slack-in", "slack-file"}

// Team is the team chat on a casebook.
type Team struct {
	Account Account
	Store   caselog.Store // a Mirror, so that cases have threads
	Crew    func() (crew.Crew, error)
	// Handle answers a message and runs then, with what to say, in its transaction.
	Handle func(ctx context.Context, in caselog.Inbound, then func(t caselog.Tx, a talk.Answer, text string) error) (seen bool, err error)
	// TakeInHand makes a case the one that a person has in hand.
	TakeInHand func(t caselog.Tx, person string, n caselog.Number, at time.Time) error
	// Relay puts a text on its way to a phone, with the public address of a picture or
	// ""; nil when there is no phone line.
	Relay func(t caselog.Tx, n caselog.Number, to crew.Person, idem, text, picture string) error
	// Link is the address of a case's page; nil when there are none.
	Link func(t caselog.Tx, n caselog.Number) (string, error)
	// Pictures are the drawings that a case has; nil where none are drawn.
	Pictures func(t caselog.Tx, n caselog.Number, metric *bool) ([]talk.Picture, error)
	// Hire puts a person on the crew list; nil when it can't be changed from here.
	Hire func(by string, p crew.Person) error
	// Causes are those that a case can be closed with.
	Causes func() []string
	// Rules changes the rules in force; nil when they can't be changed from here.
	Rules Rulebook
	Now   func() time.Time
	Log   *slog.Logger
	Count *Counters
	Pause time.Duration // between two posts to one channel

	client  *slack.Client
	missed  chan struct{} // signals that something may have been missed
	us      sync.Mutex
	userID  string // of our app, once asked for
	barred  trouble
	plugged atomic.Int32 // sockets that are open
}

// Connect makes the team chat ready to speak to the provider. It is called once.
func (t *Team) Connect() *Team {
	t.client = t.Account.client()
	t.missed = make(chan struct{}, 1)
	return t
}

// user is our own user id.
func (t *Team) user(ctx context.Context) (string, error) {
	t.us.Lock()
	defer t.us.Unlock()
	if t.userID != "" {
		return t.userID, nil
	}
	who, err := t.client.AuthTestContext(ctx)
	if err != nil {
		return "", fmt.Errorf("ask the provider who we are: %w", err)
	}
	t.userID = who.UserID
	return who.UserID, nil
}

// people is the crew; a broken file leaves the last good one in force.
func (t *Team) people() crew.Crew {
	all, err := t.Crew()
	if err != nil {
		t.Log.Error("crew file not read; the last good one stays in force", "err", err)
	}
	return all
}

// zone is the crew's.
func (t *Team) zone() *time.Location {
	zone, err := time.LoadLocation(t.people().TimeZone)
	if err != nil {
		return time.UTC
	}
	return zone
}

// MayHaveMissed signals after a time without any socket: what people wrote meanwhile
// went nowhere.
func (t *Team) MayHaveMissed() <-chan struct{} { return t.missed }
