// Package sqlstore keeps cases in SQLite or PostgreSQL: one SQL text for both,
// apart from the few words that they say differently.
package sqlstore

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	_ "github.com/jackc/pgx/v5/stdlib" // registers the driver "pgx"
	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"
	_ "modernc.org/sqlite" // registers the driver "sqlite"

	"coldcase/bot/caselog"
)

//go:embed migrations
var migrations embed.FS

// Store is a caselog.Store on a database.
type Store struct {
	write    *sql.DB
	read     *sql.DB
	postgres bool
}

var _ caselog.Store = (*Store)(nil)

// Open opens the store at a path of an SQLite file, or at a postgres:// URL, and
// brings its tables up to date. Many processes may open one PostgreSQL at once.
func Open(ctx context.Context, at string) (*Store, error) {
	if strings.HasPrefix(at, "postgres://") || strings.HasPrefix(at, "postgresql://") {
		return openPostgres(ctx, at)
	}
	return openSQLite(ctx, at)
}

// pragmas of the embedded store: every commit is on disk before it is answered.
const pragmas = "_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=busy_timeout(5000)&_pragma=foreign_keys(1)"

func openSQLite(ctx context.Context, path string) (*Store, error) {
	if dir := filepath.Dir(path); dir != "." {
		if err := os.MkdirAll(dir, 0o700); err != nil {
			return nil, fmt.Errorf("folder of the case store: %w", err)
		}
	}
	dsn := "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + pragmas
	write, err := sql.Open("sqlite", dsn+"&_txlock=immediate")
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	write.SetMaxOpenConns(1)
	read, err := sql.Open("sqlite", dsn)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	read.SetMaxOpenConns(4)
	s := &Store{write: write, read: read}
	return s, s.migrate(ctx, goose.DialectSQLite3, "sqlite")
}

func openPostgres(ctx context.Context, at string) (*Store, error) {
	db, err := sql.Open("pgx", at)
	if err != nil {
		return nil, fmt.Errorf("open the case store: %w", err)
	}
	db.SetMaxOpenConns(16)
	s := &Store{write: db, read: db, postgres: true}
	locker, err := lock.NewPostgresSessionLocker()
	if err != nil {
		return nil, fmt.Errorf("migration lock: %w", err)
	}
	return s, s.migrate(ctx, goose.DialectPostgres, "postgres", goose.WithSessionLocker(locker))
}

func (s *Store) migrate(ctx context.Context, d goose.Dialect, folder string, options ...goose.ProviderOption) error {
	sub, err := fs.Sub(migrations, "migrations/"+folder)
	if err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	p, err := goose.NewProvider(d, s.write, sub, options...)
	if err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("bring the case store up to date: %w", err)
	}
	return nil
}

// Close closes the database.
func (s *Store) Close() error {
	if s.read != s.write {
		if err := s.read.Close(); err != nil {
			return err
		}
	}
	return s.write.Close()
}

// Receive records a message once; see caselog.Store.
func (s *Store) Receive(ctx context.Context, in caselog.Inbound, work func(caselog.Tx) error) (seen bool, err error) {
	err = s.in(ctx, s.write, nil, func(t *tx) error {
		done, err := t.Exec("insert into inbox(src, ext, at) values($1, $2, $3) on conflict(src, ext) do nothing", in.Source, in.ID, in.At.UnixMilli())
		if err != nil {
			return fmt.Errorf("record message %s: %w", in.ID, err)
		}
		n, err := done.RowsAffected()
		if err != nil {
			return fmt.Errorf("record message %s: %w", in.ID, err)
		}
		if seen = n == 0; seen {
			return nil
		}
		return work(t)
	})
	return seen, err
}

// Update runs work in a transaction of its own.
func (s *Store) Update(ctx context.Context, work func(caselog.Tx) error) error {
	return s.in(ctx, s.write, nil, func(t *tx) error { return work(t) })
}

// View runs work in a transaction that only reads.
func (s *Store) View(ctx context.Context, work func(caselog.Tx) error) error {
	return s.in(ctx, s.read, &sql.TxOptions{ReadOnly: true}, func(t *tx) error { return work(t) })
}

func (s *Store) in(ctx context.Context, db *sql.DB, options *sql.TxOptions, work func(*tx) error) error {
	t, err := db.BeginTx(ctx, options)
	if err != nil {
		return fmt.Errorf("begin: %w", err)
	}
	if err := work(&tx{Tx: t, ctx: ctx, postgres: s.postgres}); err != nil {
		return errorsJoin(err, t.Rollback())
	}
	if err := t.Commit(); err != nil {
		return fmt.Errorf("commit: %w", err)
	}
	return nil
}

func errorsJoin(err, rollback error) error {
	if rollback != nil {
		return fmt.Errorf("%w (and rolling back: %v)", err, rollback)
	}
	return err
}

// Backup copies the embedded store to a new file while it runs.
func (s *Store) Backup(ctx context.Context, file string) error {
	if s.postgres {
		return fmt.Errorf("a PostgreSQL store is backed up with pg_dump")
	}
	if _, err := os.Stat(file); err == nil {
		return fmt.Errorf("%s is there already", file)
	}
	if _, err := s.read.ExecContext(ctx, "vacuum into $1", file); err != nil {
		return fmt.Errorf("backup: %w", err)
	}
	return nil
}
