// Package sqlstore is the casebook in SQL: one text of every query for SQLite and
// PostgreSQL. What differs between them is in the Dialect that the engines give.
package sqlstore

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"time"

	"coldcase/bot/caselog"
)

// Dialect is where the two databases part.
type Dialect struct {
	ForUpdate  string           // locks the rows that a select reads; SQLite has one writer anyway
	SkipLocked string           // ends the choice of rows to lease
	LockPerson string           // statement that lets one transaction a person go on; "" where there is one writer
	Again      func(error) bool // the transaction lost a race and is to be run again
	Away       func(error) bool // no fault of the work: caselog.ErrAway
	Queued     func()           // tells the other replicas that rows wait; nil where there are none
}

// Store is the part of caselog.Store that both engines share.
type Store struct {
	read    *sql.DB
	commit  committer
	dialect Dialect
	wake    chan struct{}
}

// committer runs work in a transaction and commits it.
type committer interface {
	do(t *tx, h haste, work func(*tx) error) error
}

// haste: somebody waits at the other end of a message that comes in; what goes out
// can wait for it.
type haste bool

const (
	inbound  haste = true
	outbound haste = false
)

// newStore wraps a migrated database.
func newStore(read *sql.DB, c committer, d Dialect) *Store {
	return &Store{read: read, commit: c, dialect: d, wake: make(chan struct{}, 1)}
}

// Receive implements caselog.Store.
func (s *Store) Receive(ctx context.Context, in caselog.Inbound, work func(caselog.Tx) error) (bool, error) {
	body, err := json.Marshal(in)
	if err != nil {
		return false, fmt.Errorf("inbound message: %w", err)
	}
	seen := false
	err = s.update(ctx, inbound, func(t *tx) error {
		if seen, err = t.seenBefore(in, string(body)); seen || err != nil {
			return err
		}
		if s.dialect.LockPerson != "" && in.Person != "" {
			if _, err := t.exec(s.dialect.LockPerson, in.Person); err != nil {
				return err
			}
		}
		return work(t)
	})
	return seen, err
}

func (t *tx) seenBefore(in caselog.Inbound, body string) (bool, error) {
	id := in.ID
	if id == "" {
		id = freshID()
	}
	n, err := t.exec(`insert into inbox (src, ext, person, body, at) values ($1,$2,$3,$4,$5)
		on conflict (src, ext) do nothing`, in.Source, id, in.Person, body, millis(in.At))
	return n == 0, err
}

// Update implements caselog.Store.
func (s *Store) Update(ctx context.Context, work func(caselog.Tx) error) error {
	return s.update(ctx, outbound, func(t *tx) error { return work(t) })
}

// View implements caselog.Store.
func (s *Store) View(ctx context.Context, work func(caselog.Tx) error) error {
	raw, err := s.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true, Isolation: sql.LevelDefault})
	if err == nil {
		defer func() { _ = raw.Rollback() }()
		err = work(&tx{ctx: ctx, raw: raw})
	}
	return s.sorted(err)
}

// sorted tells trouble of the database from trouble of the work.
func (s *Store) sorted(err error) error {
	if err == nil || errors.Is(err, caselog.ErrAway) || !s.dialect.Away(err) {
		return err
	}
	return fmt.Errorf("%w: %w", caselog.ErrAway, err)
}

const tries = 10 // of one transaction that keeps losing races

func (s *Store) update(ctx context.Context, h haste, work func(*tx) error) error {
	for try := 1; ; try++ {
		t := &tx{ctx: ctx, store: s}
		err := s.commit.do(t, h, work)
		if err == nil {
			if t.queued {
				s.Awake()
				if s.dialect.Queued != nil {
					s.dialect.Queued()
				}
			}
			return nil
		}
		if try == tries || s.dialect.Again == nil || !s.dialect.Again(err) || ctx.Err() != nil {
			return s.sorted(err)
		}
		time.Sleep(time.Duration(try*try) * time.Millisecond)
	}
}

// pooled gives every transaction a connection of its own.
type pooled struct{ db *sql.DB }

func (p pooled) do(t *tx, _ haste, work func(*tx) error) error {
	raw, err := p.db.BeginTx(t.ctx, nil)
	if err != nil {
		return fmt.Errorf("casebook: %w", err)
	}
	defer func() { _ = raw.Rollback() }() // after a commit it does nothing
	t.raw = raw
	if err := work(t); err != nil {
		return err
	}
	if err := raw.Commit(); err != nil {
		return fmt.Errorf("casebook: commit: %w", err)
	}
	return nil
}

// Awake signals whoever waits on Wake.
func (s *Store) Awake() {
	select {
	case s.wake <- struct{}{}:
	default: // one signal is waiting already
	}
}

// Wake implements caselog.Queue.
func (s *Store) Wake() <-chan struct{} { return s.wake }

func millis(t time.Time) any {
	if t.IsZero() {
		return nil
	}
	return t.UnixMilli()
}

func moment(ms sql.NullInt64) time.Time {
	if !ms.Valid {
		return time.Time{}
	}
	return time.UnixMilli(ms.Int64).UTC()
}

func freshID() string {
	return "local/" + strconv.FormatInt(time.Now().UnixNano(), 36) + "/" + random()
}
