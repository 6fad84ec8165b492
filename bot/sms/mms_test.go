package sms

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/rehearse"
	"coldcase/bot/talk"
)

const (
	cycleAt = "https://cold.example.org/case/abc/cycle.png?units=us"
	trendAt = "https://cold.example.org/case/abc/trend.png?units=us"
	inWords = "Case 1-3.\nThe cycle of R404A: ratio 4.2."
)

// drawing is a line whose answers have pictures, with a case that they are of.
func drawing(t *testing.T, p *rehearse.Provider, c *Client) (*Line, *Deliverer) {
	t.Helper()
	l := newLine(t)
	require.NoError(t, l.Store.Update(t.Context(), func(tx caselog.Tx) error {
		n, err := tx.Open(caselog.Case{OpenedBy: "Ines", Opened: testTime})
		if err != nil {
			return err
		}
		return tx.SavePerson(caselog.Person{Name: "Ines", Current: n})
	}))
	l.Handle = func(ctx context.Context, in caselog.Inbound, then func(caselog.Tx, talk.Answer, string) error) (bool, error) {
		a := talk.Answer{Pictures: []talk.Picture{{Name: "cycle", Address: cycleAt}, {Name: "trend", Address: trendAt}, {Name: "nobody can fetch it"}}}
		return l.Store.Receive(ctx, in, func(tx caselog.Tx) error { return then(tx, a, inWords) })
	}
	count, err := NewCounters(prometheus.NewRegistry())
	require.NoError(t, err)
	_, err = l.Receive(t.Context(), Text{ID: "SM1", From: "+15550100", Body: "picture", At: testTime})
	require.NoError(t, err)
	return l, &Deliverer{Line: l, Client: c, Count: count, Now: time.Now}
}

// delivered sends what is queued, once.
func (d *Deliverer) delivered(t *testing.T) {
	t.Helper()
	now := time.Now().Add(time.Minute)
	rows, err := d.Line.Store.Lease(t.Context(), "test", now, now.Add(time.Minute), 10)
	require.NoError(t, err)
	require.NotEmpty(t, rows)
	for _, o := range rows {
		also, err := d.Deliver(t.Context(), o)
		require.NoError(t, err)
		require.NoError(t, d.Line.Store.Done(t.Context(), "test", o.ID, also))
	}
}

func onTheCase(t *testing.T, l *Line) string {
	t.Helper()
	var all []string
	require.NoError(t, l.Store.View(t.Context(), func(tx caselog.Tx) error {
		entries, err := tx.Entries(1)
		for _, e := range entries {
			all = append(all, e.Text)
		}
		return err
	}))
	return strings.Join(all, "\n")
}

func TestPicturesGoAlongWithTheWords(t *testing.T) {
	router := specRouter(t)
	seen := 0
	p, c := standIn(t, func(h http.Handler) http.Handler { return holds(t, router, &seen, h) })
	_, d := drawing(t, p, c)
	d.delivered(t)
	require.Len(t, p.All(), 1, "one message: a tech pays for each")
	assert.Equal(t, []string{cycleAt, trendAt}, p.All()[0].Links)
	assert.Equal(t, inWords, p.All()[0].Body)
	assert.Equal(t, 1, seen, "held against the provider's description")
}

// source of the refusals: codes that the table of codes does not know stand for all
// that may be wrong with a picture; 21614 is known: no picture's fault.
func TestWordsGoWhereThePictureCannot(t *testing.T) {
	refuse := 0
	fails := func(h http.Handler) http.Handler {
		return http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
			if q.Method == http.MethodPost && q.FormValue("MediaUrl") != "" {
				w.WriteHeader(http.StatusBadRequest)
				_, _ = fmt.Fprintf(w, `{"code": %d, "message": "no", "status": 400}`, refuse)
				return
			}
			h.ServeHTTP(w, q)
		})
	}
	p, c := standIn(t, fails)
	l, d := drawing(t, p, c)
	refuse = 21620
	d.delivered(t)
	require.Len(t, p.All(), 1)
	assert.Equal(t, inWords+"\nThe picture could not be sent.", p.All()[0].Body)
	assert.Empty(t, p.All()[0].Links)
	assert.Contains(t, onTheCase(t, l), "in words, without the picture: the provider gave code 21620")

	p, c = standIn(t, fails)
	_, d = drawing(t, p, c)
	refuse = 21614
	_, err := d.Deliver(t.Context(), caselog.Outgoing{Dest: "sms:+15550100", Kind: KindText, Payload: `{"body":"x","pictures":["` + cycleAt + `"]}`})
	var gone *GivenUp
	require.ErrorAs(t, err, &gone, "words would not reach that number either")
	assert.Empty(t, p.All())
}

func TestAPhoneThatTakesNoPicturesGetsTheWords(t *testing.T) {
	p, c := standIn(t, nil)
	l, d := drawing(t, p, c)
	d.delivered(t)
	first := p.All()[0]
	require.NotEmpty(t, first.Links)
	for range 2 { // a report may come twice
		_, err := l.Report(t.Context(), Status{ID: first.SID, To: "+15550100", State: "undelivered", Code: 30019})
		require.NoError(t, err)
	}
	require.Len(t, queued(t, l), 1)
	d.delivered(t)
	require.Len(t, p.All(), 2)
	assert.Empty(t, p.All()[1].Links)
	assert.Contains(t, p.All()[1].Body, inWords)
	assert.Contains(t, onTheCase(t, l), "Sent again in words, without the picture.")
}
