package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// writer is the one that writes to an SQLite file. Whatever waits when it comes to
// its turn is done in one transaction, each piece of work in a savepoint of its own,
// and put on the disk by one commit. Nobody is told "done" before that commit.
type writer struct {
	db          *sql.DB
	first, next chan *turn // in goes before out
	quit, ended chan struct{}

	conn  *sql.Conn // of the writer's goroutine alone, with its prepared statements
	stmts map[string]*sql.Stmt
}

// turn is one piece of work.
type turn struct {
	t     *tx
	work  func(*tx) error
	err   error
	broke any // what the work panicked with
	done  chan struct{}
}

const (
	roundMost   = 16 // of each kind in one transaction: who came first waits for the last
	roundWithin = 20 * time.Millisecond
	stmtsMost   = 200
)

var errClosed = errors.New("casebook: closed")

func newWriter(db *sql.DB) *writer {
	w := &writer{db: db, first: make(chan *turn), next: make(chan *turn), quit: make(chan struct{}), ended: make(chan struct{})}
	go w.run()
	return w
}

// do waits for its turn no longer than its context; work that has begun is ended.
func (w *writer) do(t *tx, h haste, work func(*tx) error) error {
	mine, queue := &turn{t: t, work: work, done: make(chan struct{})}, w.next
	if h == inbound {
		queue = w.first
	}
	select {
	case queue <- mine:
	case <-t.ctx.Done():
		return fmt.Errorf("casebook: %w", t.ctx.Err())
	case <-w.quit:
		return errClosed
	}
	<-mine.done
	if mine.broke != nil {
		panic(mine.broke)
	}
	return mine.err
}

func (w *writer) close() error {
	close(w.quit)
	<-w.ended
	return errors.Join(w.drop(), w.db.Close())
}

func (w *writer) run() {
	defer close(w.ended)
	for {
		one := waiting(w.first)
		if one == nil {
			select {
			case <-w.quit:
				return
			case one = <-w.first:
			case one = <-w.next:
			}
		}
		w.round(one)
	}
}

// round does one turn and those that wait behind it, and commits.
func (w *writer) round(one *turn) {
	all, began := []*turn{one}, time.Now()
	kept, err := w.open(one)
	for _, queue := range []chan *turn{w.first, w.next} {
		for n := 0; kept && err == nil && n < roundMost && time.Since(began) < roundWithin; n++ {
			if one = waiting(queue); one == nil {
				break
			}
			all = append(all, one)
			err = w.take(one)
		}
	}
	if kept || err != nil {
		err = w.end(err)
	}
	if err != nil {
		_ = w.drop() // the next round begins on a fresh connection
	}
	for _, one := range all {
		if one.err == nil {
			one.err = err
		}
		close(one.done)
	}
}

// open begins a transaction with its first piece of work, which needs no savepoint:
// when it fails there is nothing else to keep, and kept is false.
func (w *writer) open(one *turn) (kept bool, err error) {
	if one.late() {
		return false, nil
	}
	if err := w.begin(); err != nil {
		return false, err
	}
	one.run(w)
	if one.failed() {
		return false, w.say("rollback")
	}
	return true, nil
}

func waiting(queue chan *turn) *turn {
	select {
	case one := <-queue:
		return one
	default:
		return nil
	}
}

func (w *writer) begin() (err error) {
	if w.conn == nil {
		if w.conn, err = w.db.Conn(context.Background()); err != nil {
			return fmt.Errorf("casebook: %w", err)
		}
		w.stmts = map[string]*sql.Stmt{}
	}
	return w.say("begin immediate")
}

// end commits, or takes everything back when the transaction can't be trusted.
func (w *writer) end(broken error) error {
	if broken == nil {
		broken = w.say("commit")
	}
	if broken != nil && w.conn != nil {
		_ = w.say("rollback") // there may be nothing left to take back
	}
	return broken
}

// take does one piece of work. An error of its own is its own and leaves nothing; what
// is returned breaks the whole transaction.
func (w *writer) take(one *turn) error {
	if one.late() {
		return nil
	}
	if err := w.say("savepoint turn"); err != nil {
		return err
	}
	one.run(w)
	if one.failed() {
		if err := w.say("rollback to turn"); err != nil {
			return err
		}
	}
	return w.say("release turn")
}

// late: whoever brought the work has stopped waiting.
func (one *turn) late() bool {
	one.err = one.t.ctx.Err()
	return one.err != nil
}

func (one *turn) failed() bool { return one.err != nil || one.broke != nil }

// run does the work; a panic goes back to whoever brought it. Nothing is broken off in
// the middle: SQLite would take the work of others back, too.
func (one *turn) run(w *writer) {
	one.t.ctx, one.t.raw = context.WithoutCancel(one.t.ctx), w
	defer func() { one.broke = recover() }()
	one.err = one.work(one.t)
}

func (w *writer) say(statement string) error {
	if _, err := w.ExecContext(context.Background(), statement); err != nil {
		return fmt.Errorf("casebook: %s: %w", statement, err)
	}
	return nil
}

// drop gives the connection up.
func (w *writer) drop() error {
	if w.conn == nil {
		return nil
	}
	var err error
	for _, s := range w.stmts {
		err = errors.Join(err, s.Close())
	}
	err = errors.Join(err, w.conn.Close())
	w.conn, w.stmts = nil, nil
	return err
}

// statement is what a prepared one can do.
type statement interface {
	ExecContext(ctx context.Context, args ...any) (sql.Result, error)
	QueryContext(ctx context.Context, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, args ...any) *sql.Row
}

// ready is a statement that SQLite has read before, mostly. It is closed with the
// connection, or to make room.
func (w *writer) ready(ctx context.Context, query string) (statement, error) {
	if s, ok := w.stmts[query]; ok {
		return s, nil
	}
	if err := w.makeRoom(); err != nil {
		return nil, err
	}
	s, err := w.conn.PrepareContext(ctx, query)
	if err != nil {
		return nil, err
	}
	w.stmts[query] = s
	return s, nil
}

func (w *writer) makeRoom() error {
	if len(w.stmts) < stmtsMost {
		return nil
	}
	for query, s := range w.stmts { // any one
		delete(w.stmts, query)
		return s.Close()
	}
	return nil
}

func (w *writer) ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error) {
	s, err := w.ready(ctx, query)
	if err != nil {
		return nil, err
	}
	return s.ExecContext(ctx, args...)
}

func (w *writer) QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error) {
	s, err := w.ready(ctx, query)
	if err != nil {
		return nil, err
	}
	return s.QueryContext(ctx, args...)
}

func (w *writer) QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row {
	s, err := w.ready(ctx, query)
	if err != nil {
		return w.conn.QueryRowContext(ctx, query, args...) // says the same error
	}
	return s.QueryRowContext(ctx, args...)
}
