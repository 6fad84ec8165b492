// Command coldcase is the colleague that a refrigeration tech texts about a dead
// compressor.
package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"syscall"

	"coldcase/refdata/nearest"
)

// console is where a command reads and writes: data goes to out, talk and errors
// to err.
type console struct {
	in       io.Reader
	out, err io.Writer
}

// command is one word of the command line.
type command struct {
	name, args, does, example string
	run                       func(ctx context.Context, c console, args []string) error
}

// Exit codes: 0 done, 1 a check found something wrong, 2 wrong usage.
var (
	errFound = errors.New("") // said already
	errUsage = errors.New("")
)

func commands() []command {
	return []command{
		{"chat", "[--as NAME] [--db FILE]", "the conversation, in this terminal or a pipe", "coldcase chat", runChat},
		{"demo", "[--cases N --db FILE]", "plays an invented job from first text to closed case; --cases fills a casebook to try rules on", "coldcase demo", runDemo},
		{"read", "[--json]", "shows what is read in each message, one a line", "echo 'suct 28 line 8 on 448' | coldcase read", runRead},
		{"replay", "--json", "reads one conversation and writes where the case stands", "coldcase replay --json < job.txt", runReplay},
		{"props", "--csv [--notes]", "properties for rows of states; --notes adds a column of doubts", "coldcase props --csv < states.csv", runProps},
		{"pt", "REFRIGERANT [--from F] [--to F] [--step F] [--altitude FT] [--si]", "a pressure-temperature table", "coldcase pt R448A --from -40 --to 60", runPT},
		{"case", "N [--json] [--at SEQ|DATE|TIME] [--link] [--revoke]", "shows a logged case; --link: an address of its page, --revoke: no link opens it any more", "coldcase case 1042-9", runCase},
		{"cases", "[--unit U] [--refrigerant R] [--cause C] [--since DATE] [--json [--entries]] [--csv]", "lists logged cases", "coldcase cases --cause liquid_slug", runCases},
		{"backup", "FILE", "copies the embedded store while it runs", "coldcase backup cases-copy.db", runBackup},
		{"forget", "PERSON", "removes a person from the records without breaking them", "coldcase forget Ines", runForget},
		{"serve", "[--rehearse] [--env FILE]", "the SMS line, team chat, case pages, health and metrics; with no account a local desk to type at; --rehearse plays the SMS line and the team chat", "coldcase serve", runServe},
		{"rules", "check [DIR] | test [DIR] | try FILE [--db FILE] | propose FILE | names | schema", "checks, tests and explains rule files", "coldcase rules check ./our-rules", runRules},
	}
}

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400) // rules and words are compiled at every start: fewer collections on the way to the first reply
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, console{os.Stdin, os.Stdout, os.Stderr}, os.Args[1:])
	stop()
	os.Exit(code)
}

// run does one command and answers its exit code.
func run(ctx context.Context, c console, args []string) int {
	args, err := takeEnvFile(args)
	if err != nil {
		fmt.Fprintln(c.err, err)
		return 2
	}
	if len(args) == 0 || args[0] == "--help" || args[0] == "-h" || args[0] == "help" {
		if len(args) == 0 {
			help(c.err)
			return 2
		}
		help(c.out)
		return 0
	}
	for _, cmd := range commands() {
		if cmd.name != args[0] {
			continue
		}
		if wantsHelp(args[1:]) {
			fmt.Fprintf(c.out, "coldcase %s %s\n  %s\n\nExample:\n  %s\n", cmd.name, cmd.args, cmd.does, cmd.example)
			return 0
		}
		return exitCode(c, cmd, cmd.run(ctx, c, args[1:]))
	}
	fmt.Fprintf(c.err, "There is no command %q.\nTry coldcase %s.\n", args[0], meant(args[0]))
	return 2
}

// meant is the command that a mistyped one was meant to be, else how to see them all.
func meant(typed string) string {
	var names []string
	for _, cmd := range commands() {
		names = append(names, cmd.name)
	}
	return cmp.Or(nearest.To(typed, names, 2), "--help")
}

func wantsHelp(args []string) bool {
	for _, a := range args {
		if a == "--help" || a == "-h" {
			return true
		}
	}
	return false
}

func exitCode(c console, cmd command, err error) int {
	switch {
	case err == nil:
		return 0
	case errors.Is(err, errFound):
		return 1
	case errors.Is(err, errUsage):
		if text := strings.TrimSpace(err.Error()); text != "" {
			fmt.Fprintln(c.err, text)
		}
		fmt.Fprintf(c.err, "Usage: coldcase %s %s\nTry: %s\n", cmd.name, cmd.args, cmd.example)
		return 2
	}
	fmt.Fprintf(c.err, "%v\n", err)
	return 1
}

func help(w io.Writer) {
	fmt.Fprintln(w, "coldcase: the colleague you text about a dead compressor.")
	for _, cmd := range commands() {
		fmt.Fprintf(w, "  %-8s %s\n", cmd.name, cmd.does)
	}
	fmt.Fprintln(w, "coldcase COMMAND --help shows how, with an example.")
}

// wrongUsage says what is wrong with the call.
func wrongUsage(format string, args ...any) error {
	return fmt.Errorf(format+"%w", append(args, errUsage)...)
}
