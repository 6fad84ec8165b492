package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/caarlos0/env/v11"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/casenumber"
	"coldcase/bot/casepage"
)

// caseObject is a case for machines (interfaces.md).
type caseObject struct {
	Case        string          `json:"case"`
	Site        string          `json:"site"`
	Unit        string          `json:"unit"`
	Refrigerant string          `json:"refrigerant"`
	Opened      time.Time       `json:"opened"`
	Closed      *time.Time      `json:"closed"`
	Cause       *string         `json:"cause"`
	Entries     []caselog.Entry `json:"entries,omitempty"`
}

func objectOf(c caselog.Case, entries []caselog.Entry) caseObject {
	o := caseObject{Case: c.Number.String(), Site: c.Site, Unit: c.Unit, Refrigerant: c.Refrigerant, Opened: c.Opened, Entries: entries}
	if !c.Closed.IsZero() {
		o.Closed, o.Cause = &c.Closed, &c.Cause
	}
	return o
}

// withStore opens the store of the settings for a command.
func withStore(ctx context.Context, c console, db string, work func(caselog.Store) error) error {
	s, err := readSettings()
	if err != nil {
		return err
	}
	if db != "" {
		s.DB = db
	}
	store, err := sqlstore.Open(ctx, s.DB)
	if err != nil {
		return err
	}
	defer closeStore(c, store)
	return work(store)
}

func runCase(ctx context.Context, c console, args []string) error {
	if len(args) == 0 {
		return wrongUsage("say which case")
	}
	f := newFlags("case")
	asJSON := f.Bool("json", false, "for machines")
	db := f.String("db", "", "where the cases are")
	link := f.Bool("link", false, "a link to the case's page, good for 30 days")
	revoke := f.Bool("revoke", false, "make every link that was given out open nothing")
	if err := parseFlags(f, args[1:]); err != nil {
		return err
	}
	n, err := casenumber.Parse(args[0])
	if err != nil {
		return wrongUsage("%s doesn't check out: a digit is wrong or two are swapped", args[0])
	}
	if *revoke {
		return withStore(ctx, c, *db, func(s caselog.Store) error {
			return s.Update(ctx, func(t caselog.Tx) error { return casepage.Revoke(t, n) })
		})
	}
	return withStore(ctx, c, *db, func(s caselog.Store) error {
		return s.View(ctx, func(t caselog.Tx) error {
			head, err := t.Case(n)
			if errors.Is(err, caselog.ErrNoCase) {
				fmt.Fprintf(c.err, "There is no case %s.\nTry coldcase cases.\n", n)
				return errFound
			}
			if err != nil {
				return err
			}
			entries, err := t.Entries(n)
			if err != nil {
				return err
			}
			switch {
			case *link:
				return printLink(c, t, n)
			case *asJSON:
				return json.NewEncoder(c.out).Encode(objectOf(head, entries))
			}
			printCase(c, head, entries)
			return nil
		})
	})
}

// linkLives is how long a link to a case page opens.
const linkLives = 30 * 24 * time.Hour

// printLink writes the address of the case's page.
func printLink(c console, t caselog.Tx, n casenumber.Number) error {
	own, err := env.ParseAs[serveSettings]()
	if err != nil {
		return fmt.Errorf("settings: %w", err)
	}
	signer, err := casepage.NewSigner(own.LinkKey)
	if err != nil {
		return err
	}
	path, err := signer.LinkTo(t, n, time.Now().Add(linkLives))
	if err != nil {
		return err
	}
	base := own.PublicURL
	if base == "" {
		base = "http://" + own.Listen
	}
	_, err = fmt.Fprintln(c.out, strings.TrimSuffix(base, "/")+path)
	return err
}

func printCase(c console, head caselog.Case, entries []caselog.Entry) {
	fmt.Fprintln(c.out, caseLine(head))
	for _, e := range entries {
		switch e.Kind {
		case caselog.KindMessage, caselog.KindReply, caselog.KindCorrection, caselog.KindOutcome:
			fmt.Fprintf(c.out, "\n%d  %s  %s\n%s\n", e.Seq, e.At.Local().Format("2006-01-02 15:04"), e.By, e.Text)
		}
	}
}

func caseLine(h caselog.Case) string {
	state := "open"
	if !h.Closed.IsZero() {
		state = "closed " + h.Closed.Local().Format(time.DateOnly) + ", " + h.Cause
	}
	return fmt.Sprintf("%-8s %s  %-8s %s %s  %s", h.Number, h.Opened.Local().Format(time.DateOnly), h.Refrigerant, h.Unit, h.Site, state)
}

func runCases(ctx context.Context, c console, args []string) error {
	f := newFlags("cases")
	var filter caselog.Filter
	f.StringVar(&filter.Unit, "unit", "", "")
	f.StringVar(&filter.Site, "site", "", "")
	f.StringVar(&filter.Refrigerant, "refrigerant", "", "")
	f.StringVar(&filter.Cause, "cause", "", "")
	since := f.String("since", "", "")
	asJSON := f.Bool("json", false, "")
	asCSV := f.Bool("csv", false, "")
	withEntries := f.Bool("entries", false, "")
	db := f.String("db", "", "")
	if err := parseFlags(f, args); err != nil {
		return err
	}
	if *since != "" {
		at, err := time.Parse(time.DateOnly, *since)
		if err != nil {
			return wrongUsage("--since takes a date like 2026-03-01")
		}
		filter.Since = at
	}
	return withStore(ctx, c, *db, func(s caselog.Store) error {
		return s.View(ctx, func(t caselog.Tx) error {
			return listCases(c, t, filter, *asJSON, *asCSV, *withEntries)
		})
	})
}

func listCases(c console, t caselog.Tx, filter caselog.Filter, asJSON, asCSV, withEntries bool) error {
	var heads []caselog.Case
	for head, err := range t.Find(filter) {
		if err != nil {
			return err
		}
		heads = append(heads, head)
	}
	if asCSV {
		return casesCSV(c, heads)
	}
	for _, head := range heads {
		if !asJSON {
			fmt.Fprintln(c.out, caseLine(head))
			continue
		}
		var entries []caselog.Entry
		if withEntries {
			var err error
			if entries, err = t.Entries(head.Number); err != nil {
				return err
			}
		}
		if err := json.NewEncoder(c.out).Encode(objectOf(head, entries)); err != nil {
			return fmt.Errorf("write: %w", err)
		}
	}
	return nil
}

func casesCSV(c console, heads []caselog.Case) error {
	w := csv.NewWriter(c.out)
	if err := w.Write([]string{"case", "opened", "closed", "site", "unit", "refrigerant", "cause", "opened_by"}); err != nil {
		return fmt.Errorf("write: %w", err)
	}
	for _, h := range heads {
		closed := ""
		if !h.Closed.IsZero() {
			closed = h.Closed.Format(time.RFC3339)
		}
		if err := w.Write([]string{h.Number.String(), h.Opened.Format(time.RFC3339), closed, h.Site, h.Unit, h.Refrigerant, h.Cause, h.OpenedBy}); err != nil {
			return fmt.Errorf("write: %w", err)
		}
	}
	w.Flush()
	return w.Error()
}

func runBackup(ctx context.Context, c console, args []string) error {
	if len(args) != 1 {
		return wrongUsage("say the file to write")
	}
	return withStore(ctx, c, "", func(s caselog.Store) error { return s.Backup(ctx, args[0]) })
}

func runForget(ctx context.Context, c console, args []string) error {
	if len(args) != 1 || args[0] == "" {
		return wrongUsage("say whom")
	}
	return withStore(ctx, c, "", func(s caselog.Store) error {
		n, err := s.Forget(ctx, caselog.Forgotten{Name: args[0]})
		if err != nil {
			return err
		}
		fmt.Fprintf(c.err, "Took %s off %d records.\n", args[0], n)
		return nil
	})
}
