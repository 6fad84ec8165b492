package outbox_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/caselog/casetest"
	"coldcase/bot/caselog/pgtest"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/intake"
	"coldcase/bot/outbox"
	"coldcase/bot/reply"
	"coldcase/bot/talk"
	"coldcase/rules"
)

const senders = 500

// said by each sender: whichever comes first, the case ends the same.
var said = []string{"R448A suct 28 psig", "suction line 38 F", "head 250 psig", "liquid line 92 F"}

// Four replicas get everything twice, out of order and at the same time; one
// process gets it once and in order. The cases are the same.
func TestFourReplicasAreOne(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of messages")
	}
	var sent []caselog.Inbound
	at := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	for i, text := range said {
		for s := range senders {
			sent = append(sent, casetest.Message(fmt.Sprintf("SM%d/%d", s, i), fmt.Sprintf("sender%03d", s), text, at.Add(time.Duration(i)*time.Minute)))
		}
	}
	url := pgtest.URL(t)
	alone := play(t, []string{filepath.Join(t.TempDir(), "cases.db")}, sent)
	require.Len(t, alone, senders)
	twice := append(slices.Clone(sent), sent...)
	rand.Shuffle(len(twice), func(i, j int) { twice[i], twice[j] = twice[j], twice[i] })
	assert.Equal(t, alone, play(t, []string{url, url, url, url}, twice))
}

// ending is where a case ended: which of two messages that came at the same time is
// first can't be told, so they are sorted.
type ending struct {
	Messages, Readings, Numbers []string
	Replies, Sent               int
	Head, Standing, Causes      string
}

// play hands every message to one of the stores, sends all replies, and returns where
// the one case of each sender ended.
func play(t *testing.T, stores []string, messages []caselog.Inbound) map[string]ending {
	p := newProvider()
	p.left = make(chan struct{}, len(messages))
	jobs, all := make(chan caselog.Inbound), sync.WaitGroup{}
	var last caselog.Store
	for i, at := range stores {
		s, err := sqlstore.Open(t.Context(), at)
		require.NoError(t, err)
		defer func() { require.NoError(t, s.Close()) }()
		defer start(t, &outbox.Worker{Queue: s, Sender: p, Owner: fmt.Sprint("w", i)})()
		b := newBot(t, s)
		for range len(stores) { // one process alone: in order
			all.Go(func() {
				for in := range jobs {
					_, err := b.HandleThen(context.Background(), in, func(x caselog.Tx, text string) error {
						return x.Enqueue(caselog.Outgoing{Dest: "sms:" + in.Person, Kind: "text", Payload: text, Idem: "re/" + in.ID})
					})
					assert.NoError(t, err)
				}
			})
		}
		last = s
	}
	for _, in := range messages {
		jobs <- in
	}
	close(jobs)
	all.Wait()
	p.await(t, senders*len(said))
	p.mu.Lock()
	defer p.mu.Unlock()
	ends := map[string]ending{}
	require.NoError(t, last.View(t.Context(), func(x caselog.Tx) error {
		for c, err := range x.Find(caselog.Filter{}) {
			require.NoError(t, err)
			require.NotContains(t, ends, c.OpenedBy, "one case each")
			e := endOf(t, x, c)
			e.Sent = len(p.got["sms:"+c.OpenedBy])
			ends[c.OpenedBy] = e
		}
		return nil
	}))
	return ends
}

func newBot(t *testing.T, s caselog.Store) *bot.Bot {
	t.Helper()
	reader, err := intake.BuiltIn()
	require.NoError(t, err)
	set, err := rules.BuiltIn()
	require.NoError(t, err)
	helper := &talk.Helper{Reader: reader, Rules: set}
	return &bot.Bot{Store: s, Helper: func() *talk.Helper { return helper }, Render: reply.For}
}

func endOf(t *testing.T, x caselog.Tx, c caselog.Case) (end ending) {
	t.Helper()
	entries, err := x.Entries(c.Number)
	require.NoError(t, err)
	end.Head = fmt.Sprint(c.Refrigerant, c.Standing, c.Entries)
	for i, e := range entries {
		require.Equal(t, i+1, e.Seq)
		switch e.Kind {
		case caselog.KindMessage:
			end.Messages = append(end.Messages, e.ProviderID)
		case caselog.KindReply:
			end.Replies++
		case caselog.KindReading:
			var b talk.ReadingBody
			require.NoError(t, json.Unmarshal(e.Body, &b))
			for _, r := range b.Message.Readings {
				end.Readings = append(end.Readings, fmt.Sprint(r.Key, r.Value, r.Unit))
			}
		case caselog.KindJudgement: // the last one stands
			var b talk.JudgementBody
			require.NoError(t, json.Unmarshal(e.Body, &b))
			end.Standing, end.Causes, end.Numbers = b.Standing, fmt.Sprint(b.Causes), nil
			for _, n := range b.Numbers {
				end.Numbers = append(end.Numbers, fmt.Sprintf("%s %.6f %s", n.Name, n.Value, n.Unit))
			}
		}
	}
	for _, list := range [][]string{end.Messages, end.Readings, end.Numbers} {
		slices.Sort(list)
	}
	return end
}
