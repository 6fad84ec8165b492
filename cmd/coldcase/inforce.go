package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"golang.org/x/sync/errgroup"

	"coldcase/bot/caselog"
	"coldcase/bot/intake"
	"coldcase/bot/rulebook"
	"coldcase/bot/talk"
	"coldcase/refdata/lexicon"
	"coldcase/rules"
)

// inForce holds the words and rules that are in force, and reads the shop's own
// files again when they have changed: no restart, and no message without rules.
type inForce struct {
	settings settings
	complain io.Writer

	mu     sync.Mutex
	helper *talk.Helper
	stamp  string // of the shop's own files

	store  caselog.Store    // where rules from chat are kept; nil: none
	sheets []rulebook.Sheet // those in force
	turned string           // tells one history of them from the next
}

func newInForce(s settings, complain io.Writer) (*inForce, error) {
	f := &inForce{settings: s, complain: complain, stamp: changed(s)}
	var err error
	f.helper, err = newHelper(s, nil)
	return f, err
}

// Helper is what the next message is answered with. When changed files have a
// mistake, what was in force stays, and the mistake is told once.
func (f *inForce) Helper() *talk.Helper {
	f.mu.Lock()
	defer f.mu.Unlock()
	now := changed(f.settings)
	if now == f.stamp {
		return f.helper
	}
	f.stamp = now
	h, err := newHelper(f.settings, f.sheets)
	if err != nil {
		fmt.Fprintf(f.complain, "The changed rules or words have a mistake; the earlier ones stay in force.\n%v\n", err)
		return f.helper
	}
	f.helper = h
	return h
}

// InForce are the rules that the next message is judged by.
func (f *inForce) InForce() *rules.Set { return f.Helper().Rules }

// Reload takes over the rule files that leads put in force from chat, when they
// changed since the last time. A helper is in use meanwhile.
func (f *inForce) Reload(ctx context.Context) error {
	var turned string
	var sheets []rulebook.Sheet
	err := f.store.View(ctx, func(t caselog.Tx) (err error) {
		if turned, err = rulebook.Stamp(t); err != nil {
			return err
		}
		sheets, err = rulebook.Live(t)
		return err
	})
	if err != nil {
		return err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if turned == f.turned {
		return nil
	}
	f.turned = turned // a mistake is told once
	h, err := newHelper(f.settings, sheets)
	if err != nil {
		return fmt.Errorf("rules from chat; the earlier ones stay in force: %w", err)
	}
	f.helper, f.sheets = h, sheets
	return nil
}

// followEvery is how soon a change that another replica took is in force here.
const followEvery = 2 * time.Second

// follow reloads until ctx ends.
func (f *inForce) follow(ctx context.Context) {
	tick := time.NewTicker(followEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		if err := f.Reload(ctx); err != nil && ctx.Err() == nil {
			fmt.Fprintln(f.complain, err)
		}
	}
}

// changed tells one state of the shop's own rules and words from the next: names,
// sizes and times, for a file may be put back with an earlier time.
func changed(s settings) string {
	var b strings.Builder
	note := func(path string, info fs.FileInfo) {
		fmt.Fprintf(&b, "%s %d %d\n", path, info.Size(), info.ModTime().UnixNano())
	}
	if s.Lexicon != "" {
		if info, err := os.Stat(s.Lexicon); err == nil {
			note(s.Lexicon, info)
		}
	}
	if s.Rules == "" {
		return b.String()
	}
	_ = filepath.WalkDir(s.Rules, func(path string, d fs.DirEntry, gone error) error { // a folder that is gone has no files
		if gone == nil {
			if info, err := d.Info(); err == nil {
				note(path, info)
			}
		}
		return nil
	})
	return b.String()
}

// newHelper loads the words and the rules in force.
func newHelper(s settings, sheets []rulebook.Sheet) (*talk.Helper, error) {
	h := new(talk.Helper)
	var both errgroup.Group
	both.Go(func() (err error) { h.Reader, err = loadWords(s.Lexicon); return err })
	both.Go(func() error {
		base, err := provenRules(s.Rules)
		if err == nil {
			h.Rules, err = rulebook.Over(base, sheets)
		}
		return err
	})
	return h, both.Wait()
}

func loadWords(file string) (*intake.Reader, error) {
	if file == "" {
		return intake.BuiltIn()
	}
	own, err := os.ReadFile(file)
	if err != nil {
		return nil, fmt.Errorf("COLDCASE_LEXICON: %w", err)
	}
	words, err := lexicon.Load()
	if err != nil {
		return nil, err
	}
	if err := words.Add(filepath.Base(file), own); err != nil {
		return nil, fmt.Errorf("COLDCASE_LEXICON: %w", err)
	}
	return intake.New(words)
}

// provenRules are rules of which the shop's own pass their examples.
func provenRules(dir string) (*rules.Set, error) {
	set, err := loadRules(dir)
	if err != nil {
		return nil, err
	}
	return set, errors.Join(set.TestAdded().Failed...)
}

func loadRules(dir string) (*rules.Set, error) {
	if dir == "" {
		return rules.BuiltIn()
	}
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return nil, fmt.Errorf("rules: %s is no folder", dir)
	}
	return rules.WithExtra(os.DirFS(dir))
}

func isRuleFile(name string) bool {
	return slices.Contains([]string{".yaml", ".yml"}, filepath.Ext(name))
}
