// Package practice fills a casebook with invented jobs whose cause is known, so
// that new rules can be tried before there is a record of one's own.
package practice

import (
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"time"

	"gopkg.in/yaml.v3"

	"coldcase/bot/caselog"
	"coldcase/bot/talk"
)

//go:embed jobs.yaml
var table []byte

// span is drawn from evenly.
type span [2]float64

func (s span) draw(r *rand.Rand) float64 { return s[0] + (s[1]-s[0])*r.Float64() }

type book struct {
	Sites   []string        `yaml:"sites"`
	Systems []system        `yaml:"systems"`
	Sound   map[string]span `yaml:"sound"`
	Jobs    []job           `yaml:"jobs"`
	shares  int
}

type system struct {
	Refrigerant string  `yaml:"refrigerant"`
	Application string  `yaml:"application"`
	Unit        string  `yaml:"unit"`
	Evaporating span    `yaml:"evaporating"`
	Box         float64 `yaml:"box"` // above evaporating
}

// job is one kind of failure; a machine in order has no cause.
type job struct {
	Share int             `yaml:"share"`
	Cause string          `yaml:"cause"`
	Shows map[string]span `yaml:"shows"`
	Tells []string        `yaml:"tells"`
}

func open() (*book, error) {
	b := new(book)
	if err := yaml.Unmarshal(table, b); err != nil {
		return nil, fmt.Errorf("invented jobs: %w", err)
	}
	for _, j := range b.Jobs {
		b.shares += j.Share
	}
	return b, nil
}

// batch is how many cases are written in one transaction.
const batch = 200

// Fill adds n cases, the last of them at a time. The same seed gives the same
// cases. Each holds three visits of 15 readings and what was found; those that
// failed are closed with their cause.
func Fill(ctx context.Context, s caselog.Store, h *talk.Helper, n int, seed uint64, last time.Time) error {
	b, err := open()
	if err != nil {
		return err
	}
	r := rand.New(rand.NewPCG(seed, seed))
	for done := 0; done < n; {
		upTo := min(done+batch, n)
		cases := make([]told, 0, batch)
		for ; done < upTo; done++ {
			c, err := b.invent(r, last.Add(time.Duration(done-n)*time.Hour))
			if err != nil {
				return err
			}
			cases = append(cases, c)
		}
		if err := s.Update(ctx, func(t caselog.Tx) error { return write(t, h, cases) }); err != nil {
			return fmt.Errorf("write invented cases: %w", err)
		}
	}
	return nil
}

func write(t caselog.Tx, h *talk.Helper, cases []told) error {
	for _, c := range cases {
		if err := c.write(t, h); err != nil {
			return err
		}
	}
	return nil
}

// told is what was texted about one machine.
type told struct {
	head  caselog.Case
	texts []string
}

// write reads the texts as if they came now, and keeps them with what was read.
func (c told) write(t caselog.Tx, h *talk.Helper) error {
	n, err := t.Open(c.head)
	if err != nil {
		return err
	}
	k := talk.Case{Number: n}
	for i, text := range c.texts {
		b, err := k.Record()
		if err != nil {
			return err
		}
		at := c.head.Opened.Add(time.Duration(i) * visitsApart)
		m := h.Reader.Read(text, b.Context())
		body, err := json.Marshal(talk.ReadingBody{Of: len(k.Entries) + 1, Message: m})
		if err != nil {
			return fmt.Errorf("keep a message: %w", err)
		}
		k.Entries = append(k.Entries,
			caselog.Entry{Seq: len(k.Entries) + 1, At: at, Kind: caselog.KindMessage, By: c.head.OpenedBy, Text: text},
			caselog.Entry{Seq: len(k.Entries) + 2, At: at, Kind: caselog.KindReading, By: c.head.OpenedBy, Body: body})
	}
	return c.close(t, k)
}

// visitsApart is more than the quiet hours that part two visits.
const visitsApart = 20 * time.Hour

func (c told) close(t caselog.Tx, k talk.Case) error {
	c.head.Number, c.head.LastAt = k.Number, k.Entries[len(k.Entries)-1].At
	if c.head.Cause != "" {
		c.head.Closed = c.head.LastAt.Add(time.Hour)
		body, err := json.Marshal(talk.OutcomeBody{Cause: c.head.Cause})
		if err != nil {
			return fmt.Errorf("keep an outcome: %w", err)
		}
		k.Entries = append(k.Entries, caselog.Entry{At: c.head.Closed, Kind: caselog.KindOutcome, By: c.head.OpenedBy, Text: c.head.Cause, Body: body})
	}
	if err := t.SaveCase(c.head); err != nil {
		return err
	}
	return t.Append(k.Number, k.Entries)
}
