package main

import (
	"context"
	"errors"
	"fmt"
	"os"

	"coldcase/bot/caselog"
)

// runBackup copies the embedded store while it is used. DEVELOPERS.md says how to restore.
func runBackup(ctx context.Context, c console, args []string) error {
	f := newFlags("backup")
	db := f.String("db", "", "where the cases are")
	file, err := theOne(f, args, "say the file to write")
	if err != nil {
		return err
	}
	return withStore(ctx, c, *db, func(s caselog.Store) error {
		err := s.Backup(ctx, file)
		switch {
		case errors.Is(err, os.ErrExist):
			fmt.Fprintf(c.err, "%s is there already.\nName a new file.\n", file)
			return errFound
		case errors.Is(err, caselog.ErrUnsupported):
			fmt.Fprintln(c.err, "These cases are kept in PostgreSQL.\nTry pg_dump.")
			return errFound
		}
		return err
	})
}
