package sqlstore

import (
	"database/sql"
	"errors"
	"fmt"
	"iter"
	"strings"

	"coldcase/bot/caselog"
)

const caseColumns = `number, site, unit, refrigerant, person, opened, last, closed, cause, standing, thread, entries`

func scanCase(scan func(...any) error) (c caselog.Case, err error) {
	var opened, last, closed sql.NullInt64
	err = scan(&c.Number, &c.Site, &c.Unit, &c.Refrigerant, &c.OpenedBy, &opened, &last, &closed,
		&c.Cause, &c.Standing, &c.Thread, &c.Entries)
	c.Opened, c.LastAt, c.Closed = moment(opened), moment(last), moment(closed)
	return c, err
}

func (t *tx) Open(c caselog.Case) (caselog.Number, error) {
	err := t.raw.QueryRowContext(t.ctx,
		`update counter set value = value + 1 where name = 'case' returning value`).Scan(&c.Number)
	if err != nil {
		return 0, fmt.Errorf("next case number: %w", err)
	}
	if c.LastAt.IsZero() {
		c.LastAt = c.Opened
	}
	_, err = t.exec(`insert into cases (`+caseColumns+`, place) values ($1,$2,$3,$4,$5,$6,$7,$8,$9,$10,$11,$12,$13)`,
		c.Number, c.Site, c.Unit, c.Refrigerant, c.OpenedBy, c.Opened.UnixMilli(), c.LastAt.UnixMilli(), millis(c.Closed),
		c.Cause, c.Standing, c.Thread, 0, place(c.Site, c.Unit))
	return c.Number, err
}

func (t *tx) SaveCase(c caselog.Case) error {
	n, err := t.exec(`update cases set site=$2, unit=$3, refrigerant=$4, person=$5, last=$6, closed=$7,
		cause=$8, standing=$9, thread=$10, place=$11 where number=$1`,
		c.Number, c.Site, c.Unit, c.Refrigerant, c.OpenedBy, c.LastAt.UnixMilli(), millis(c.Closed),
		c.Cause, c.Standing, c.Thread, place(c.Site, c.Unit))
	if err == nil && n == 0 {
		err = fmt.Errorf("case %s: %w", c.Number, caselog.ErrNoCase)
	}
	return err
}

func (t *tx) Case(n caselog.Number) (caselog.Case, error) {
	row := t.raw.QueryRowContext(t.ctx, `select `+caseColumns+` from cases where number=$1`+t.forUpdate(), n)
	c, err := scanCase(row.Scan)
	if errors.Is(err, sql.ErrNoRows) {
		err = caselog.ErrNoCase
	}
	if err != nil {
		err = fmt.Errorf("case %s: %w", n, err)
	}
	return c, err
}

// Append takes the sequence numbers from the case's own row: whoever appends next
// waits for this transaction, and a rollback gives them back. So there are no holes.
func (t *tx) Append(n caselog.Number, entries []caselog.Entry) error {
	if len(entries) == 0 {
		return nil
	}
	latest := int64(0)
	for _, e := range entries {
		if e.Kind == caselog.KindMessage {
			latest = max(latest, e.At.UnixMilli())
		}
	}
	var count int
	err := t.raw.QueryRowContext(t.ctx, `update cases set entries = entries + $2, last = case when last < $3 then $3 else last end
		where number=$1 returning entries`, n, len(entries), latest).Scan(&count)
	if errors.Is(err, sql.ErrNoRows) {
		err = caselog.ErrNoCase
	}
	if err != nil {
		return fmt.Errorf("append to case %s: %w", n, err)
	}
	for i := range entries {
		entries[i].Seq = count - len(entries) + 1 + i
	}
	return t.insertEntries(n, entries)
}

// insertEntries writes all of them with one statement.
func (t *tx) insertEntries(n caselog.Number, entries []caselog.Entry) error {
	const columns = 9
	var rows []string
	var args []any
	for i, e := range entries {
		marks := make([]string, columns)
		for c := range marks {
			marks[c] = fmt.Sprintf("$%d", i*columns+c+1)
		}
		rows = append(rows, "("+strings.Join(marks, ",")+")")
		args = append(args, n, e.Seq, e.At.UnixMilli(), string(e.Kind), e.By, e.Channel, e.ProviderID, e.Text, text(e.Body))
	}
	_, err := t.exec(`insert into entries (case_no, seq, at, kind, person, channel, provider_id, text, body) values `+
		strings.Join(rows, ","), args...)
	return err
}

func (t *tx) Entries(n caselog.Number) ([]caselog.Entry, error) {
	return each(t, scanEntry, `select seq, at, kind, person, channel, provider_id, text, body from entries where case_no=$1 order by seq`, n)
}

func (t *tx) Said(n caselog.Number) ([]caselog.Entry, error) {
	return each(t, scanEntry, `select seq, at, kind, person, channel, provider_id, text,
		case kind when 'reply' then null else body end from entries where case_no=$1 and kind<>'judgement' order by seq`, n)
}

func scanEntry(scan func(...any) error) (e caselog.Entry, err error) {
	var at sql.NullInt64
	var body sql.NullString
	err = scan(&e.Seq, &at, &e.Kind, &e.By, &e.Channel, &e.ProviderID, &e.Text, &body)
	e.At, e.Body = moment(at), raw(body)
	return e, err
}

func (t *tx) CasesOfUnit(site, unit string) ([]caselog.Case, error) {
	return each(t, scanCase, `select `+caseColumns+` from cases
		where place=$1 order by number desc`, place(site, unit))
}

func (t *tx) CaseOfThread(thread string) (n caselog.Number, err error) {
	err = t.raw.QueryRowContext(t.ctx, `select number from cases where thread=$1 and thread<>''`, thread).Scan(&n)
	if errors.Is(err, sql.ErrNoRows) {
		err = caselog.ErrNoCase
	}
	return n, err
}

const page = 500 // cases that Find reads at a time

func (t *tx) Find(f caselog.Filter) iter.Seq2[caselog.Case, error] {
	where, args := conditions(f)
	return func(yield func(caselog.Case, error) bool) {
		last := caselog.Number(0)
		for {
			found, err := each(t, scanCase, fmt.Sprintf(`select `+caseColumns+` from cases
				where number > $1%s order by number limit %d`, where, page), append([]any{last}, args...)...)
			if err != nil {
				yield(caselog.Case{}, err)
				return
			}
			for _, c := range found {
				if last = c.Number; !yield(c, nil) {
					return
				}
			}
			if len(found) < page {
				return
			}
		}
	}
}

func conditions(f caselog.Filter) (where string, args []any) {
	and := func(condition string, value any) {
		args = append(args, value)
		where += fmt.Sprintf(" and "+condition, len(args)+1)
	}
	for column, want := range map[string]string{
		"refrigerant": f.Refrigerant, "cause": f.Cause, "person": f.Person,
	} {
		if want != "" {
			and("lower("+column+") = $%d", strings.ToLower(want))
		}
	}
	if f.Unit != "" {
		and(`place like $%d escape '\'`, "%/"+literal(squeeze(f.Unit)))
	}
	if f.Site != "" {
		and(`place like $%d escape '\'`, literal(squeeze(f.Site))+"/%")
	}
	if !f.Since.IsZero() {
		and("opened >= $%d", f.Since.UnixMilli())
	}
	if !f.Until.IsZero() {
		and("opened < $%d", f.Until.UnixMilli())
	}
	if f.OpenOnly {
		where += " and closed is null"
	}
	return where, args
}

// place is the key by which a unit at a site is found again: letter case, spaces
// and dashes do not count.
func place(site, unit string) string { return squeeze(site) + "/" + squeeze(unit) }

func squeeze(s string) string {
	return strings.NewReplacer(" ", "", "-", "", "/", "").Replace(strings.ToLower(s))
}

// literal keeps what was typed from being read as a pattern.
func literal(s string) string { return strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`).Replace(s) }
