package main

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/caarlos0/env/v11"
)

// settings of every command come from the environment, or a file given by --env
// (interfaces.md). Secrets come no other way, and are never printed.
type settings struct {
	DB      string `env:"COLDCASE_DB"`
	Rules   string `env:"COLDCASE_RULES"`
	Lexicon string `env:"COLDCASE_LEXICON"`
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

// takeEnvFile takes --env FILE out of the arguments and puts its settings into the
// environment; what is set there already wins.
func takeEnvFile(args []string) ([]string, error) {
	for i, a := range args {
		name, file, joined := strings.Cut(a, "=")
		if name != "--env" && name != "-env" {
			continue
		}
		after := i + 1
		if !joined {
			if after == len(args) {
				return nil, wrongUsage("--env needs a file")
			}
			file, after = args[after], after+1
		}
		return append(args[:i:i], args[after:]...), readEnvFile(file)
	}
	return args, nil
}

// readEnvFile reads NAME=value lines; # starts a remark, quotes around a value go.
func readEnvFile(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return wrongUsage("--env: %v", err)
	}
	defer func() { _ = f.Close() }() // only read
	lines := bufio.NewScanner(f)
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(lines.Text()), "export "))
		if line == "" || line[0] == '#' {
			continue
		}
		name, value, ok := strings.Cut(line, "=")
		if name = strings.TrimSpace(name); !ok || name == "" {
			return wrongUsage("%s:%d: not NAME=value", path, n)
		}
		if os.Getenv(name) == "" {
			if err := os.Setenv(name, unquoted(strings.TrimSpace(value))); err != nil {
				return fmt.Errorf("%s:%d: %w", path, n, err)
			}
		}
	}
	if err := lines.Err(); err != nil {
		return fmt.Errorf("read %s: %w", path, err)
	}
	return nil
}

func unquoted(v string) string {
	if len(v) >= 2 && (v[0] == '"' || v[0] == '\'') && v[len(v)-1] == v[0] {
		return v[1 : len(v)-1]
	}
	return v
}

// newFlags is a flag set that leaves the complaining to us.
func newFlags(name string) *flag.FlagSet {
	f := flag.NewFlagSet(name, flag.ContinueOnError)
	f.SetOutput(io.Discard)
	return f
}

// parseFlags reads the flags of a command that takes nothing else.
func parseFlags(f *flag.FlagSet, args []string) error {
	plain, err := around(f, args)
	if err == nil && len(plain) > 0 {
		return wrongUsage("%q is not wanted here", plain[0])
	}
	return err
}

// around takes what is no flag out of the arguments, wherever it stands: "case
// 1042 9 --json" and "case --json 1042-9" are the same.
func around(f *flag.FlagSet, args []string) ([]string, error) {
	var plain []string
	for len(args) > 0 {
		if err := f.Parse(args); err != nil {
			return nil, wrongUsage("%v", err)
		}
		if args = f.Args(); len(args) > 0 {
			plain, args = append(plain, args[0]), args[1:]
		}
	}
	return plain, nil
}

// theOne is the one word, file or name that a command takes besides its flags.
func theOne(f *flag.FlagSet, args []string, missing string) (string, error) {
	plain, err := around(f, args)
	switch {
	case err != nil:
		return "", err
	case len(plain) == 0:
		return "", wrongUsage("%s", missing)
	case len(plain) > 1:
		return "", wrongUsage("%q is one too many", plain[1])
	}
	return plain[0], nil
}
