package sqlstore_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/casetest"
	"coldcase/bot/caselog/pgtest"
	"coldcase/bot/caselog/sqlstore"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

// onBoth runs one test on each engine.
func onBoth(t *testing.T, test func(t *testing.T, s caselog.Store)) {
	engines := map[string]func(t *testing.T) string{
		"sqlite":   func(t *testing.T) string { return filepath.Join(t.TempDir(), "a ?#%b", "cases.db") },
		"postgres": func(t *testing.T) string { return pgtest.URL(t) },
	}
	for name, place := range engines {
		t.Run(name, func(t *testing.T) {
			test(t, open(t, place(t)))
		})
	}
}

func open(t *testing.T, at string) caselog.Store {
	t.Helper()
	s, err := sqlstore.Open(t.Context(), at)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s
}

func message(id, person, text string) caselog.Inbound {
	return casetest.Message(id, person, text, noon)
}

func receive(t *testing.T, s caselog.Store, in caselog.Inbound) (seen bool) {
	t.Helper()
	seen, err := s.Receive(t.Context(), in, casetest.File(in))
	require.NoError(t, err)
	return seen
}

func view(t *testing.T, s caselog.Store, work func(caselog.Tx)) {
	t.Helper()
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error { work(x); return nil }))
}

func TestARedeliveredMessageChangesNothing(t *testing.T) {
	onBoth(t, func(t *testing.T, s caselog.Store) {
		assert.False(t, receive(t, s, message("SM1", "Ines", "suct 28")))
		assert.True(t, receive(t, s, message("SM1", "Ines", "suct 28")))
		assert.False(t, receive(t, s, message("SM2", "Ines", "line 38")))
		view(t, s, func(x caselog.Tx) {
			entries, err := x.Entries(1)
			require.NoError(t, err)
			assert.Len(t, entries, 4)
			waiting, err := x.Outgoing(caselog.Ready)
			require.NoError(t, err)
			assert.Len(t, waiting, 2)
		})
	})
}

func TestAFailedMessageLeavesNothingAndMayComeAgain(t *testing.T) {
	onBoth(t, func(t *testing.T, s caselog.Store) {
		in, broke := message("SM1", "Ines", "suct 28"), errors.New("broke")
		_, err := s.Receive(t.Context(), in, func(x caselog.Tx) error {
			require.NoError(t, casetest.File(in)(x))
			return broke
		})
		require.ErrorIs(t, err, broke)
		assert.False(t, receive(t, s, in))
		view(t, s, func(x caselog.Tx) {
			c, err := x.Case(1) // the number was given back, too
			require.NoError(t, err)
			assert.Equal(t, 2, c.Entries)
		})
	})
}

func TestCasesAreFound(t *testing.T) {
	onBoth(t, func(t *testing.T, s caselog.Store) {
		require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) error {
			for i, c := range []caselog.Case{
				{Site: "Harbor Lane Fish", Unit: "Freezer 2", Refrigerant: "R448A"},
				{Site: "Juniper Street Creamery", Unit: "freezer 2", Refrigerant: "R448A", Cause: "oil_slug", Closed: noon},
				{Site: "harbor lane fish", Unit: "freezer-2", Refrigerant: "R134a", Thread: "C1/17.5"},
			} {
				c.Opened = noon.AddDate(0, 0, i)
				if _, err := x.Open(c); err != nil {
					return err
				}
			}
			return nil
		}))
		for _, row := range []struct {
			f    caselog.Filter
			want []caselog.Number
		}{
			{caselog.Filter{}, []caselog.Number{1, 2, 3}},
			{caselog.Filter{Unit: "FREEZER 2"}, []caselog.Number{1, 2, 3}},
			{caselog.Filter{Unit: "freezer 2", Site: "Harbor lane fish"}, []caselog.Number{1, 3}},
			{caselog.Filter{Unit: "%"}, nil},
			{caselog.Filter{Refrigerant: "r448a"}, []caselog.Number{1, 2}},
			{caselog.Filter{Cause: "oil_slug"}, []caselog.Number{2}},
			{caselog.Filter{Since: noon.AddDate(0, 0, 1)}, []caselog.Number{2, 3}},
			{caselog.Filter{Until: noon.AddDate(0, 0, 1), OpenOnly: true}, []caselog.Number{1}},
		} {
			view(t, s, func(x caselog.Tx) {
				var got []caselog.Number
				for c, err := range x.Find(row.f) {
					require.NoError(t, err)
					_, err = x.Entries(c.Number) // the connection is free between two cases
					require.NoError(t, err)
					got = append(got, c.Number)
				}
				assert.Equal(t, row.want, got, "%+v", row.f)
			})
		}
		view(t, s, func(x caselog.Tx) {
			mates, err := x.CasesOfUnit("Harbor Lane Fish", "freezer 2")
			require.NoError(t, err)
			require.Len(t, mates, 2)
			assert.Equal(t, caselog.Number(3), mates[0].Number)
			n, err := x.CaseOfThread("C1/17.5")
			require.NoError(t, err)
			assert.Equal(t, caselog.Number(3), n)
			_, err = x.CaseOfThread("")
			require.ErrorIs(t, err, caselog.ErrNoCase)
			_, err = x.Case(99)
			require.ErrorIs(t, err, caselog.ErrNoCase)
		})
	})
}

// TestSaidLeavesOutOurWorkings: what a page is made of, and nothing else is missing.
func TestSaidLeavesOutOurWorkings(t *testing.T) {
	onBoth(t, func(t *testing.T, s caselog.Store) {
		entry := func(k caselog.Kind) caselog.Entry {
			return caselog.Entry{At: noon, Kind: k, By: "Ines", Channel: "sms", Text: string(k), Body: json.RawMessage(`{"x":2}`)}
		}
		require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) error {
			_, err := x.Open(caselog.Case{Opened: noon})
			return errors.Join(err, x.Append(1, []caselog.Entry{
				entry(caselog.KindMessage), entry(caselog.KindReading), entry(caselog.KindJudgement), entry(caselog.KindReply),
				entry(caselog.KindVisit), entry(caselog.KindPhoto), entry(caselog.KindCorrection), entry(caselog.KindOutcome),
			}))
		}))
		view(t, s, func(x caselog.Tx) {
			all, err := x.Entries(1)
			require.NoError(t, err)
			said, err := x.Said(1)
			require.NoError(t, err)
			var want []caselog.Entry
			for _, e := range all {
				switch e.Kind {
				case caselog.KindJudgement:
					continue
				case caselog.KindReply:
					e.Body = nil
				}
				want = append(want, e)
			}
			assert.Len(t, want, 7)
			assert.Equal(t, want, said)
		})
	})
}

func TestEverythingComesBackAsItWasPut(t *testing.T) {
	onBoth(t, func(t *testing.T, s caselog.Store) {
		yes := true
		person := caselog.Person{Name: "Ines", Current: 1, Metric: &yes, Body: json.RawMessage(`{"a":1}`)}
		visit := caselog.Visit{Case: 1, Visit: 1, Due: noon, Wanted: []string{"sump_temp", "amps_a"}, Person: "Ines", Zone: "America/New_York"}
		head := caselog.Case{Number: 1, Site: "S", Unit: "U", Refrigerant: "R32", OpenedBy: "Ines", Opened: noon, LastAt: noon, Standing: "suspect", Thread: "C/1"}
		entry := caselog.Entry{At: noon, Kind: caselog.KindReading, By: "Ines", Channel: "sms", ProviderID: "SM1", Text: "ö", Body: json.RawMessage(`{"x":2}`)}
		sha := ""
		require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) error {
			_, err := x.Open(head)
			return errors.Join(err, x.Append(1, []caselog.Entry{entry}), x.SavePerson(person), x.SaveVisit(visit), x.SaveNote("k", "v"))
		}))
		require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) (err error) {
			sha, err = x.SaveMedia(caselog.Media{Type: "image/png", Bytes: []byte{0, 1, 2}})
			return err
		}))
		view(t, s, func(x caselog.Tx) {
			p, err := x.Person("Ines")
			require.NoError(t, err)
			assert.Equal(t, person, p)
			nobody, err := x.Person("Nobody")
			require.NoError(t, err)
			assert.Equal(t, caselog.Person{Name: "Nobody"}, nobody)
			v, err := x.OpenVisits()
			require.NoError(t, err)
			assert.Equal(t, []caselog.Visit{visit}, v)
			m, err := x.Media(sha)
			require.NoError(t, err)
			assert.Equal(t, []byte{0, 1, 2}, m.Bytes)
			_, err = x.Media("none")
			require.ErrorIs(t, err, caselog.ErrNoMedia)
			note, err := x.Note("k")
			require.NoError(t, err)
			assert.Equal(t, "v", note)
			e, err := x.Entries(1)
			require.NoError(t, err)
			entry.Seq = 1
			assert.Equal(t, []caselog.Entry{entry}, e)
			c, err := x.Case(1)
			require.NoError(t, err)
			head.Entries = 1
			assert.Equal(t, head, c)
		})
		require.Error(t, s.View(t.Context(), func(x caselog.Tx) error { return x.SaveNote("k", "w") }), "View only reads")
	})
}

// Many write at once to the same case: the numbers have no holes and no doubles.
func TestSequenceHasNoHoles(t *testing.T) {
	onBoth(t, func(t *testing.T, s caselog.Store) {
		require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) error {
			_, err := x.Open(caselog.Case{Opened: noon})
			return err
		}))
		const writers, each = 8, 10
		var all sync.WaitGroup
		for w := range writers {
			all.Go(func() {
				for i := range each {
					assert.NoError(t, s.Update(t.Context(), func(x caselog.Tx) error {
						return x.Append(1, []caselog.Entry{{At: noon, Kind: caselog.KindMessage, Text: fmt.Sprint(w, i)}, {At: noon, Kind: caselog.KindReply}})
					}))
				}
			})
		}
		all.Wait()
		view(t, s, func(x caselog.Tx) {
			entries, err := x.Entries(1)
			require.NoError(t, err)
			require.Len(t, entries, 2*writers*each)
			for i, e := range entries {
				require.Equal(t, i+1, e.Seq)
			}
		})
	})
}

func TestForgetKeepsTheCaseWhole(t *testing.T) {
	onBoth(t, func(t *testing.T, s caselog.Store) {
		in := message("SM1", "Ines", "Ines here, call +15550100, suct 28")
		receive(t, s, in)
		_, err := s.Lease(t.Context(), "w", noon, noon.Add(time.Minute), 10)
		require.NoError(t, err)
		require.NoError(t, s.Done(t.Context(), "w", 1, nil))
		require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) error {
			return x.Enqueue(caselog.Outgoing{Dest: "sms:+15550100", Payload: "for Ines"})
		}))
		shown, waits := "", ""
		require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) (err error) {
			for key, text := range map[string]string{
				"sms/silent/+15550100": "2026-03-02", "sms/photo-asked/Ines": "2026-03-02", "slack/dm/U1": "D1", "caught up/sms": "2026-03-02",
				"sms/message/SM9": `{"to":"+15550100","text":{"body":"Inesita & Ines"},"n":15550100}`,
			} {
				if err = x.SaveNote(key, text); err != nil {
					return err
				}
			}
			if shown, err = x.SaveMedia(caselog.Media{Type: "image/png", Bytes: []byte("on the case")}); err != nil {
				return err
			}
			if waits, err = x.SaveMedia(caselog.Media{Type: "image/png", Bytes: []byte("waits for a case")}); err != nil {
				return err
			}
			if err = x.SaveNote("sms/photos-waiting/Ines", `[{"body":{"sha256":"`+waits+`"}}]`); err != nil {
				return err
			}
			return x.Append(1, []caselog.Entry{
				{At: noon, Kind: caselog.KindPhoto, By: "Ines", Body: json.RawMessage(`{"sha256":"` + shown + `","type":"image/png"}`)},
				{At: noon, Kind: caselog.KindMessage, By: "Marit", Text: "text Ines at +1 555-0100"},
				{At: noon, Kind: caselog.KindMessage, By: "INES", Text: "ines here, 555-0100 or 1(555)0100; lines and business stay, ines_low too"},
			})
		}))
		n, err := s.Forget(t.Context(), caselog.Forgotten{Name: "ines", Addresses: []string{"+15550100", "U1"}})
		require.NoError(t, err)
		assert.Positive(t, n)
		view(t, s, func(x caselog.Tx) {
			c, err := x.Case(1)
			require.NoError(t, err)
			assert.Equal(t, 5, c.Entries)
			entries, err := x.Entries(1)
			require.NoError(t, err)
			require.Len(t, entries, 5)
			assert.Contains(t, entries[0].Text, "suct 28")
			assert.Equal(t, c.OpenedBy, entries[0].By, "one pseudonym on every record")
			assert.Equal(t, c.OpenedBy, entries[2].By)
			assert.Equal(t, "text "+c.OpenedBy+" at [removed]", entries[3].Text)
			assert.Equal(t, c.OpenedBy, entries[4].By, "whatever the letter case")
			assert.Equal(t, c.OpenedBy+" here, [removed] or [removed]; lines and business stay, ines_low too", entries[4].Text)
			kept, err := x.Media(shown)
			require.NoError(t, err)
			assert.Equal(t, "on the case", string(kept.Bytes), "a picture on a case is of the machine")
			_, err = x.Media(waits)
			require.ErrorIs(t, err, caselog.ErrNoMedia)
			for key, want := range map[string]string{
				"sms/silent/+15550100": "", "sms/photo-asked/Ines": "", "sms/photos-waiting/Ines": "", "slack/dm/U1": "", "caught up/sms": "2026-03-02",
				"sms/message/SM9": `{"n":15550100,"text":{"body":"Inesita & ` + c.OpenedBy + `"},"to":"[removed]"}`,
			} {
				note, err := x.Note(key)
				require.NoError(t, err)
				assert.Equal(t, want, note, key)
			}
			dead, err := x.Outgoing(caselog.Dead)
			require.NoError(t, err)
			require.Len(t, dead, 1)
			done, err := x.Outgoing(caselog.Sent)
			require.NoError(t, err)
			for _, kept := range []any{c, entries, dead, done} {
				text, err := json.Marshal(kept)
				require.NoError(t, err)
				assert.NotContains(t, string(text), "Ines")
				assert.NotContains(t, string(text), "5550100")
			}
			p, err := x.Person("Ines")
			require.NoError(t, err)
			assert.Zero(t, p.Current)
		})
		assert.True(t, receive(t, s, in), "a redelivered message is still known")
	})
}

// A database out of reach: whoever brought a message is told that nothing was kept, and
// the same store goes on when it is back.
func TestADatabaseOutOfReachKeepsNothing(t *testing.T) {
	at := pgtest.URL(t)
	s := open(t, at)
	require.False(t, receive(t, s, message("SM1", "Ines", "suct 28")))
	back := pgtest.Away(t, at)
	defer back()
	in := message("SM2", "Ines", "line 38")
	for range 3 { // connections that were open, and new ones
		_, err := s.Receive(t.Context(), in, casetest.File(in))
		require.ErrorIs(t, err, caselog.ErrAway)
		require.ErrorIs(t, s.View(t.Context(), func(caselog.Tx) error { return nil }), caselog.ErrAway)
	}
	back()
	assert.False(t, receive(t, s, in))
	assert.True(t, receive(t, s, in))
}

// A name that is a word as well goes where it is a name.
func TestForgettingAnOrdinaryNameLeavesTheWord(t *testing.T) {
	onBoth(t, func(t *testing.T, s caselog.Store) {
		in := message("SM1", "Mark", "this is Mark, will mark the pipe")
		require.False(t, receive(t, s, in))
		_, err := s.Forget(t.Context(), caselog.Forgotten{Name: "mark", Ordinary: true})
		require.NoError(t, err)
		view(t, s, func(x caselog.Tx) {
			c, err := x.Case(1)
			require.NoError(t, err)
			entries, err := x.Entries(1)
			require.NoError(t, err)
			assert.Equal(t, "this is "+c.OpenedBy+", will mark the pipe", entries[0].Text)
		})
	})
}

func TestPostgresHasNoBackupOfItsOwn(t *testing.T) {
	s := open(t, pgtest.URL(t))
	require.ErrorIs(t, s.Backup(context.Background(), "x"), caselog.ErrUnsupported)
}

// Four replicas that start at once make the tables once.
func TestReplicasStartTogether(t *testing.T) {
	at := pgtest.URL(t)
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			s, err := sqlstore.Open(context.Background(), at)
			if assert.NoError(t, err) {
				assert.NoError(t, s.Close())
			}
		})
	}
	all.Wait()
}
