package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"coldcase/bot/caselog"
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

func runDemo(ctx context.Context, c console, _ []string) error {
	b, done, err := throwaway(ctx, c)
	if err != nil {
		return err
	}
	defer done()
	at := time.Date(2026, 3, 2, 9, 12, 0, 0, time.UTC)
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

func indent(s string) string {
	return "    " + strings.ReplaceAll(s, "\n", "\n    ")
}
