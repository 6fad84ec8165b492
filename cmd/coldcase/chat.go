package main

import (
	"bufio"
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"github.com/mattn/go-isatty"
	"golang.org/x/sync/errgroup"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/casepage"
	"coldcase/bot/reply"
)

func runChat(ctx context.Context, c console, args []string) error {
	s, err := readSettings()
	if err != nil {
		return err
	}
	f := newFlags("chat")
	as := f.String("as", userName(), "who is typing")
	db := f.String("db", s.DB, "where the cases are")
	if err := parseFlags(f, args); err != nil {
		return err
	}
	b, _, err := openBot(ctx, c, s, *db)
	if err != nil {
		return err
	}
	defer closeStore(c, b.Store)
	session, err := sessionID()
	if err != nil {
		return err
	}
	if f, ok := c.in.(*os.File); ok && isatty.IsTerminal(f.Fd()) {
		fmt.Fprintln(c.err, "coldcase: text me what you read and see; ? shows how, Ctrl-D ends it.")
	}
	return chat(ctx, c, b, *as, session)
}

func userName() string {
	if u := os.Getenv("USER"); u != "" {
		return u
	}
	return "tech"
}

// openBot opens the casebook and what its messages are answered with.
func openBot(ctx context.Context, c console, s settings, db string) (b *bot.Bot, words *inForce, err error) {
	var store caselog.Store
	var both errgroup.Group
	both.Go(func() (err error) { words, err = newInForce(s, c.err); return err })
	both.Go(func() (err error) { store, err = openCases(ctx, db); return err })
	if err := both.Wait(); err != nil {
		return nil, nil, err
	}
	words.store = store
	if err := words.Reload(ctx); err != nil {
		fmt.Fprintln(c.err, err)
	}
	said := &casepage.Pages{Helper: words.Helper, Zone: time.Local} // pictures in words, until there is somewhere to send them
	return &bot.Bot{Store: store, Helper: words.Helper, Render: reply.For, Pictures: said.Pictures}, words, nil
}

func closeStore(c console, s caselog.Store) {
	if err := s.Close(); err != nil {
		fmt.Fprintln(c.err, err)
	}
}

// sessionID keeps the ids of one terminal session apart from another's.
func sessionID() (string, error) {
	var b [8]byte
	if _, err := rand.Read(b[:]); err != nil {
		return "", fmt.Errorf("session id: %w", err)
	}
	return hex.EncodeToString(b[:]), nil
}

// maxLine is what is kept of one typed line.
const maxLine = 16 << 10

// chat answers line by line until the input ends.
func chat(ctx context.Context, c console, b *bot.Bot, as, session string) error {
	in := bufio.NewReader(c.in)
	for n := 1; ; n++ {
		line, err := readLine(in)
		if line != "" || err == nil {
			fmt.Fprintln(c.out, folded(answerLine(ctx, c, b, as, session+"/"+strconv.Itoa(n), line), widthOf(c.out)))
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("read the next line: %w", err)
		}
	}
}

// readLine reads a line of any length and keeps its beginning.
func readLine(in *bufio.Reader) (string, error) {
	var kept []byte
	for {
		piece, more, err := in.ReadLine()
		if len(kept) < maxLine {
			kept = append(kept, piece...)
		}
		if err != nil || !more {
			if len(kept) > maxLine {
				kept = kept[:maxLine]
			}
			return string(kept), err
		}
	}
}

func answerLine(ctx context.Context, c console, b *bot.Bot, as, id, text string) string {
	say, err := b.Handle(ctx, caselog.Inbound{Source: "terminal", ID: id, Person: as, Text: text, At: time.Now().UTC()})
	if err != nil {
		fmt.Fprintln(c.err, err)
		return reply.Trouble(err)
	}
	return say
}

// throwaway opens a bot on a store that goes with its folder.
func throwaway(ctx context.Context, c console) (b *bot.Bot, done func(), err error) {
	s, err := readSettings()
	if err != nil {
		return nil, nil, err
	}
	dir, err := os.MkdirTemp("", "coldcase")
	if err != nil {
		return nil, nil, fmt.Errorf("a folder for the demo: %w", err)
	}
	if b, _, err = openBot(ctx, c, s, filepath.Join(dir, "demo.db")); err != nil {
		return nil, nil, err
	}
	return b, func() {
		_ = b.Store.Close()
		_ = os.RemoveAll(dir)
	}, nil
}
