package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"coldcase/bot/caselog"
	"coldcase/bot/rulebook"
	"coldcase/rules"
)

func runRules(ctx context.Context, c console, args []string) error {
	if len(args) == 0 {
		return wrongUsage("rules check, test, try, propose, names or schema")
	}
	switch args[0] {
	case "names":
		return printNames(c)
	case "schema":
		return printSchema(c)
	case "try":
		return tryRules(ctx, c, args[1:])
	case "propose":
		return proposeExamples(c, args[1:])
	case "check", "test":
	default:
		return wrongUsage("rules has no %q", args[0])
	}
	dir, err := ruleFolder(args[1:])
	if err != nil {
		return err
	}
	set, err := loadRules(dir)
	if err != nil {
		fmt.Fprintln(c.err, err)
		return errFound
	}
	if args[0] == "check" {
		fmt.Fprintf(c.out, "%d rules, signs, exclusions and faults, version %s: no mistakes.\n", set.Rules(), set.Version())
		return nil
	}
	return testRules(c, set)
}

// ruleFolder is the folder named, or that of the settings.
func ruleFolder(args []string) (string, error) {
	if len(args) == 0 {
		s, err := readSettings()
		return s.Rules, err
	}
	if len(args) > 1 {
		return "", wrongUsage("%q is one too many", args[1])
	}
	files, err := os.ReadDir(args[0])
	if err != nil {
		return "", wrongUsage("%s is no folder", args[0])
	}
	if !slices.ContainsFunc(files, func(f os.DirEntry) bool { return !f.IsDir() && isRuleFile(f.Name()) }) {
		return "", wrongUsage("no rule file in %s: they end in .yaml and lie in the folder itself", args[0])
	}
	return args[0], nil
}

// testRules runs the examples inside the files.
func testRules(c console, set *rules.Set) error {
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

// proposeExamples prints a rule file with examples where they lack.
func proposeExamples(c console, args []string) error {
	if len(args) != 1 {
		return wrongUsage("say the rule file that lacks examples")
	}
	raw, err := os.ReadFile(args[0])
	if err != nil {
		return wrongUsage("%v", err)
	}
	out, err := rules.Propose(args[0], raw)
	if err != nil {
		fmt.Fprintln(c.err, err)
		return errFound
	}
	_, err = c.out.Write(out)
	return err
}

func printNames(c console) error {
	members, err := rules.Members()
	if err != nil {
		return err
	}
	for _, n := range append(rules.Names(), members...) {
		if _, err := fmt.Fprintf(c.out, "%-36s %-10s %s\n", n.Name, n.Unit, n.What); err != nil {
			return fmt.Errorf("write: %w", err)
		}
	}
	return nil
}

func printSchema(c console) error {
	e := json.NewEncoder(c.out)
	e.SetIndent("", "  ")
	return e.Encode(rules.Schema())
}

// tryRules runs a new rule file over all logged cases and says what it would have
// changed.
func tryRules(ctx context.Context, c console, args []string) error {
	f := newFlags("rules try")
	db := f.String("db", "", "where the cases are")
	file, err := theOne(f, args, "say the rule file to try")
	if err != nil {
		return err
	}
	if info, err := os.Stat(file); err != nil || info.IsDir() || !isRuleFile(file) {
		return wrongUsage("%s is no rule file, that ends in .yaml", file)
	}
	s, err := readSettings()
	if err != nil {
		return err
	}
	before, err := loadRules(s.Rules)
	if err != nil {
		return err
	}
	after, err := before.With(os.DirFS(filepath.Dir(file)), filepath.Base(file))
	if err != nil {
		fmt.Fprintln(c.err, err)
		return errFound
	}
	return withStore(ctx, c, *db, func(store caselog.Store) error {
		return store.View(ctx, func(t caselog.Tx) error {
			trial, err := rules.Try(c.out, before, after, after.RuleIDs(filepath.Base(file)), rulebook.Logged(t))
			if err != nil {
				return err
			}
			return rulebook.Print(c.out, trial)
		})
	})
}
