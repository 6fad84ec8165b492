package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/caarlos0/env/v11"
	"github.com/mattn/go-isatty"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/casepage"
	"coldcase/bot/crew"
	"coldcase/bot/serve"
	"coldcase/bot/sms"
	"coldcase/bot/team"
)

// serveSettings are those of the server alone (interfaces.md).
type serveSettings struct {
	Listen    string `env:"COLDCASE_LISTEN" envDefault:"127.0.0.1:8080"`
	PublicURL string `env:"COLDCASE_PUBLIC_URL"`
	Crew      string `env:"COLDCASE_CREW"`
	SID       string `env:"TWILIO_ACCOUNT_SID"`
	Token     string `env:"TWILIO_AUTH_TOKEN"`
	From      string `env:"COLDCASE_SMS_FROM"`
	API       string `env:"COLDCASE_SMS_API"`
	LinkKey   string `env:"COLDCASE_LINK_KEY"`
	// How long a killed replica keeps outgoing messages from the others.
	Lease time.Duration `env:"COLDCASE_LEASE" envDefault:"30s"`

	BotToken      string `env:"SLACK_BOT_TOKEN"`
	SigningSecret string `env:"SLACK_SIGNING_SECRET"`
	AppToken      string `env:"SLACK_APP_TOKEN"`
	TeamChannel   string `env:"COLDCASE_TEAM_CHANNEL"`
	TeamAPI       string `env:"COLDCASE_SLACK_API"`
	// How long a channel is left alone after a post: the provider takes about one a second.
	TeamPause time.Duration `env:"COLDCASE_TEAM_PAUSE" envDefault:"1s"`
}

// smsWanted: one setting of the line means that all are wanted.
func (s serveSettings) smsWanted() bool { return s.SID != "" || s.Token != "" || s.From != "" }

func (s serveSettings) account() sms.Account {
	return sms.Account{SID: s.SID, Token: s.Token, From: s.From, PublicURL: s.PublicURL, API: s.API}
}

// teamWanted: one setting of the team chat means that all are wanted.
func (s serveSettings) teamWanted() bool {
	return s.BotToken != "" || s.SigningSecret != "" || s.AppToken != "" || s.TeamChannel != ""
}

func (s serveSettings) team() team.Account {
	return team.Account{BotToken: s.BotToken, SigningSecret: s.SigningSecret, AppToken: s.AppToken, Channel: s.TeamChannel, API: s.TeamAPI}
}

// check tells what keeps the configured lines from starting.
func (s serveSettings) check() error {
	if s.smsWanted() {
		if err := s.account().Check(); err != nil {
			return fmt.Errorf("the SMS line can't start:\n%w\ntry: set them in the environment, or in a file given with --env", err)
		}
	}
	if s.teamWanted() {
		if err := s.team().Check(); err != nil {
			return fmt.Errorf("the team chat can't start:\n%w\ntry: set them in the environment, or in a file given with --env", err)
		}
	}
	return nil
}

func runServe(ctx context.Context, c console, args []string) error {
	f := newFlags("serve")
	rehearsing := f.Bool("rehearse", false, "play the SMS line and the team chat against local stand-ins")
	if err := parseFlags(f, args); err != nil {
		return err
	}
	own, err := env.ParseAs[serveSettings]()
	if err != nil {
		return fmt.Errorf("settings: %w", err)
	}
	if *rehearsing {
		return rehearseLine(ctx, c, own)
	}
	return serveLines(ctx, c, own)
}

// serveLines runs whatever is configured.
func serveLines(ctx context.Context, c console, own serveSettings) error {
	s, err := readSettings()
	if err != nil {
		return err
	}
	if err := own.check(); err != nil {
		return err
	}
	server, err := serve.New(own.Listen, newLog(c.err))
	if err != nil {
		return err
	}
	server.Lease = own.Lease
	server.Pause(own.TeamPause)
	people, err := crew.Open(own.Crew)
	if err != nil {
		return err
	}
	return runServer(ctx, c, server, s, s.DB, people, func(b *bot.Bot, words *inForce) error {
		return plugLines(c, server, own, b, people, words)
	})
}

// plugLines plugs in whatever is configured, the team chat first: it gives the
// cases their threads.
func plugLines(c console, server *serve.Server, own serveSettings, b *bot.Bot, people *crew.File, words *inForce) error {
	if !own.smsWanted() && !own.teamWanted() {
		return openDesk(c, server, own, b, people, words)
	}
	link, err := hangPages(server, b, own, people)
	if err != nil {
		return err
	}
	b.Link = link
	if own.teamWanted() {
		if err := server.Team(own.team(), b, people, serve.TeamParts{Link: link, Rules: words, Pictures: b.Pictures}); err != nil {
			return err
		}
	}
	if own.smsWanted() {
		return server.SMS(own.account(), b, people)
	}
	return server.WatchByTeam(b.Store, people)
}

// openDesk opens the local desk, which needs no account. Its case pages have links
// that hold until the program ends, unless a key for links is set.
func openDesk(c console, server *serve.Server, own serveSettings, b *bot.Bot, people *crew.File, words *inForce) error {
	key := own.LinkKey
	if key == "" {
		key = rand.Text()
	}
	pages, err := pagesOf(b, key, people)
	if err != nil {
		return err
	}
	pages.Framed = true
	b.Link = func(t caselog.Tx, n caselog.Number) (string, error) {
		path, err := pages.LinkFor(t, n)
		return "http://" + server.Addr() + path, err
	}
	server.Route(pages.Hang)
	b.Pictures = pages.Pictures
	b.Lead = nil // who sits at this machine may close any case, as in chat
	at, err := server.Desk(b, serve.DeskParts{Page: pages.LinkFor, Person: userName(), Where: shown(words.settings.DB)})
	if errors.Is(err, serve.ErrNotHere) {
		fmt.Fprintf(c.err, "No line is configured, and the desk opens on this machine only.\nTry COLDCASE_LISTEN=127.0.0.1:8080, or set TWILIO_ACCOUNT_SID, TWILIO_AUTH_TOKEN and COLDCASE_SMS_FROM.\n")
		return nil
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "Desk: %s\nOpen it and text as a tech. Ctrl-C ends it; the cases stay.\n", at)
	return nil
}

// shown is where the cases are kept, without the password that a database's address
// may hold.
func shown(db string) string {
	if strings.Contains(db, "://") {
		return "the database"
	}
	return db
}

func pagesOf(b *bot.Bot, key string, people *crew.File) (*casepage.Pages, error) {
	signer, err := casepage.NewSigner(key)
	if err != nil {
		return nil, err
	}
	return &casepage.Pages{Store: b.Store, Helper: b.Helper, Signer: signer, Zone: zoneOf(people), Now: time.Now, Lives: linkLives}, nil
}

// zoneOf is the crew's time zone, else this machine's.
func zoneOf(people *crew.File) *time.Location {
	all, _ := people.Now() // the last good crew stays in force
	if zone, err := time.LoadLocation(all.Zone(crew.Person{})); err == nil && all.TimeZone != "" {
		return zone
	}
	return time.Local
}

// hangPages shows case pages to whoever has a link, when a key to sign links with is
// set.
func hangPages(server *serve.Server, b *bot.Bot, own serveSettings, people *crew.File) (link func(caselog.Tx, caselog.Number) (string, error), err error) {
	if own.LinkKey == "" {
		b.Pictures = (&casepage.Pages{Helper: b.Helper, Zone: zoneOf(people)}).Pictures // nobody can fetch them
		return nil, nil
	}
	pages, err := pagesOf(b, own.LinkKey, people)
	if err != nil {
		return nil, err
	}
	server.Route(pages.Hang)
	base := strings.TrimRight(own.PublicURL, "/")
	pages.Public, b.Pictures = base, pages.Pictures
	if base == "" {
		base = "http://" + server.Addr()
	}
	return func(t caselog.Tx, n caselog.Number) (string, error) {
		path, err := pages.LinkFor(t, n)
		return base + path, err
	}, nil
}

// rehearseLine runs the line against the stand-in, on a casebook that goes with it.
func rehearseLine(ctx context.Context, c console, own serveSettings) (err error) {
	s, err := readSettings()
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "coldcase")
	if err != nil {
		return fmt.Errorf("a folder for the rehearsal: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	file := filepath.Join(dir, "crew.yaml")
	if err := os.WriteFile(file, []byte(serve.RehearsalCrew), 0o600); err != nil {
		return fmt.Errorf("crew of the rehearsal: %w", err)
	}
	people, err := crew.Open(file)
	if err != nil {
		return err
	}
	listen := "127.0.0.1:0"
	if os.Getenv("COLDCASE_LISTEN") != "" {
		listen = own.Listen
	}
	server, err := serve.New(listen, newLog(c.err))
	if err != nil {
		return err
	}
	line, phones, err := server.Rehearsal()
	if err != nil {
		return err
	}
	chat, room, err := server.RehearsalTeam()
	if err != nil {
		return err
	}
	own.LinkKey, own.PublicURL = rand.Text(), line.PublicURL // pages go with the rehearsal
	return runServer(ctx, c, server, s, filepath.Join(dir, "cases.db"), people, func(b *bot.Bot, words *inForce) error {
		link, err := hangPages(server, b, own, people)
		if err != nil {
			return err
		}
		b.Link = link
		if err := server.Team(chat, b, people, serve.TeamParts{Link: link, Rules: words, Pictures: b.Pictures}); err != nil {
			return err
		}
		fmt.Fprintf(c.out, "Rehearsal line: %s\nRehearsal team chat: %s\nOpen them and type as a phone and as a teammate. Ctrl-C ends it, and its cases go.\n", phones, room)
		return server.SMS(line, b, people)
	})
}

// runServer opens the casebook, plugs the outsides in, and runs until told to stop.
func runServer(ctx context.Context, c console, server *serve.Server, s settings, db string, people *crew.File, plug func(*bot.Bot, *inForce) error) error {
	b, words, err := openBot(ctx, c, s, db)
	if err != nil {
		return err
	}
	defer closeStore(c, b.Store)
	b.Lead = func(person string) bool { return isLead(people, person) }
	if err := plug(b, words); err != nil {
		return err
	}
	server.Work(words.follow)
	owner, err := sessionID()
	if err != nil {
		return err
	}
	if err := server.Outbox(b.Store, owner); err != nil {
		return err
	}
	server.Log.Info("listening", "at", server.Addr())
	return server.Run(ctx)
}

func isLead(people *crew.File, name string) bool {
	all, _ := people.Now() // the last good crew stays in force
	p, ok := all.ByName(name)
	return ok && p.Role == crew.Lead
}

// newLog writes JSON unless somebody reads along.
func newLog(w io.Writer) *slog.Logger {
	if f, ok := w.(*os.File); ok && isatty.IsTerminal(f.Fd()) {
		return slog.New(slog.NewTextHandler(w, nil))
	}
	return slog.New(slog.NewJSONHandler(w, nil))
}
