package main

import (
	"context"
	"errors"
	"fmt"
	"os"

	"coldcase/rules"
)

func runRules(_ context.Context, c console, args []string) error {
	if len(args) == 0 {
		return wrongUsage("rules check, test or names")
	}
	s, err := readSettings()
	if err != nil {
		return err
	}
	dir := s.Rules
	if len(args) > 1 {
		dir = args[1]
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			return wrongUsage("%s is no folder", dir)
		}
	}
	switch args[0] {
	case "check":
		return checkRules(c, dir)
	case "test":
		return testRules(c, dir)
	case "names":
		return printNames(c)
	}
	return wrongUsage("rules has no %q", args[0])
}

// checkRules reports every mistake with its place.
func checkRules(c console, dir string) error {
	set, err := loadRules(dir)
	if err != nil {
		fmt.Fprintln(c.err, err)
		return errFound
	}
	fmt.Fprintf(c.out, "%d rules, signs, exclusions and faults, version %s: no mistakes.\n", set.Rules(), set.Version())
	return nil
}

// testRules runs the examples inside the files.
func testRules(c console, dir string) error {
	set, err := loadRules(dir)
	if err != nil {
		fmt.Fprintln(c.err, err)
		return errFound
	}
	result := set.Test()
	if err := errors.Join(result.Failed...); err != nil {
		fmt.Fprintln(c.err, err)
	}
	fmt.Fprintf(c.out, "%d examples pass, %d fail.\n", result.Passed, len(result.Failed))
	if len(result.Failed) > 0 {
		return errFound
	}
	return nil
}

func printNames(c console) error {
	for _, n := range rules.Names() {
		if _, err := fmt.Fprintf(c.out, "%-36s %-10s %s\n", n.Name, n.Unit, n.What); err != nil {
			return fmt.Errorf("write: %w", err)
		}
	}
	return nil
}
