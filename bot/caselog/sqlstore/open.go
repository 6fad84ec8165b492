package sqlstore

import (
	"context"
	"strings"

	"coldcase/bot/caselog"
)

// Open opens the casebook at a postgres:// URL, or the SQLite file at any other path.
func Open(ctx context.Context, at string) (caselog.Store, error) {
	if strings.HasPrefix(at, "postgres://") || strings.HasPrefix(at, "postgresql://") {
		return OpenPostgres(ctx, at)
	}
	return OpenSQLite(ctx, at)
}
