package sqlstore

import (
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"coldcase/bot/caselog"
)

func (t *tx) Person(name string) (caselog.Person, error) {
	p := caselog.Person{}
	var state string
	err := t.raw.QueryRowContext(t.ctx, `select state from people where name=$1`, name).Scan(&state)
	if err == nil {
		err = json.Unmarshal([]byte(state), &p)
	} else if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	p.Name = name
	return p, err
}

func (t *tx) SavePerson(p caselog.Person) error {
	state, err := json.Marshal(p)
	if err != nil {
		return fmt.Errorf("person: %w", err)
	}
	_, err = t.exec(`insert into people (name, state) values ($1,$2)
		on conflict (name) do update set state=excluded.state`, p.Name, string(state))
	return err
}

const visitColumns = `case_no, visit, due, wanted, person, zone, reminded, overdue, done`

func scanVisit(scan func(...any) error) (v caselog.Visit, err error) {
	var due, reminded, overdue, done sql.NullInt64
	var wanted string
	err = scan(&v.Case, &v.Visit, &due, &wanted, &v.Person, &v.Zone, &reminded, &overdue, &done)
	v.Wanted = strings.Fields(wanted)
	v.Due, v.Reminded, v.Overdue, v.Done = moment(due), moment(reminded), moment(overdue), moment(done)
	return v, err
}

func (t *tx) Visits(n caselog.Number) ([]caselog.Visit, error) {
	return each(t, scanVisit, `select `+visitColumns+` from visits where case_no=$1 order by visit`+t.forUpdate(), n)
}

const openVisits = `select ` + visitColumns + ` from visits where done is null order by due, case_no, visit`

func (t *tx) OpenVisits() ([]caselog.Visit, error) { return each(t, scanVisit, openVisits) }

func (t *tx) SaveVisit(v caselog.Visit) error {
	_, err := t.exec(`insert into visits (`+visitColumns+`) values ($1,$2,$3,$4,$5,$6,$7,$8,$9)
		on conflict (case_no, visit) do update set due=excluded.due, wanted=excluded.wanted, person=excluded.person,
		zone=excluded.zone, reminded=excluded.reminded, overdue=excluded.overdue, done=excluded.done`,
		v.Case, v.Visit, v.Due.UnixMilli(), strings.Join(v.Wanted, " "), v.Person, v.Zone,
		millis(v.Reminded), millis(v.Overdue), millis(v.Done))
	return err
}

func (t *tx) Media(sha string) (m caselog.Media, err error) {
	err = t.raw.QueryRowContext(t.ctx, `select type, bytes from media where sha256=$1`, sha).Scan(&m.Type, &m.Bytes)
	if errors.Is(err, sql.ErrNoRows) {
		err = caselog.ErrNoMedia
	}
	return m, err
}

func (t *tx) SaveMedia(m caselog.Media) (string, error) {
	sum := sha256.Sum256(m.Bytes)
	sha := hex.EncodeToString(sum[:])
	_, err := t.exec(`insert into media (sha256, type, bytes) values ($1,$2,$3) on conflict (sha256) do nothing`,
		sha, m.Type, m.Bytes)
	return sha, err
}

func (t *tx) Note(key string) (text string, err error) {
	err = t.raw.QueryRowContext(t.ctx, `select text from notes where key=$1`, key).Scan(&text)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return text, err
}

func (t *tx) Received(source, id string) (known bool, err error) {
	var one int
	err = t.raw.QueryRowContext(t.ctx, `select 1 from inbox where src=$1 and ext=$2`, source, id).Scan(&one)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	return err == nil, err
}

func (t *tx) SaveNote(key, text string) error {
	_, err := t.exec(`insert into notes (key, text) values ($1,$2)
		on conflict (key) do update set text=excluded.text`, key, text)
	return err
}

func number(b bool) int {
	if b {
		return 1
	}
	return 0
}
