package sqlstore

import (
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/json"
	"fmt"
)

// tx is one transaction, as caselog.Tx. store is nil when it only reads.
type tx struct {
	ctx    context.Context // of the one call of Update, Receive or View that it lives in
	raw    querier
	store  *Store
	queued bool // rows were put into the outbox
}

// querier is what runs the statements: a transaction, or the connection that one
// was begun on.
type querier interface {
	ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error)
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

func (t *tx) exec(query string, args ...any) (changed int64, err error) {
	res, err := t.raw.ExecContext(t.ctx, query, args...)
	if err != nil {
		return 0, fmt.Errorf("casebook: %w", err)
	}
	return res.RowsAffected()
}

// each reads all rows before it returns, so that the connection is free for the next query.
func each[T any](t *tx, scan func(func(...any) error) (T, error), query string, args ...any) (all []T, err error) {
	rows, err := t.raw.QueryContext(t.ctx, query, args...)
	if err != nil {
		return nil, fmt.Errorf("casebook: %w", err)
	}
	defer func() { _ = rows.Close() }()
	for rows.Next() {
		one, err := scan(rows.Scan)
		if err != nil {
			return nil, fmt.Errorf("casebook: %w", err)
		}
		all = append(all, one)
	}
	return all, rows.Err()
}

// forUpdate is empty when the transaction only reads.
func (t *tx) forUpdate() string {
	if t.store == nil {
		return ""
	}
	return t.store.dialect.ForUpdate
}

func text(j json.RawMessage) any {
	if len(j) == 0 {
		return nil
	}
	return string(j)
}

func raw(s sql.NullString) json.RawMessage {
	if !s.Valid {
		return nil
	}
	return json.RawMessage(s.String)
}

func random() string { return rand.Text() }
