package sqlstore

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"net"
	"slices"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	_ "github.com/jackc/pgx/v5/stdlib" // registers the driver "pgx"
	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"

	"coldcase/bot/caselog"
)

// Postgres is the casebook that several replicas share.
type Postgres struct {
	*Store
	db      *sql.DB
	url     string
	cancel  context.CancelFunc
	ended   sync.WaitGroup // listener and notifier
	waiting chan struct{}  // a token: the other replicas are to be told
}

var _ caselog.Store = (*Postgres)(nil)

// connections that one replica keeps.
const connections = 16

// OpenPostgres opens the casebook at a postgres:// URL and brings its tables up to
// date; many replicas may do so at once.
func OpenPostgres(ctx context.Context, url string) (*Postgres, error) {
	db, err := sql.Open("pgx", url)
	if err != nil {
		return nil, fmt.Errorf("casebook: %w", err)
	}
	db.SetMaxOpenConns(connections)
	db.SetMaxIdleConns(connections)
	locker, err := lock.NewPostgresSessionLocker()
	if err != nil {
		return nil, errors.Join(err, db.Close())
	}
	if err := migrate(ctx, db, goose.DialectPostgres, "postgres", goose.WithSessionLocker(locker)); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	background, cancel := context.WithCancel(context.WithoutCancel(ctx))
	s := &Postgres{db: db, url: url, cancel: cancel, waiting: make(chan struct{}, 1)}
	s.Store = newStore(db, pooled{db}, Dialect{
		ForUpdate:  " for update",
		SkipLocked: " for update skip locked",
		LockPerson: `select pg_advisory_xact_lock(hashtextextended($1, 0))`,
		Again:      lostRace,
		Away:       serverAway,
		Queued:     s.queued,
	})
	s.ended.Go(func() { s.listen(background) })
	s.ended.Go(func() { s.notify(background) })
	return s, nil
}

func (s *Postgres) queued() {
	select {
	case s.waiting <- struct{}{}:
	default: // they are about to be told
	}
}

// notify wakes the other replicas after a commit, not in it: a transaction that
// notifies commits under a lock that is one for the whole server, and the commits
// of all replicas would queue up behind each other's writes to disk. A notification
// that is lost is made up for by the worker's polling.
func (s *Postgres) notify(ctx context.Context) {
	const pause = 10 * time.Millisecond // one tells of all commits of that time
	for {
		select {
		case <-ctx.Done():
			return
		case <-s.waiting:
		}
		_, _ = s.db.ExecContext(ctx, `select pg_notify('outbox', '')`)
		select {
		case <-ctx.Done():
			return
		case <-time.After(pause):
		}
	}
}

// listen wakes this replica when another one has queued something. A lost
// connection is opened again; meanwhile the worker's polling finds the rows.
func (s *Postgres) listen(ctx context.Context) {
	for ctx.Err() == nil {
		if err := s.listenOnce(ctx); err != nil {
			select {
			case <-ctx.Done():
			case <-time.After(time.Second):
			}
		}
	}
}

func (s *Postgres) listenOnce(ctx context.Context) error {
	conn, err := pgx.Connect(ctx, s.url)
	if err != nil {
		return err
	}
	defer func() { _ = conn.Close(context.WithoutCancel(ctx)) }()
	if _, err := conn.Exec(ctx, "listen outbox"); err != nil {
		return err
	}
	for {
		s.Awake() // also after a reconnect: something may have come meanwhile
		if _, err := conn.WaitForNotification(ctx); err != nil {
			return err
		}
	}
}

// lostRace: serialization failure and deadlock are run again.
func lostRace(err error) bool {
	var e *pgconn.PgError
	return errors.As(err, &e) && (e.Code == "40001" || e.Code == "40P01")
}

// serverAway: no connection, or a server that is short of something, is being stopped
// or lets nobody in. Source: PostgreSQL's manual, appendix A, classes 08, 53, 57 and
// 58, and 55000.
func serverAway(err error) bool {
	var none *pgconn.ConnectError
	var network net.Error
	if errors.As(err, &none) || errors.As(err, &network) || errors.Is(err, context.DeadlineExceeded) ||
		errors.Is(err, driver.ErrBadConn) || errors.Is(err, sql.ErrConnDone) || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return true
	}
	var e *pgconn.PgError
	return errors.As(err, &e) && (e.Code == "55000" || slices.Contains([]string{"08", "53", "57", "58"}, e.Code[:2]))
}

// TakeOver implements caselog.Queue: leases of a killed replica run out by themselves.
func (s *Postgres) TakeOver(context.Context) error { return nil }

// Backup implements caselog.Store.
func (s *Postgres) Backup(context.Context, string) error {
	return fmt.Errorf("a PostgreSQL casebook is backed up with pg_dump: %w", caselog.ErrUnsupported)
}

// Close implements caselog.Store.
func (s *Postgres) Close() error {
	s.cancel()
	s.ended.Wait()
	return s.db.Close()
}
