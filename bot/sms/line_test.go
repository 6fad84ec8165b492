package sms

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/crew"
	"coldcase/bot/talk"
	"coldcase/bot/watch"
)

func newLine(t *testing.T) *Line {
	t.Helper()
	store, err := sqlstore.Open(t.Context(), filepath.Join(t.TempDir(), "cases.db"))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, store.Close()) })
	people, err := crew.Read(strings.NewReader("people: [{name: Ines, phone: \"+15550100\"}]"))
	require.NoError(t, err)
	return &Line{
		Store: store, Log: slog.New(slog.DiscardHandler), Crew: func() (crew.Crew, error) { return people, nil },
		Handle: func(ctx context.Context, in caselog.Inbound, then func(caselog.Tx, talk.Answer, string) error) (bool, error) {
			return store.Receive(ctx, in, func(tx caselog.Tx) error { return then(tx, talk.Answer{}, "got "+in.Text) })
		},
	}
}

func queued(t *testing.T, l *Line) (all []string) {
	t.Helper()
	require.NoError(t, l.Store.View(t.Context(), func(tx caselog.Tx) error {
		rows, err := tx.Outgoing(caselog.Ready)
		for _, o := range rows {
			all = append(all, o.Dest+" "+o.Payload)
		}
		return err
	}))
	return all
}

func TestAStrangerIsRefusedAtMostOnceADay(t *testing.T) {
	l := newLine(t)
	for i, c := range []struct {
		after    time.Duration
		refusals int
	}{{0, 1}, {time.Minute, 1}, {23*time.Hour + 59*time.Minute, 1}, {24 * time.Hour, 2}, {25 * time.Hour, 2}} {
		_, err := l.Receive(t.Context(), Text{ID: fmt.Sprint("SM", i), From: "+15550777", Body: "R448A suct 28 line 8", At: testTime.Add(c.after)})
		require.NoError(t, err)
		got := queued(t, l)
		require.Len(t, got, c.refusals, c.after)
		assert.Contains(t, got[0], "sms:+15550777")
		assert.Contains(t, got[0], "not on its list")
	}
	require.NoError(t, l.Store.View(t.Context(), func(tx caselog.Tx) error {
		for range tx.Find(caselog.Filter{}) {
			t.Error("a stranger opened a case")
		}
		return nil
	}))
	_, err := l.Receive(t.Context(), Text{ID: "SMstop", From: "+15550778", Body: "stop", Act: act("", "stop"), At: testTime})
	require.NoError(t, err)
	_, err = l.Receive(t.Context(), Text{ID: "SMafter", From: "+15550778", Body: "hello", At: testTime})
	require.NoError(t, err)
	assert.Len(t, queued(t, l), 2, "a stranger who sent STOP is not even refused")
}

// The answer to a try was lost: the text that it sent is found and not sent again.
// One with the same words that was sent for another row is not taken for it.
func TestTheSameWordsAreSentForEachRow(t *testing.T) {
	l := newLine(t)
	p, c := standIn(t, nil)
	count, err := NewCounters(prometheus.NewRegistry())
	require.NoError(t, err)
	d := &Deliverer{Line: l, Client: c, Count: count, Now: time.Now}
	send := func(idem string, attempt int) {
		also, err := d.Deliver(t.Context(), caselog.Outgoing{Dest: "sms:+15550100", Kind: KindText, Payload: `{"body":"same words"}`, Idem: idem, Attempt: attempt, First: time.Now()})
		require.NoError(t, err)
		require.NoError(t, l.Store.Update(t.Context(), also))
	}
	send("reply/1", 1)
	send("reply/2", 2) // its first try never reached the provider
	assert.Len(t, p.All(), 2)
	_, err = c.Send(t.Context(), "+15550100", "same words") // the first try of the next: its answer was lost
	require.NoError(t, err)
	send("reply/3", 2)
	send("reply/3", 3) // sent, and our commit was lost
	assert.Len(t, p.All(), 3)
}

func TestARepeatedIDChangesNothing(t *testing.T) {
	l := newLine(t)
	for i, want := range []bool{false, true, true} {
		seen, err := l.Receive(t.Context(), Text{ID: "SM1", From: "+15550100", Body: "suct 28", At: testTime.Add(time.Duration(i) * time.Hour)})
		require.NoError(t, err)
		assert.Equal(t, want, seen)
	}
	assert.Len(t, queued(t, l), 1)
}

func TestLongAnswersGoInPieces(t *testing.T) {
	line := strings.Repeat("a", 99) + "\n"
	for _, c := range []struct {
		text string
		want int
	}{{"short", 1}, {strings.Repeat("é", maxText), 1}, {strings.Repeat("é", maxText+1), 2}, {strings.Repeat(line, 40), 3}} {
		got := pieces(c.text)
		assert.Len(t, got, c.want)
		whole := ""
		for _, p := range got {
			assert.LessOrEqual(t, len([]rune(p)), maxText)
			whole += strings.ReplaceAll(p, "\n", "")
		}
		assert.Equal(t, strings.ReplaceAll(c.text, "\n", ""), whole, "nothing is lost")
	}
	for _, p := range pieces(strings.Repeat(line, 40)) {
		for _, l := range strings.Split(p, "\n") {
			assert.Len(t, l, 99, "cut at line ends")
		}
	}
}

// source: parts.md, status callback: reports come unordered and repeated.
func TestReportsOnlyMoveForward(t *testing.T) {
	l := newLine(t)
	id := "SM" + strings.Repeat("4", 32)
	state := func() string {
		var k track
		require.NoError(t, l.Store.View(t.Context(), func(tx caselog.Tx) (err error) {
			k, err = tracked(tx, id)
			return err
		}))
		return k.State
	}
	for _, c := range []struct{ report, stands string }{{"sent", "sent"}, {"queued", "sent"}, {"delivered", "delivered"}, {"sending", "delivered"}, {"undelivered", "delivered"}} {
		_, err := l.Report(t.Context(), Status{ID: id, To: "+15550100", State: c.report})
		require.NoError(t, err)
		assert.Equal(t, c.stands, state(), c.report)
	}
	require.NoError(t, l.Store.Update(t.Context(), func(tx caselog.Tx) error { return remember(tx, id, track{To: "+15550100"}) }))
	assert.Equal(t, "delivered", state(), "a report that came before our own commit stands")
}

// A phone out of reach is tried after 1, 5 and 30 minutes, then it is left alone.
func TestAPhoneOutOfReachIsTriedThreeTimes(t *testing.T) {
	l := newLine(t)
	for i := range 5 {
		id := fmt.Sprintf("SM%032d", i)
		require.NoError(t, l.Store.Update(t.Context(), func(tx caselog.Tx) error {
			return remember(tx, id, track{To: "+15550100", Idem: "reply/x", Text: outText{Body: "x", Try: i}})
		}))
		_, err := l.Report(t.Context(), Status{ID: id, To: "+15550100", State: "undelivered", Code: 30003})
		require.NoError(t, err)
		assert.Len(t, queued(t, l), min(i+1, 3))
	}
}

// A text that our end can't work on is kept and answered: it must not come again
// for ever, nor stop those behind it.
func TestATextThatBreaksOurEndIsKept(t *testing.T) {
	l := newLine(t)
	l.Handle = func(context.Context, caselog.Inbound, func(caselog.Tx, talk.Answer, string) error) (bool, error) {
		return false, errors.New("broken")
	}
	for _, want := range []bool{false, true} {
		seen, err := l.Receive(t.Context(), Text{ID: "SM1", From: "+15550100", Body: "suct 28", At: testTime})
		require.NoError(t, err)
		assert.Equal(t, want, seen)
	}
	got := queued(t, l)
	require.Len(t, got, 1)
	assert.Contains(t, got[0], "Our end broke")
}

// A reminder is about the case of its visit, whichever case the person has in hand by
// then, and fits the phone alphabet.
func TestAReminderIsOfItsOwnCase(t *testing.T) {
	l := newLine(t)
	require.NoError(t, l.Store.Update(t.Context(), func(tx caselog.Tx) error {
		for range 2 {
			n, err := tx.Open(caselog.Case{OpenedBy: "Ines", Opened: testTime, Site: "Harbor Lane – Fish"})
			if err != nil {
				return err
			}
			if err := tx.SavePerson(caselog.Person{Name: "Ines", Current: n}); err != nil {
				return err
			}
		}
		c, err := tx.Case(1)
		if err != nil {
			return err
		}
		v := caselog.Visit{Case: 1, Visit: 2, Person: "Ines", Due: testTime, Wanted: []string{"suction_pressure"}}
		return l.Watch(tx, watch.Notice{Act: watch.Remind, Visit: v, Case: c, Place: time.UTC, Idem: "watch/1/2/remind"})
	}))
	require.NoError(t, l.Store.View(t.Context(), func(tx caselog.Tx) error {
		rows, err := tx.Outgoing(caselog.Ready)
		require.Len(t, rows, 1)
		assert.Equal(t, caselog.Number(1), rows[0].Case)
		assert.Contains(t, rows[0].Payload, "Case 1-3 (Harbor Lane - Fish): follow-up visit 2 is due.")
		return err
	}))
}
