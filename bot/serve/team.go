package serve

import (
	"context"
	"errors"
	"fmt"
	"time"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/bot/inbox"
	"coldcase/bot/outbox"
	"coldcase/bot/talk"
	"coldcase/bot/team"
	"coldcase/bot/watch"
)

// TeamParts are what the team chat takes from elsewhere; nil ones are done without.
type TeamParts struct {
	Link  func(t caselog.Tx, n caselog.Number) (string, error) // to a case's page
	Rules team.Rulebook
	// Pictures are the drawings that a case has.
	Pictures func(t caselog.Tx, n caselog.Number, metric *bool) ([]talk.Picture, error)
}

// betweenPosts is how long a channel is left alone after a post: the provider takes
// about one a second.
const betweenPosts = time.Second

// Team plugs the team chat in. It comes before the other outsides: from here on the
// cases of the bot's store have threads.
func (s *Server) Team(a team.Account, b *bot.Bot, people *crew.File, parts TeamParts) error {
	if err := a.Check(); err != nil {
		return err
	}
	count, err := team.NewCounters(s.Metrics)
	if err != nil {
		return fmt.Errorf("metrics: %w", err)
	}
	b.Store = team.Mirror{Store: b.Store, Channel: a.Channel}
	t := (&team.Team{
		Account: a, Store: b.Store, Crew: people.Now, Handle: b.HandleAnswer, TakeInHand: b.TakeInHand, Link: parts.Link, Rules: parts.Rules, Pictures: parts.Pictures,
		Hire: func(_ string, p crew.Person) error { return people.Add(p) }, Causes: func() []string { return b.Helper().Rules.CauseNames() },
		Now: time.Now, Log: s.Log, Count: count, Pause: s.teamPause(),
	}).Connect()
	s.team = t
	s.Route(t.Routes)
	s.Ready("team chat", t.Ready)
	for _, word := range team.Dests {
		s.carriers[word] = teamChat{t}
	}
	if a.AppToken != "" {
		s.Work(t.Listen)
	}
	s.Work((&inbox.CatchUp{Store: b.Store, Source: team.Source, Clock: time.Now, Log: s.Log, List: t.Missed, Handle: t.TakeMissed, Again: t.MayHaveMissed()}).Run)
	return nil
}

// Pause overrules how long a channel is left alone after a post; for stand-ins.
func (s *Server) Pause(d time.Duration) { s.pause = &d }

func (s *Server) teamPause() time.Duration {
	if s.pause != nil {
		return *s.pause
	}
	return betweenPosts
}

// WatchByTeam reminds people of follow-up visits by the team chat alone, where there
// is no phone line.
func (s *Server) WatchByTeam(store caselog.Store, people *crew.File) error {
	return s.watch(store, people, s.team.Watch)
}

// reminding reminds by phone; who has none and is in the team chat, there.
func (s *Server) reminding(people *crew.File, phone func(caselog.Tx, watch.Notice) error) func(caselog.Tx, watch.Notice) error {
	if s.team == nil {
		return phone
	}
	return func(t caselog.Tx, n watch.Notice) error {
		all, _ := people.Now() // the last good crew stays in force
		if who, ok := all.ByName(n.Visit.Person); ok && who.Phone == "" && n.Act == watch.Remind {
			return s.team.Watch(t, n)
		}
		return phone(t, n)
	}
}

// teamChat is the team chat as the outbox knows it.
type teamChat struct{ t *team.Team }

func (c teamChat) Send(ctx context.Context, o caselog.Outgoing) (outbox.Receipt, error) {
	also, pause, err := c.t.Deliver(ctx, o)
	var gone *team.GivenUp
	var later *team.Later
	switch {
	case errors.As(err, &gone):
		return outbox.Receipt{}, &outbox.Permanent{Err: err}
	case errors.As(err, &later):
		return outbox.Receipt{}, &outbox.Delayed{After: later.After, Err: err}
	}
	return outbox.Receipt{Also: also, Pause: pause}, err
}

// OnDead says on the case why a row never went.
func (c teamChat) OnDead(t caselog.Tx, o caselog.Outgoing, err error) error {
	return c.t.OnDead(t, o, err)
}
