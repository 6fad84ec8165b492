package sqlstore

import (
	"context"
	"database/sql"
	"sort"
	"time"

	"coldcase/bot/caselog"
)

// open is written out wherever open rows are looked for: SQLite takes a partial
// index only for a condition that it finds word for word.
const open = `state in ('ready','leased')`

const outboxColumns = `id, dest, kind, payload, idem, case_no, state, attempt, due_at, first_at, last_error`

func scanOutgoing(scan func(...any) error) (o caselog.Outgoing, err error) {
	var due, first sql.NullInt64
	err = scan(&o.ID, &o.Dest, &o.Kind, &o.Payload, &o.Idem, &o.Case, &o.State, &o.Attempt, &due, &first, &o.Err)
	o.Due, o.First = moment(due), moment(first)
	return o, err
}

// Enqueue implements caselog.Tx. A row is due no sooner than those of its dest that
// are before it: else whoever leases would look at a whole backlog each time, to find
// that all of it waits.
func (t *tx) Enqueue(rows ...caselog.Outgoing) error {
	for _, o := range rows {
		if o.Idem == "" {
			o.Idem = freshID()
		}
		due := int64(0)
		if !o.Due.IsZero() {
			due = o.Due.UnixMilli()
		}
		_, err := t.exec(`insert into outbox (dest, kind, payload, idem, case_no, state, attempt, due_at, owner, last_error)
			select $1,$2,$3,$4,cast($5 as bigint),'ready',0,(select max(due) from (select cast($6 as bigint) as due
			union all select due_at from outbox where dest=$1 and `+open+`) as d),'',''
			where true on conflict (idem) do nothing`,
			o.Dest, o.Kind, o.Payload, o.Idem, o.Case, due)
		if err != nil {
			return err
		}
		t.queued = true
	}
	return nil
}

func (t *tx) Outgoing(state caselog.State) ([]caselog.Outgoing, error) {
	where := `state='done'`
	switch state {
	case caselog.Dead:
		where = `state='dead'`
	case caselog.Ready, caselog.Leased:
		where = open + ` and state='` + string(state) + `'`
	}
	return each(t, scanOutgoing, `select `+outboxColumns+` from outbox where `+where+` order by id`)
}

// leaseRows: see Lease. $1 until, $2 owner, $3 now, $4 how many.
func leaseRows(skipLocked string) string {
	return `update outbox set state='leased', attempt=attempt+1, lease_until=$1, owner=$2,
		first_at=coalesce(first_at,$3) where id in (
		select id from outbox o where ` + open + ` and due_at<=$3 and (state='ready' or lease_until<$3)
		and not exists (select 1 from outbox p where p.dest=o.dest and p.id<o.id and p.` + open + `)
		order by due_at, id limit $4` + skipLocked + `) returning ` + outboxColumns
}

const (
	// those of the dest of row $1 wait, too.
	holdBehind = `update outbox set due_at=$2 where ` + open + ` and state='ready' and due_at<$2
		and dest=(select dest from outbox where id=$1)`
	holdDest = `update outbox set due_at=$2 where ` + open + ` and state='ready' and due_at<$2 and dest=$1`
	release  = `update outbox set state='ready', owner='', lease_until=null, attempt=attempt-1
		where ` + open + ` and state='leased' and owner=$1`
	takeBack = `update outbox set state='ready', owner='', lease_until=null where ` + open + ` and state='leased'`
)

// Lease takes at most the oldest open row of each dest, so each dest is strictly first in, first out.
func (s *Store) Lease(ctx context.Context, owner string, now, until time.Time, n int) (got []caselog.Outgoing, err error) {
	err = s.update(ctx, outbound, func(t *tx) error {
		got, err = each(t, scanOutgoing, leaseRows(s.dialect.SkipLocked), until.UnixMilli(), owner, now.UnixMilli(), n)
		return err
	})
	sort.Slice(got, func(i, j int) bool { return got[i].ID < got[j].ID })
	return got, err
}

// settle changes a row that the owner still holds; a late worker changes nothing.
func (s *Store) settle(ctx context.Context, owner string, id int64, also func(caselog.Tx) error, set string, args ...any) error {
	return s.update(ctx, outbound, func(t *tx) error {
		n, err := t.exec(`update outbox set owner='', lease_until=null, `+set+
			` where id=$1 and owner=$2 and state='leased'`, append([]any{id, owner}, args...)...)
		if err != nil || n == 0 {
			return err
		}
		t.queued = true // the next row of this dest may go
		if also == nil {
			return nil
		}
		return also(t)
	})
}

// Done implements caselog.Queue.
func (s *Store) Done(ctx context.Context, owner string, id int64, also func(caselog.Tx) error) error {
	return s.settle(ctx, owner, id, also, `state='done', last_error=''`)
}

// Later implements caselog.Queue.
func (s *Store) Later(ctx context.Context, owner string, id int64, due time.Time, counted bool, why string) error {
	behind := func(t caselog.Tx) error { // they wait as long
		_, err := t.(*tx).exec(holdBehind, id, due.UnixMilli())
		return err
	}
	return s.settle(ctx, owner, id, behind, `state='ready', due_at=$3, attempt=attempt-$4, last_error=$5`,
		due.UnixMilli(), number(!counted), why)
}

// GiveUp implements caselog.Queue.
func (s *Store) GiveUp(ctx context.Context, owner string, id int64, why string, also func(caselog.Tx) error) error {
	return s.settle(ctx, owner, id, also, `state='dead', last_error=$3`, why)
}

// Pace implements caselog.Queue.
func (s *Store) Pace(ctx context.Context, dest string, until time.Time) error {
	return s.update(ctx, outbound, func(t *tx) error {
		_, err := t.exec(holdDest, dest, until.UnixMilli())
		return err
	})
}

// Release implements caselog.Queue.
func (s *Store) Release(ctx context.Context, owner string) error {
	return s.update(ctx, outbound, func(t *tx) error {
		_, err := t.exec(release, owner)
		return err
	})
}

// TakeBack puts every lease back; only for a database that nobody else sends from.
func (s *Store) TakeBack(ctx context.Context) error {
	return s.update(ctx, outbound, func(t *tx) error {
		_, err := t.exec(takeBack)
		return err
	})
}

// Counts implements caselog.Queue. The rows that were sent are not counted: there
// is no end of them.
func (s *Store) Counts(ctx context.Context) (map[caselog.State]int, error) {
	counts := map[caselog.State]int{}
	err := s.View(ctx, func(r caselog.Tx) error {
		_, err := each(r.(*tx), func(scan func(...any) error) (n int, err error) {
			var state caselog.State
			err = scan(&state, &n)
			counts[state] = n
			return n, err
		}, `select state, count(*) from outbox where `+open+` group by state
			union all select state, count(*) from outbox where state='dead' group by state`)
		return err
	})
	return counts, err
}
