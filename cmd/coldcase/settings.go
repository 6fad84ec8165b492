package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/caarlos0/env/v11"
	"golang.org/x/sync/errgroup"

	"coldcase/bot/intake"
	"coldcase/bot/talk"
	"coldcase/rules"
)

// settings come from the environment (interfaces.md).
type settings struct {
	DB    string `env:"COLDCASE_DB"`
	Rules string `env:"COLDCASE_RULES"`
}

func readSettings() (settings, error) {
	s, err := env.ParseAs[settings]()
	if err != nil {
		return s, fmt.Errorf("settings: %w", err)
	}
	if s.DB == "" {
		dir, err := os.UserConfigDir()
		if err != nil {
			return s, errors.New("no home folder to keep cases in: set COLDCASE_DB")
		}
		s.DB = filepath.Join(dir, "coldcase", "cases.db")
	}
	return s, nil
}

// newFlags is a flag set that leaves the complaining to us.
func newFlags(name string) *flag.FlagSet {
	f := flag.NewFlagSet(name, flag.ContinueOnError)
	f.SetOutput(io.Discard)
	return f
}

func parseFlags(f *flag.FlagSet, args []string) error {
	if err := f.Parse(args); err != nil {
		return wrongUsage("%v", err)
	}
	return nil
}

// newHelper loads the words and the rules in force.
func newHelper(s settings) (*talk.Helper, error) {
	h := new(talk.Helper)
	var both errgroup.Group
	both.Go(func() (err error) { h.Reader, err = intake.BuiltIn(); return err })
	both.Go(func() (err error) { h.Rules, err = loadRules(s.Rules); return err })
	return h, both.Wait()
}

func loadRules(dir string) (*rules.Set, error) {
	if dir == "" {
		return rules.BuiltIn()
	}
	return rules.WithExtra(os.DirFS(dir))
}
