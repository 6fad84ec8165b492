package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/practice"
)

// demoJob is an invented job, from first text to closed case.
var demoJob = []struct {
	after time.Duration
	text  string
}{
	{0, "Pier 3 freezer 2 @ Harbor Lane Fish, R507A low temp semi, comp dead, third one in two years"},
	{4 * time.Minute, "head off: 2 suction reeds broken, piston cracked, head gasket blown. oil clean, half glass"},
	{3 * time.Minute, "ohms 1.9 1.9 1.9, 500 meg. bangs every time it comes out of defrost. hot gas defrost, no accumulator"},
	{time.Minute, "why"},
	{time.Minute, "plan"},
	{26 * time.Hour, "freezer 2 new comp in, accumulator fitted. 17 suct 226 head, line 12, coil outlet -11, liq line 84, disch 171"},
	{2 * time.Minute, "close liquid slug, new compressor and a suction accumulator"},
}

// demoStart is when the invented job begins.
var demoStart = time.Date(2026, 3, 2, 9, 12, 0, 0, time.UTC)

func runDemo(ctx context.Context, c console, args []string) error {
	f := newFlags("demo")
	cases := f.Int("cases", 0, "fill a casebook with this many invented cases, to try rules on")
	db := f.String("db", "", "the casebook to fill")
	seed := f.Uint64("seed", 1, "the same seed gives the same cases")
	if err := parseFlags(f, args); err != nil {
		return err
	}
	if *cases < 0 {
		return wrongUsage("--cases takes 1 or more")
	}
	if *cases > 0 {
		return fillCasebook(ctx, c, *db, *cases, *seed)
	}
	b, done, err := throwaway(ctx, c)
	if err != nil {
		return err
	}
	defer done()
	at := demoStart
	for i, m := range demoJob {
		at = at.Add(m.after)
		say, err := b.Handle(ctx, caselog.Inbound{Source: "terminal", ID: fmt.Sprint("demo/", i), Person: "Ines", Text: m.text, At: at})
		if err != nil {
			return err
		}
		fmt.Fprintf(c.out, "Ines, %s: %s\n\n%s\n\n", at.Format("Mon 15:04"), m.text, indent(say))
	}
	return nil
}

// fillCasebook adds invented cases to a casebook that is named: never by default to
// the one in use.
func fillCasebook(ctx context.Context, c console, db string, cases int, seed uint64) error {
	if db == "" {
		return wrongUsage("say the casebook to fill with --db")
	}
	s, err := readSettings()
	if err != nil {
		return err
	}
	b, _, err := openBot(ctx, c, s, db)
	if err != nil {
		return err
	}
	defer closeStore(c, b.Store)
	if err := practice.Fill(ctx, b.Store, b.Helper(), cases, seed, demoStart); err != nil {
		return err
	}
	fmt.Fprintf(c.out, "%d invented cases in %s.\n", cases, db)
	return nil
}

func indent(s string) string {
	return "    " + strings.ReplaceAll(s, "\n", "\n    ")
}
