package bot

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
	"coldcase/bot/talk"
	"coldcase/refdata/vocab"
)

// shelf is what the loop wants of the store, in one transaction.
type shelf struct{ tx caselog.Tx }

func (s shelf) load(n casenumber.Number) (talk.Case, error) {
	if n == 0 {
		return talk.Case{}, nil
	}
	if _, err := s.tx.Case(n); err != nil {
		return talk.Case{}, fmt.Errorf("case %v: %w", n, err)
	}
	entries, err := s.tx.Entries(n)
	return talk.CaseOf(n, entries), err
}

func (s shelf) open(in talk.Incoming) (casenumber.Number, error) {
	return s.tx.Open(caselog.Case{Opened: in.At, LastAt: in.At, OpenedBy: in.By})
}

// append adds entries and brings the head of the case up to date.
func (s shelf) append(n casenumber.Number, entries []caselog.Entry, turn talk.Turn, at time.Time) error {
	head, err := s.tx.Case(n)
	if err != nil {
		return err
	}
	head.LastAt = at
	for fact, to := range map[vocab.Fact]*string{vocab.Site: &head.Site, vocab.Unit: &head.Unit, vocab.Refrigerant: &head.Refrigerant} {
		if v := turn.Facts[fact]; v != "" {
			*to = v
		}
	}
	if turn.Cause != "" {
		head.Closed, head.Cause = at, turn.Cause
	}
	if turn.Answer.Standing != "" {
		head.Standing = turn.Answer.Standing
	}
	if err := s.tx.SaveCase(head); err != nil {
		return err
	}
	return s.tx.Append(n, entries)
}

// earlier tells the other cases of a unit at a site, the newest first.
func (s shelf) earlier(but casenumber.Number, unit, site string) ([]string, error) {
	if unit == "" || site == "" {
		return nil, nil
	}
	var out []string
	cases, err := s.tx.CasesOfUnit(site, unit)
	for _, c := range cases {
		if c.Number != but {
			out = append(out, earlierLine(c))
		}
	}
	return out, err
}

func earlierLine(c caselog.Case) string {
	line := c.Number.String() + ", " + c.Opened.Format("2 Jan 2006")
	switch {
	case c.Cause != "":
		return line + ": " + strings.ReplaceAll(c.Cause, "_", " ")
	case c.Closed.IsZero():
		return line + ", still open"
	}
	return line
}

// person is what is remembered of a sender.
func (s shelf) person(name string) (talk.Person, error) {
	kept, err := s.tx.Person(name)
	if err != nil {
		return talk.Person{}, err
	}
	p := talk.Person{}
	if len(kept.Body) > 0 {
		if err := json.Unmarshal(kept.Body, &p); err != nil {
			return p, fmt.Errorf("what is kept of %s: %w", name, err)
		}
	}
	p.Name = name
	return p, nil
}

func (s shelf) remember(p talk.Person) error {
	body, err := json.Marshal(p)
	if err != nil {
		return fmt.Errorf("keep %s: %w", p.Name, err)
	}
	return s.tx.SavePerson(caselog.Person{Name: p.Name, Current: p.Current, Metric: p.Metric, Body: body})
}

// followUps keeps the visits of a case as its entries have them.
func (s shelf) followUps(c talk.Case, person string) error {
	all := c.FollowUps()
	if len(all) == 0 {
		return nil
	}
	rows, err := s.tx.Visits(c.Number)
	if err != nil {
		return err
	}
	for i, f := range all {
		row := caselog.Visit{Case: c.Number, Visit: i + 1, Due: f.Due, Wanted: f.Wants, Person: person}
		if i < len(rows) {
			if row = rows[i]; row.Done.Equal(f.Done) {
				continue
			}
		}
		row.Done = f.Done
		if err := s.tx.SaveVisit(row); err != nil {
			return err
		}
	}
	return nil
}
