package sqlstore

import (
	"context"
	"encoding/json"
	"regexp"
	"strings"

	"coldcase/bot/caselog"
)

// Forget implements caselog.Store: the name becomes a pseudonym, addresses go,
// and what was measured and judged stays where it was.
func (s *Store) Forget(ctx context.Context, who caselog.Forgotten) (changed int, err error) {
	err = s.update(ctx, outbound, func(t *tx) error {
		changed = 0
		return t.forget(who, &changed)
	})
	return changed, err
}

// pseudonym stands for a forgotten person; the same on every row, so that a case
// still shows which messages came from one hand. It is random and does not
// lead back to the name.
func pseudonym() string { return "forgotten-" + strings.ToLower(random()[:8]) }

func (t *tx) forget(who caselog.Forgotten, changed *int) error {
	alias := pseudonym()
	count := func(query string, args ...any) error {
		n, err := t.exec(query, args...)
		*changed += int(n)
		return err
	}
	words := redaction(who, alias)
	if err := t.redactEntries(who, alias, words, changed); err != nil {
		return err
	}
	if err := t.dropWaiting(who, changed); err != nil {
		return err
	}
	if err := t.redactOutbox(words, changed); err != nil {
		return err
	}
	for _, query := range []string{
		`update cases set person=$2 where person=$1`, `update visits set person=$2 where person=$1`,
	} {
		if err := count(query, who.Name, alias); err != nil {
			return err
		}
	}
	// The inbox row stays, so that a redelivered message is still known; what it said goes.
	for _, name := range append([]string{who.Name}, who.Addresses...) {
		if err := count(`update inbox set person=$2, body='{}' where person=$1`, name, alias); err != nil {
			return err
		}
		if err := count(`delete from people where name=$1`, name); err != nil {
			return err
		}
	}
	return nil
}

// dropWaiting: what still waited for this person is not sent any more.
func (t *tx) dropWaiting(who caselog.Forgotten, changed *int) error {
	for _, address := range who.Addresses {
		n, err := t.exec(`update outbox set state='dead', last_error='forgotten'
			where `+open+` and dest like $1 escape '\'`, "%:"+literal(address))
		if err != nil {
			return err
		}
		*changed += int(n)
	}
	return nil
}

// redactOutbox rewrites the rows that name the person, whoever they were for.
func (t *tx) redactOutbox(words *redactor, changed *int) error {
	type row struct {
		id            int64
		dest, payload string
	}
	all, err := each(t, func(scan func(...any) error) (r row, err error) {
		err = scan(&r.id, &r.dest, &r.payload)
		return r, err
	}, `select id, dest, payload from outbox`)
	if err != nil {
		return err
	}
	for _, r := range all {
		dest, payload := words.Replace(r.dest), words.Replace(r.payload)
		if dest == r.dest && payload == r.payload {
			continue
		}
		if _, err := t.exec(`update outbox set dest=$2, payload=$3 where id=$1`, r.id, dest, payload); err != nil {
			return err
		}
		*changed++
	}
	return nil
}

// redactEntries rewrites only the rows that name the person; Seq, time, kind and readings stay.
func (t *tx) redactEntries(who caselog.Forgotten, alias string, words *redactor, changed *int) error {
	type place struct {
		n caselog.Number
		e caselog.Entry
	}
	all, err := each(t, func(scan func(...any) error) (p place, err error) {
		var body *string
		err = scan(&p.n, &p.e.Seq, &p.e.By, &p.e.ProviderID, &p.e.Text, &body)
		if body != nil {
			p.e.Body = json.RawMessage(*body)
		}
		return p, err
	}, `select case_no, seq, person, provider_id, text, body from entries`)
	if err != nil {
		return err
	}
	for _, p := range all {
		by, said, body := p.e.By, words.Replace(p.e.Text), words.Replace(string(p.e.Body))
		if by == who.Name {
			by = alias
		}
		if by == p.e.By && said == p.e.Text && body == string(p.e.Body) {
			continue
		}
		if _, err := t.exec(`update entries set person=$3, text=$4, body=$5 where case_no=$1 and seq=$2`,
			p.n, p.e.Seq, by, said, text(json.RawMessage(body))); err != nil {
			return err
		}
		*changed++
	}
	return nil
}

// redaction takes a name out where it stands as a word, and addresses wherever they are.
func redaction(who caselog.Forgotten, alias string) *redactor {
	r := &redactor{alias: alias}
	var places []string
	for _, address := range who.Addresses {
		if digits := strings.TrimPrefix(address, "+"); digits != "" {
			places = append(places, `\+?`+regexp.QuoteMeta(digits))
		}
	}
	if len(places) > 0 {
		r.address = regexp.MustCompile(strings.Join(places, "|"))
	}
	if who.Name != "" {
		r.name = regexp.MustCompile(`\b` + regexp.QuoteMeta(who.Name) + `\b`)
	}
	return r
}

type redactor struct {
	alias         string
	name, address *regexp.Regexp // nil: nothing to take out
}

// Replace is s without the person.
func (r *redactor) Replace(s string) string {
	if r.address != nil {
		s = r.address.ReplaceAllString(s, "[removed]")
	}
	if r.name != nil {
		s = r.name.ReplaceAllString(s, r.alias)
	}
	return s
}
