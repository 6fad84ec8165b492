package sqlstore

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"
)

//go:embed migrations
var migrations embed.FS

// migrate brings the tables up to date. folder is sqlite or postgres.
func migrate(ctx context.Context, db *sql.DB, dialect goose.Dialect, folder string, options ...goose.ProviderOption) error {
	steps, err := fs.Sub(migrations, "migrations/"+folder)
	if err != nil {
		return err
	}
	provider, err := goose.NewProvider(dialect, db, steps, options...)
	if err != nil {
		return fmt.Errorf("casebook tables: %w", err)
	}
	if _, err := provider.Up(ctx); err != nil {
		return fmt.Errorf("casebook tables: %w", err)
	}
	return nil
}
