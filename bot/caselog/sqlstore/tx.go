package sqlstore

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"iter"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
)

// tx is a caselog.Tx; times are unix milliseconds, JSON is text.
type tx struct {
	*sql.Tx
	ctx      context.Context
	postgres bool
}

var _ caselog.Tx = (*tx)(nil)

func (t *tx) Exec(query string, args ...any) (sql.Result, error) {
	return t.ExecContext(t.ctx, query, args...)
}

func millis(at time.Time) int64 {
	if at.IsZero() {
		return 0
	}
	return at.UnixMilli()
}

func fromMillis(ms int64) time.Time {
	if ms == 0 {
		return time.Time{}
	}
	return time.UnixMilli(ms).UTC()
}

// place is the key by which a unit at a site is found again: letter case and
// spaces do not count.
func place(site, unit string) string {
	return strings.ToLower(strings.ReplaceAll(site, " ", "") + "/" + strings.ReplaceAll(strings.ReplaceAll(unit, " ", ""), "-", ""))
}

func (t *tx) Open(c caselog.Case) (casenumber.Number, error) {
	var n int64
	err := t.QueryRowContext(t.ctx, "insert into cases(opened, last_at, opened_by, site, unit, place, refrigerant) values($1,$1,$2,$3,$4,$5,$6) returning number",
		millis(c.Opened), c.OpenedBy, c.Site, c.Unit, place(c.Site, c.Unit), c.Refrigerant).Scan(&n)
	if err != nil {
		return 0, fmt.Errorf("open a case: %w", err)
	}
	return casenumber.Number(n), nil
}

const caseColumns = "number, opened, closed, last_at, opened_by, site, unit, refrigerant, cause"

func scanCase(row interface{ Scan(...any) error }) (caselog.Case, error) {
	var c caselog.Case
	var n, opened, closed, last int64
	err := row.Scan(&n, &opened, &closed, &last, &c.OpenedBy, &c.Site, &c.Unit, &c.Refrigerant, &c.Cause)
	c.Number, c.Opened, c.Closed, c.LastAt = casenumber.Number(n), fromMillis(opened), fromMillis(closed), fromMillis(last)
	return c, err
}

func (t *tx) Case(n casenumber.Number) (caselog.Case, error) {
	c, err := scanCase(t.QueryRowContext(t.ctx, "select "+caseColumns+" from cases where number=$1", int64(n)))
	if errors.Is(err, sql.ErrNoRows) {
		return c, caselog.ErrNoCase
	}
	if err != nil {
		return c, fmt.Errorf("case %s: %w", n, err)
	}
	return c, nil
}

func (t *tx) SaveCase(c caselog.Case) error {
	_, err := t.Exec("update cases set closed=$2, last_at=$3, site=$4, unit=$5, place=$6, refrigerant=$7, cause=$8 where number=$1",
		int64(c.Number), millis(c.Closed), millis(c.LastAt), c.Site, c.Unit, place(c.Site, c.Unit), c.Refrigerant, c.Cause)
	if err != nil {
		return fmt.Errorf("save case %s: %w", c.Number, err)
	}
	return nil
}

func (t *tx) Append(n casenumber.Number, entries []caselog.Entry) error {
	if t.postgres { // one writer a case: the sequence has no holes and no doubles
		if _, err := t.Exec("select number from cases where number=$1 for update", int64(n)); err != nil {
			return fmt.Errorf("append to case %s: %w", n, err)
		}
	}
	var last int
	if err := t.QueryRowContext(t.ctx, "select coalesce(max(seq), 0) from entries where case_number=$1", int64(n)).Scan(&last); err != nil {
		return fmt.Errorf("append to case %s: %w", n, err)
	}
	for i := range entries {
		e := &entries[i]
		e.Seq = last + i + 1
		_, err := t.Exec("insert into entries(case_number, seq, at, kind, person, channel, provider_id, body, words) values($1,$2,$3,$4,$5,$6,$7,$8,$9)",
			int64(n), e.Seq, millis(e.At), string(e.Kind), e.By, e.Channel, e.ProviderID, string(e.Body), e.Text)
		if err != nil {
			return fmt.Errorf("append to case %s: %w", n, err)
		}
	}
	return nil
}

func (t *tx) Entries(n casenumber.Number) ([]caselog.Entry, error) {
	rows, err := t.QueryContext(t.ctx, "select seq, at, kind, person, channel, provider_id, body, words from entries where case_number=$1 order by seq", int64(n))
	if err != nil {
		return nil, fmt.Errorf("entries of case %s: %w", n, err)
	}
	defer rows.Close()
	var all []caselog.Entry
	for rows.Next() {
		var e caselog.Entry
		var at int64
		var body string
		if err := rows.Scan(&e.Seq, &at, &e.Kind, &e.By, &e.Channel, &e.ProviderID, &body, &e.Text); err != nil {
			return nil, fmt.Errorf("entries of case %s: %w", n, err)
		}
		e.At = fromMillis(at)
		if body != "" {
			e.Body = json.RawMessage(body)
		}
		all = append(all, e)
	}
	return all, rows.Err()
}

func (t *tx) Person(name string) (caselog.Person, error) {
	p := caselog.Person{Name: name}
	var state string
	err := t.QueryRowContext(t.ctx, "select state from people where name=$1", name).Scan(&state)
	if errors.Is(err, sql.ErrNoRows) {
		return p, nil
	}
	if err != nil {
		return p, fmt.Errorf("person: %w", err)
	}
	if err := json.Unmarshal([]byte(state), &p); err != nil {
		return p, fmt.Errorf("person: %w", err)
	}
	return p, nil
}

func (t *tx) SavePerson(p caselog.Person) error {
	state, err := json.Marshal(p)
	if err != nil {
		return fmt.Errorf("person: %w", err)
	}
	_, err = t.Exec("insert into people(name, state) values($1,$2) on conflict(name) do update set state=excluded.state", p.Name, string(state))
	if err != nil {
		return fmt.Errorf("save person: %w", err)
	}
	return nil
}

func (t *tx) Find(f caselog.Filter) iter.Seq2[caselog.Case, error] {
	return func(yield func(caselog.Case, error) bool) {
		rows, err := t.QueryContext(t.ctx, "select "+caseColumns+" from cases where opened>=$1 and ($2='' or refrigerant=$2) and ($3='' or cause=$3) order by number", millis(f.Since), f.Refrigerant, f.Cause)
		if err != nil {
			yield(caselog.Case{}, fmt.Errorf("find cases: %w", err))
			return
		}
		defer rows.Close()
		for rows.Next() {
			c, err := scanCase(rows)
			if err == nil && !matches(c, f) {
				continue
			}
			if !yield(c, err) || err != nil {
				return
			}
		}
		if err := rows.Err(); err != nil {
			yield(caselog.Case{}, fmt.Errorf("find cases: %w", err))
		}
	}
}

func matches(c caselog.Case, f caselog.Filter) bool {
	return (f.Unit == "" || place("", c.Unit) == place("", f.Unit)) && (f.Site == "" || place(c.Site, "") == place(f.Site, ""))
}

func (t *tx) Enqueue(o caselog.Outgoing) error {
	_, err := t.Exec("insert into outbox(dest, kind, payload, idem, due_at) values($1,$2,$3,$4,$5) on conflict(idem) do nothing", o.Dest, o.Kind, o.Payload, o.Idem, millis(o.Due))
	if err != nil {
		return fmt.Errorf("queue a message: %w", err)
	}
	return nil
}

func (t *tx) Forget(name, by string) (int, error) {
	done, err := t.Exec("update entries set person=$2 where person=$1", name, by)
	if err != nil {
		return 0, fmt.Errorf("forget: %w", err)
	}
	n, err := done.RowsAffected()
	if err != nil {
		return 0, fmt.Errorf("forget: %w", err)
	}
	if _, err := t.Exec("update cases set opened_by=$2 where opened_by=$1", name, by); err != nil {
		return 0, fmt.Errorf("forget: %w", err)
	}
	if _, err := t.Exec("delete from people where name=$1", name); err != nil {
		return 0, fmt.Errorf("forget: %w", err)
	}
	return int(n), nil
}
