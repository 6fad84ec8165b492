package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"sync"

	"github.com/pressly/goose/v3"
	"golang.org/x/sys/unix"
	"modernc.org/sqlite"

	"coldcase/bot/caselog"
)

// SQLite is the embedded casebook: one file, one writer, every commit on the disk.
type SQLite struct {
	*Store
	path   string
	writer *writer
	mu     sync.Mutex
	lock   *os.File // held by whoever sends
}

var _ caselog.Store = (*SQLite)(nil)

// ErrServed is returned by TakeOver when another process sends from this file.
var ErrServed = errors.New("another process already serves this casebook")

const readers = 4

// Result codes of SQLite, without what extends them; source: its page rescode.html.
const (
	busy     = 5 // and BUSY_SNAPSHOT
	locked   = 6
	noMemory = 7
	readOnly = 8
	ioError  = 10
	full     = 13
	cantOpen = 14
)

// OpenSQLite makes or opens the casebook at path and brings its tables up to date.
func OpenSQLite(ctx context.Context, path string) (*SQLite, error) {
	if dir := filepath.Dir(path); dir != "." {
		if err := os.MkdirAll(dir, 0o700); err != nil {
			return nil, fmt.Errorf("casebook folder: %w", err)
		}
	}
	write, err := sql.Open("sqlite", dsn(path, "_txlock=immediate"))
	if err != nil {
		return nil, err
	}
	write.SetMaxOpenConns(1)
	if err := migrateAlone(ctx, write, path); err != nil {
		return nil, errors.Join(err, write.Close())
	}
	read, err := sql.Open("sqlite", dsn(path, "_pragma=query_only(1)&_pragma=cache_size(-8192)"))
	if err != nil {
		return nil, errors.Join(err, write.Close())
	}
	read.SetMaxOpenConns(readers)
	w := newWriter(write)
	return &SQLite{Store: newStore(read, w, Dialect{Again: busyNow, Away: fileAway}), path: path, writer: w}, nil
}

// dsn: a misspelt setting is dropped without a word, so a test reads them back.
func dsn(path, more string) string {
	name := (&url.URL{Scheme: "file", Opaque: (&url.URL{Path: path}).EscapedPath()}).String()
	return name + "?_pragma=busy_timeout(5000)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&" + more
}

// migrateAlone lets one process at a time make the tables.
func migrateAlone(ctx context.Context, db *sql.DB, path string) error {
	lock, err := os.OpenFile(path+".lock", os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return fmt.Errorf("casebook: %w", err)
	}
	defer func() { _ = lock.Close() }() // closing unlocks
	if err := unix.Flock(int(lock.Fd()), unix.LOCK_EX); err != nil {
		return fmt.Errorf("casebook lock: %w", err)
	}
	return migrate(ctx, db, goose.DialectSQLite3, "sqlite")
}

func busyNow(err error) bool { return code(err) == busy }

// code is SQLite's, 0 when the trouble is none of its.
func code(err error) int {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return 0
	}
	return e.Code() & 0xff
}

// fileAway: the file can't be read or written now.
func fileAway(err error) bool {
	switch code(err) {
	case busy, locked, noMemory, readOnly, ioError, full, cantOpen:
		return true
	}
	return errors.Is(err, errClosed) || errors.Is(err, context.DeadlineExceeded)
}

// TakeOver implements caselog.Queue: one sender a file, by a lock that the system
// drops when the process dies.
func (s *SQLite) TakeOver(ctx context.Context) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.lock == nil {
		lock, err := os.OpenFile(s.path+".serve", os.O_CREATE|os.O_RDWR, 0o600)
		if err != nil {
			return fmt.Errorf("casebook: %w", err)
		}
		if err := unix.Flock(int(lock.Fd()), unix.LOCK_EX|unix.LOCK_NB); err != nil {
			return errors.Join(fmt.Errorf("%s: %w", s.path, ErrServed), lock.Close())
		}
		s.lock = lock
	}
	return s.TakeBack(ctx)
}

// Backup implements caselog.Store. VACUUM INTO copies one state of the file while
// others write, and refuses a file that is there already.
func (s *SQLite) Backup(ctx context.Context, file string) error {
	part := file + ".part"
	if _, err := os.Stat(file); err == nil {
		return fmt.Errorf("%s: %w", file, os.ErrExist)
	}
	if err := os.Remove(part); err != nil && !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("backup: %w", err)
	}
	if err := s.copyTo(ctx, part); err != nil {
		return fmt.Errorf("backup: %w", err)
	}
	return os.Rename(part, file)
}

// copyTo has a connection of its own: the readers' may not write, not even to another file.
func (s *SQLite) copyTo(ctx context.Context, part string) error {
	db, err := sql.Open("sqlite", dsn(s.path, ""))
	if err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, `vacuum into $1`, part)
	if err = errors.Join(err, db.Close()); err != nil {
		return err
	}
	return flush(part)
}

// flush puts a file on the disk before it gets its name.
func flush(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// Close implements caselog.Store.
func (s *SQLite) Close() error {
	err := errors.Join(s.writer.close(), s.read.Close())
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.lock != nil {
		err = errors.Join(err, s.lock.Close())
		s.lock = nil
	}
	return err
}
