// Package sqlstore is the casebook in SQL: one text of every query for SQLite and
// PostgreSQL. What differs between them is in the Dialect that the engines give.
package sqlstore

import (
	"context"
	"database/sql"
	"encoding/json"
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
	Notify     string           // statement that wakes the other replicas; "" where there are none
	Again      func(error) bool // the transaction lost a race and is to be run again
}

// Store is the part of caselog.Store that both engines share.
type Store struct {
	write, read *sql.DB
	dialect     Dialect
	wake        chan struct{}
}

// New wraps a migrated database. read may be the same as write.
func New(write, read *sql.DB, d Dialect) *Store {
	return &Store{write: write, read: read, dialect: d, wake: make(chan struct{}, 1)}
}

// Close ends both pools.
func (s *Store) Close() error {
	err := s.write.Close()
	if s.read != s.write {
		if e := s.read.Close(); err == nil {
			err = e
		}
	}
	return err
}

// Receive implements caselog.Store.
func (s *Store) Receive(ctx context.Context, in caselog.Inbound, work func(caselog.Tx) error) (bool, error) {
	body, err := json.Marshal(in)
	if err != nil {
		return false, fmt.Errorf("inbound message: %w", err)
	}
	seen := false
	err = s.update(ctx, func(t *tx) error {
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
	return s.update(ctx, func(t *tx) error { return work(t) })
}

// View implements caselog.Store.
func (s *Store) View(ctx context.Context, work func(caselog.Tx) error) error {
	raw, err := s.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true, Isolation: sql.LevelDefault})
	if err != nil {
		return fmt.Errorf("casebook: %w", err)
	}
	defer func() { _ = raw.Rollback() }()
	return work(&tx{ctx: ctx, raw: raw})
}

const tries = 10 // of one transaction that keeps losing races

func (s *Store) update(ctx context.Context, work func(*tx) error) error {
	for try := 1; ; try++ {
		woken, err := s.once(ctx, work)
		if err == nil {
			if woken {
				s.Awake()
			}
			return nil
		}
		if try == tries || s.dialect.Again == nil || !s.dialect.Again(err) || ctx.Err() != nil {
			return err
		}
		time.Sleep(time.Duration(try*try) * time.Millisecond)
	}
}

func (s *Store) once(ctx context.Context, work func(*tx) error) (queued bool, err error) {
	raw, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return false, fmt.Errorf("casebook: %w", err)
	}
	defer func() { _ = raw.Rollback() }() // after a commit it does nothing
	t := &tx{ctx: ctx, raw: raw, store: s}
	if err := work(t); err != nil {
		return false, err
	}
	if t.queued && s.dialect.Notify != "" {
		if _, err := t.exec(s.dialect.Notify); err != nil {
			return false, err
		}
	}
	if err := raw.Commit(); err != nil {
		return false, fmt.Errorf("casebook: commit: %w", err)
	}
	return t.queued, nil
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
