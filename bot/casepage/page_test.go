package casepage

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"coldcase/bot"
	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/casenumber"
	"coldcase/bot/intake"
	"coldcase/bot/reply"
	"coldcase/bot/talk"
	"coldcase/rules"
)

// said is a message of a case, some time after the one before it.
type said struct {
	after time.Duration
	text  string
	photo []byte // came with it
}

// minutely are texts a minute apart.
func minutely(texts ...string) []said {
	all := make([]said, len(texts))
	for i, text := range texts {
		all[i] = said{after: time.Minute, text: text}
	}
	return all
}

// book is a casebook with a bot on it and the pages in front.
func book(t testing.TB, job ...said) (*Pages, http.Handler, *bot.Bot) {
	ctx := context.Background()
	store, err := sqlstore.Open(ctx, filepath.Join(t.TempDir(), "cases.db"))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, store.Close()) })
	reader, err := intake.BuiltIn()
	require.NoError(t, err)
	set, err := rules.BuiltIn()
	require.NoError(t, err)
	helper := &talk.Helper{Reader: reader, Rules: set}
	b := &bot.Bot{Store: store, Helper: func() *talk.Helper { return helper }, Render: reply.For}
	at := noon
	for i, m := range job {
		at = at.Add(m.after)
		id := fmt.Sprint(i)
		_, err := b.Handle(ctx, caselog.Inbound{Source: "sms", ID: id, Person: "Ines", Text: m.text, At: at})
		require.NoError(t, err)
		if m.photo != nil {
			keepPhoto(t, store, id, at, m.photo)
		}
	}
	s, err := NewSigner("a key that nobody guesses")
	require.NoError(t, err)
	p := &Pages{Store: store, Helper: b.Helper, Signer: s, Zone: time.UTC, Now: func() time.Time { return at.Add(time.Hour) }}
	mux := http.NewServeMux()
	p.Hang(mux)
	return p, mux, b
}

// keepPhoto puts a photo on the first case as the SMS line does.
func keepPhoto(t testing.TB, store caselog.Store, id string, at time.Time, png []byte) (sum string) {
	require.NoError(t, store.Update(context.Background(), func(tx caselog.Tx) (err error) {
		if sum, err = tx.SaveMedia(caselog.Media{Type: "image/png", Bytes: png}); err != nil {
			return err
		}
		body := fmt.Appendf(nil, `{"sha256":%q,"type":"image/png"}`, sum)
		return tx.Append(1, []caselog.Entry{{At: at, Kind: caselog.KindPhoto, By: "Ines", Channel: "sms", ProviderID: id, Body: body}})
	}))
	return sum
}

func (p *Pages) link(t testing.TB, until time.Time) string {
	var at string
	require.NoError(t, p.Store.View(context.Background(), func(tx caselog.Tx) (err error) {
		at, err = p.Signer.LinkTo(tx, casenumber.Number(1), until)
		return err
	}))
	return at
}

func get(h http.Handler, at string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, at, nil))
	return w
}

const hostile = `<script>alert(1)</script>"'><img src=x onerror=alert(1)>`

func TestPageTellsTheCase(t *testing.T) {
	p, h, _ := book(t, minutely(
		"Pier 3 freezer 2 @ Harbor Lane Fish, R507A low temp semi, suct 10 line -24 head 225 liq 88 dlt 150 amb 80",
		"shell sweating, oil foaming. "+hostile)...)
	at := p.link(t, noon.Add(48*time.Hour))
	w := get(h, at)
	require.Equal(t, http.StatusOK, w.Code)
	body := w.Body.String()
	for _, part := range []string{"Case 1-3", "Harbor Lane Fish", "R507A", "Readings by visit", "Causes, with the evidence", "So that the next one lives", "Messages in order", "override anything on this page"} {
		require.Contains(t, body, part)
	}
	require.NotContains(t, body, "<script>alert", "what a person typed is text")
	require.NotContains(t, body, "onerror=alert(1)>")
	require.Contains(t, w.Header().Get("Content-Security-Policy"), "default-src 'none'")
	require.NotContains(t, body, "style=", "the policy lets no style stand in the page")
	require.Equal(t, "image/svg+xml", get(h, at+"/cycle.svg").Header().Get("Content-Type"))
	require.Equal(t, "8\n", get(h, at+"/seq").Body.String(), "two messages of four entries")
	require.Equal(t, http.StatusOK, get(h, "/assets/case.css").Code)
	require.Equal(t, http.StatusNotFound, get(h, at+"/trend.svg").Code, "one visit has no trend")
}

func TestPageOfOneReading(t *testing.T) {
	p, h, _ := book(t, minutely("suct 20")...)
	w := get(h, p.link(t, noon.Add(48*time.Hour)))
	require.Equal(t, http.StatusOK, w.Code)
	require.Contains(t, w.Body.String(), "Not settled yet")
}

func TestLinksThatOpenNothing(t *testing.T) {
	p, h, _ := book(t, minutely("R404A suct 20 line 12 head 230")...)
	good := p.link(t, noon.Add(48*time.Hour))
	require.Equal(t, http.StatusOK, get(h, good).Code)
	require.Equal(t, http.StatusNotFound, get(h, p.link(t, noon)).Code, "expired")
	require.Equal(t, http.StatusNotFound, get(h, good+"x").Code, "forged")
	require.NoError(t, p.Store.Update(context.Background(), func(tx caselog.Tx) error { return Revoke(tx, 1) }))
	require.Equal(t, http.StatusNotFound, get(h, good).Code, "revoked")
	require.Equal(t, http.StatusOK, get(h, p.link(t, noon.Add(48*time.Hour))).Code, "a new link opens")
}

func TestPicturesAsPNG(t *testing.T) {
	p, _, _ := book(t, minutely("R404A suct 20 line 12 head 230 liq 88 dlt 180 coil out -8")...)
	var story Story
	require.NoError(t, p.Store.View(context.Background(), func(tx caselog.Tx) error {
		head, err := tx.Case(1)
		require.NoError(t, err)
		entries, err := tx.Entries(1)
		require.NoError(t, err)
		story, err = Recall(head, entries, nil)
		return err
	}))
	c, ok := story.Cycle()
	require.True(t, ok)
	picture, err := c.Draw()
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, picture.PNG(&b))
	require.True(t, strings.HasPrefix(b.String(), "\x89PNG"))
}

// BenchmarkPage is a page of a case with 2,000 entries: 500 messages over 50 visits.
func BenchmarkPage(b *testing.B) {
	p, h, _ := book(b, longJob()...)
	at := p.link(b, p.Now().Add(48*time.Hour))
	b.ResetTimer()
	for range b.N {
		require.Equal(b, http.StatusOK, get(h, at).Code)
	}
}

func longJob() []said {
	var job []said
	for i := range 500 {
		after := time.Minute
		if i%10 == 0 {
			after = 8 * time.Hour
		}
		job = append(job, said{after: after, text: fmt.Sprintf("R448A suct %d line 42 head 230 liq 86", 40+i%9)})
	}
	return job
}

// BenchmarkDiagram draws one cycle.
func BenchmarkDiagram(b *testing.B) {
	p, h, _ := book(b, minutely("R448A suct 44 line 42 head 230 liq 86 dlt 170 coil out 30")...)
	at := p.link(b, noon.Add(48*time.Hour)) + "/cycle.svg"
	b.ResetTimer()
	for range b.N {
		require.Equal(b, http.StatusOK, get(h, at).Code)
	}
}
