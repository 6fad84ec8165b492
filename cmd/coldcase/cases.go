package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/caarlos0/env/v11"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/casenumber"
	"coldcase/bot/casepage"
	"coldcase/bot/crew"
	"coldcase/bot/talk"
	"coldcase/refdata/vocab"
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
	store, err := openCases(ctx, s.DB)
	if err != nil {
		return err
	}
	defer closeStore(c, store)
	return work(store)
}

// openCases opens the casebook. A database's address may hold a password and is not shown.
func openCases(ctx context.Context, at string) (caselog.Store, error) {
	store, err := sqlstore.Open(ctx, at)
	if err != nil && !strings.Contains(at, "://") {
		err = fmt.Errorf("cases in %s: %w\nTry another file by --db or COLDCASE_DB", at, err)
	}
	return store, err
}

func runCase(ctx context.Context, c console, args []string) error {
	f := newFlags("case")
	asJSON := f.Bool("json", false, "for machines")
	upTo := f.String("at", "", "as it stood after entry SEQ, or at a time")
	db := f.String("db", "", "where the cases are")
	link := f.Bool("link", false, "a link to the case's page, good for 30 days")
	revoke := f.Bool("revoke", false, "make every link that was given out open nothing")
	plain, err := around(f, args)
	if err != nil {
		return err
	}
	typed := strings.Join(plain, " ")
	if typed == "" {
		return wrongUsage("say which case")
	}
	n, err := casenumber.Parse(typed)
	switch {
	case errors.Is(err, casenumber.ErrCheck):
		return wrongUsage("%s doesn't check out: a digit is wrong or two are swapped", typed)
	case err != nil:
		return wrongUsage("%v; they look like %s", err, casenumber.Number(1042))
	}
	believed, err := believedAt(*upTo)
	if err != nil {
		return err
	}
	if *revoke {
		return withStore(ctx, c, *db, func(s caselog.Store) error {
			return s.Update(ctx, func(t caselog.Tx) error { return casepage.Revoke(t, n) })
		})
	}
	return withStore(ctx, c, *db, func(s caselog.Store) error {
		return s.View(ctx, func(t caselog.Tx) error {
			if *link {
				if _, err := t.Case(n); err == nil {
					return printLink(c, t, n)
				}
			}
			return showCase(c, t, n, believed, *asJSON)
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

// believedAt reads --at: an entry's number, a date (to its end), or a time.
func believedAt(text string) (func(caselog.Entry) bool, error) {
	if text == "" {
		return func(caselog.Entry) bool { return true }, nil
	}
	if seq, err := strconv.Atoi(text); err == nil {
		return func(e caselog.Entry) bool { return e.Seq <= seq }, nil
	}
	if day, err := time.ParseInLocation(time.DateOnly, text, time.Local); err == nil {
		return func(e caselog.Entry) bool { return e.At.Before(day.AddDate(0, 0, 1)) }, nil
	}
	at, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return nil, wrongUsage("--at takes an entry's number, a date like 2026-03-01 or a time like 2026-03-01T14:00:00Z")
	}
	return func(e caselog.Entry) bool { return !e.At.After(at) }, nil
}

func showCase(c console, t caselog.Tx, n caselog.Number, believed func(caselog.Entry) bool, asJSON bool) error {
	head, err := t.Case(n)
	if errors.Is(err, caselog.ErrNoCase) {
		fmt.Fprintf(c.err, "There is no case %s.\nTry coldcase cases.\n", n)
		return errFound
	}
	if err != nil {
		return err
	}
	entries, err := entriesOf(t, n)
	if err != nil {
		return err
	}
	all := len(entries)
	entries = slices.DeleteFunc(entries, func(e caselog.Entry) bool { return !believed(e) })
	if len(entries) < all {
		if head, err = headThen(head, entries); err != nil {
			return err
		}
	}
	if asJSON {
		return json.NewEncoder(c.out).Encode(objectOf(head, entries))
	}
	printCase(c, head, entries)
	return undelivered(c, t, n)
}

// headThen is the head of a case as its first entries have it.
func headThen(head caselog.Case, entries []caselog.Entry) (caselog.Case, error) {
	then := talk.Case{Number: head.Number, Entries: entries}
	record, err := then.Record()
	if err != nil {
		return head, err
	}
	facts := record.Record().Facts
	head.Site, head.Unit, head.Refrigerant = facts[vocab.Site], facts[vocab.Unit], facts[vocab.Refrigerant]
	head.Closed, head.Cause = time.Time{}, ""
	for _, e := range entries {
		var b talk.OutcomeBody
		if e.Kind == caselog.KindOutcome && json.Unmarshal(e.Body, &b) == nil && b.Cause != "" {
			head.Closed, head.Cause = e.At, b.Cause
		}
	}
	return head, nil
}

// entriesOf is a case with its phone numbers masked.
func entriesOf(t caselog.Tx, n caselog.Number) ([]caselog.Entry, error) {
	entries, err := t.Entries(n)
	for i := range entries {
		e := &entries[i]
		e.By, e.Text = crew.MaskAll(e.By), crew.MaskAll(e.Text)
		if len(e.Body) > 0 {
			e.Body = json.RawMessage(crew.MaskAll(string(e.Body)))
		}
	}
	return entries, err
}

// undelivered tells of replies that were given up; of all cases when n is 0.
func undelivered(c console, t caselog.Tx, n caselog.Number) error {
	dead, err := t.Outgoing(caselog.Dead)
	for _, o := range dead {
		if n == 0 || o.Case == n {
			fmt.Fprintf(c.err, "Not delivered, case %s, to %s after %d tries: %s\n", o.Case, crew.MaskAll(o.Dest), o.Attempt, crew.MaskAll(o.Err))
		}
	}
	return err
}

func printCase(c console, head caselog.Case, entries []caselog.Entry) {
	fmt.Fprintln(c.out, caseLine(head))
	for _, e := range entries {
		switch e.Kind {
		case caselog.KindMessage, caselog.KindReply, caselog.KindCorrection, caselog.KindOutcome, caselog.KindVisit:
			fmt.Fprintf(c.out, "\n%d  %s  %s\n%s\n", e.Seq, e.At.Local().Format("2006-01-02 15:04"), e.By, e.Text)
		case caselog.KindPhoto:
			fmt.Fprintf(c.out, "\n%d  %s  %s\n(a photo)\n", e.Seq, e.At.Local().Format("2006-01-02 15:04"), e.By)
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

func listCases(c console, t caselog.Tx, filter caselog.Filter, asJSON, asCSV, withEntries bool) (err error) {
	var heads []caselog.Case
	for head, err := range t.Find(filter) {
		if err != nil {
			return err
		}
		heads = append(heads, head)
	}
	if len(heads) == 0 {
		fmt.Fprintln(c.err, "No case fits.")
	}
	if asCSV {
		return casesCSV(c, heads)
	}
	if !asJSON {
		defer func() { err = errors.Join(err, undelivered(c, t, 0)) }()
	}
	for _, head := range heads {
		if !asJSON {
			fmt.Fprintln(c.out, caseLine(head))
			continue
		}
		var entries []caselog.Entry
		if withEntries {
			if entries, err = entriesOf(t, head.Number); err != nil {
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
		if err := w.Write([]string{h.Number.String(), h.Opened.Format(time.RFC3339), closed, h.Site, h.Unit, h.Refrigerant, h.Cause, crew.MaskAll(h.OpenedBy)}); err != nil {
			return fmt.Errorf("write: %w", err)
		}
	}
	w.Flush()
	return w.Error()
}
