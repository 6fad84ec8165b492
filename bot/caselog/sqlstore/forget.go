package sqlstore

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"coldcase/bot/caselog"
)

// Forget implements caselog.Store: the name becomes a pseudonym, addresses go,
// and what was measured and judged stays where it was.
func (s *Store) Forget(ctx context.Context, who caselog.Forgotten) (changed int, err error) {
	err = s.update(ctx, outbound, func(t *tx) error {
		f := &forgetting{tx: t, who: who, alias: pseudonym()}
		var err error
		if f.names, err = t.spellings(who.Name); err != nil {
			return err
		}
		f.words = redaction(f.names, who, f.alias)
		err = f.all()
		changed = f.changed
		return err
	})
	return changed, err
}

// spellings are those of a name that stand on record, else the one given.
func (t *tx) spellings(name string) (all []string, err error) {
	if name == "" {
		return nil, nil
	}
	kept, err := each(t, func(scan func(...any) error) (one string, err error) {
		err = scan(&one)
		return one, err
	}, `select person from inbox union select name from people union select person from cases
		union select person from visits union select person from entries`)
	for _, one := range kept {
		if strings.EqualFold(one, name) {
			all = append(all, one)
		}
	}
	if len(all) == 0 {
		all = []string{name}
	}
	return all, err
}

// pseudonym stands for a forgotten person; the same on every row, so that a case
// still shows which messages came from one hand. It is random and does not
// lead back to the name.
func pseudonym() string { return "forgotten-" + strings.ToLower(random()[:8]) }

type forgetting struct {
	*tx
	who     caselog.Forgotten
	names   []string // as they are spelled
	alias   string
	words   *redactor
	changed int
}

func (f *forgetting) all() error {
	for _, step := range []func() error{f.dropWaiting, f.dropKept, f.heads, f.notes, f.texts, f.pictures} {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

func (f *forgetting) count(query string, args ...any) error {
	n, err := f.exec(query, args...)
	f.changed += int(n)
	return err
}

// dropWaiting: what still waited for this person is not sent any more.
func (f *forgetting) dropWaiting() error {
	for _, address := range f.who.Addresses {
		if err := f.count(`update outbox set state='dead', last_error='forgotten'
			where `+open+` and dest like $1 escape '\'`, "%:"+literal(address)); err != nil {
			return err
		}
	}
	return nil
}

// dropKept takes what is kept of the person alone. The inbox row stays, so that a
// redelivered message is still known; what it said goes.
func (f *forgetting) dropKept() error {
	for _, name := range slices.Concat(f.names, f.who.Addresses) {
		if err := f.count(`update inbox set person=$2, body='{}' where person=$1`, name, f.alias); err != nil {
			return err
		}
		if err := f.count(`delete from people where name=$1`, name); err != nil {
			return err
		}
	}
	return nil
}

func (f *forgetting) heads() error {
	for _, column := range []string{"cases set person", "visits set person", "entries set person"} {
		for _, name := range f.names {
			if err := f.count(`update `+column+`=$2 where person=$1`, name, f.alias); err != nil {
				return err
			}
		}
	}
	return nil
}

// notes that are kept under the name or an address go.
func (f *forgetting) notes() error {
	keys, err := each(f.tx, func(scan func(...any) error) (key string, err error) {
		err = scan(&key)
		return key, err
	}, `select key from notes`)
	if err != nil {
		return err
	}
	for _, key := range keys {
		if f.words.owns(key) {
			if err := f.count(`delete from notes where key=$1`, key); err != nil {
				return err
			}
		}
	}
	return nil
}

// places are where free text may name anybody: table, its key, the text.
var places = []struct{ table, key, column string }{
	{"entries", "case_no || '/' || seq", "text"},
	{"entries", "case_no || '/' || seq", "body"},
	{"inbox", "cast(id as text)", "body"},
	{"inbox", "cast(id as text)", "person"},
	{"people", "name", "state"},
	{"notes", "key", "text"},
	{"outbox", "cast(id as text)", "dest"},
	{"outbox", "cast(id as text)", "payload"},
	{"outbox", "cast(id as text)", "last_error"},
}

// texts rewrites only what names the person; sequence, time, kind and readings stay.
func (f *forgetting) texts() error {
	for _, p := range places {
		type row struct{ key, text string }
		rows, err := each(f.tx, func(scan func(...any) error) (r row, err error) {
			err = scan(&r.key, &r.text)
			return r, err
		}, fmt.Sprintf(`select %s, %s from %s where %s is not null`, p.key, p.column, p.table, p.column))
		if err != nil {
			return err
		}
		for _, r := range rows {
			said, err := f.words.Body(r.text)
			if err != nil {
				return err
			}
			if said == r.text {
				continue
			}
			if err := f.count(fmt.Sprintf(`update %s set %s=$2 where %s=$1`, p.table, p.column, p.key), r.key, said); err != nil {
				return err
			}
		}
	}
	return nil
}

// pictures that no case and no note holds any more go, such as those of the person
// that waited for a case.
func (f *forgetting) pictures() error {
	if err := f.count(`delete from media where not exists (select 1 from entries where kind='photo' and body like '%' || sha256 || '%')
		and not exists (select 1 from notes where text like '%' || sha256 || '%')`); err != nil {
		return fmt.Errorf("pictures: %w", err)
	}
	return nil
}
