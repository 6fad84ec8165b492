package casepage

import (
	"context"
	"fmt"
	"image/png"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"regexp"
	"strconv"
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
	"coldcase/calc/props"
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

func TestPhotosOpenWithTheirOwnCaseOnly(t *testing.T) {
	p, h, _ := book(t, said{0, "R404A suct 20, reed broken", drawnPhoto(t)})
	at := p.link(t, p.Now().Add(time.Hour))
	page := get(h, at).Body.String()
	address := regexp.MustCompile(`src="(/case/[^"]+/photo/[0-9a-f]{64})"`).FindStringSubmatch(page)
	require.NotNil(t, address)
	require.Contains(t, page, `alt="Photo by Ines, 2 Mar 2026 12:00 UTC: R404A suct 20, reed broken"`)
	w := get(h, address[1])
	require.Equal(t, http.StatusOK, w.Code)
	require.Equal(t, "image/png", w.Header().Get("Content-Type"))
	require.Equal(t, "nosniff", w.Header().Get("X-Content-Type-Options"))
	require.Contains(t, w.Header().Get("Content-Security-Policy"), "sandbox")
	require.Equal(t, "private, no-cache", w.Header().Get("Cache-Control"))

	var foreign string
	require.NoError(t, p.Store.Update(context.Background(), func(tx caselog.Tx) (err error) {
		foreign, err = tx.SaveMedia(caselog.Media{Type: "image/png", Bytes: []byte("of another case")})
		return err
	}))
	require.Equal(t, http.StatusNotFound, get(h, at+"/photo/"+foreign).Code)
	require.NoError(t, p.Store.Update(context.Background(), func(tx caselog.Tx) error { return Revoke(tx, 1) }))
	require.Equal(t, http.StatusNotFound, get(h, address[1]).Code, "revoked with the case")
}

func TestNoPageIsShownForWhatIsNoPicture(t *testing.T) {
	p, h, _ := book(t, minutely("R404A suct 20")...)
	var sum string
	require.NoError(t, p.Store.Update(context.Background(), func(tx caselog.Tx) (err error) {
		if sum, err = tx.SaveMedia(caselog.Media{Type: "text/html", Bytes: []byte(hostile)}); err != nil {
			return err
		}
		return tx.Append(1, []caselog.Entry{{At: noon, Kind: caselog.KindPhoto, By: "Ines", Body: fmt.Appendf(nil, `{"sha256":%q}`, sum)}})
	}))
	require.Equal(t, http.StatusNotFound, get(h, p.link(t, p.Now().Add(time.Hour))+"/photo/"+sum).Code)
}

func TestPicturesInTheReadersUnits(t *testing.T) {
	p, h, _ := book(t, fullJob(t)...)
	at := p.link(t, p.Now().Add(time.Hour))
	for units, says := range map[string][]string{"": {"psig", "Btu/lb", "\u00b0F"}, "us": {"psig"}, "metric": {"bar gauge", "kJ/kg", "\u00b0C"}} {
		svg := get(h, at+"/cycle.svg?units="+units).Body.String()
		for _, s := range says {
			require.Contains(t, svg, s, "units %q", units)
		}
	}
	require.Contains(t, get(h, at+"/trend.svg").Body.String(), "suction filter drop, psi")
	require.Contains(t, get(h, at+"/trend.svg?units=metric").Body.String(), "suction filter drop, kPa")
	require.Contains(t, get(h, at+"?units=metric").Body.String(), "Superheat at the compressor from 18.2 to 14.0 K")
	for _, picture := range []string{"cycle", "trend"} {
		w := get(h, at+"/"+picture+".png")
		require.Equal(t, "image/png", w.Header().Get("Content-Type"))
		img, err := png.Decode(w.Body)
		require.NoError(t, err)
		require.Greater(t, img.Bounds().Dx(), 600, "for a phone")
	}
}

// TestThePersonsOwnUnits: who opened the case and chose metric gets a metric page.
func TestThePersonsOwnUnits(t *testing.T) {
	p, h, _ := book(t, minutely("metric", "R404A suct 20 line 12 head 230")...)
	require.Contains(t, get(h, p.link(t, p.Now().Add(time.Hour))+"/cycle.svg").Body.String(), "bar gauge")
}

// TestDomes draws every refrigerant: the dome closes, and no point is invented.
func TestDomes(t *testing.T) {
	for _, n := range props.AllModels() {
		f, err := props.LookupModel(n.Name, n.Model)
		require.NoError(t, err)
		d, err := DomeOf(f)
		require.NoError(t, err, "%s %s", n.Name, n.Model)
		require.Greater(t, len(d.Bubble), domeSteps/2, n.Name)
		require.Greater(t, len(d.Dew), domeSteps/2, n.Name)
		for i := 1; i < len(d.Dew); i++ {
			require.Greater(t, d.Dew[i].P, d.Dew[i-1].P, n.Name)
		}
		for _, s := range d.crown() {
			require.GreaterOrEqual(t, s.P, d.Dew[len(d.Dew)-2].P, n.Name)
			require.LessOrEqual(t, float64(s.P), float64(d.Top)*1.0001, n.Name)
		}
	}
}

// TestTheCriticalHighSideIsDrawn: above the critical point there is no condensing
// temperature, and the cycle is drawn all the same.
func TestTheCriticalHighSideIsDrawn(t *testing.T) {
	p, h, _ := book(t, minutely("R744 suct 400 line 40 head 1100 dlt 200 liq 95")...)
	svg := get(h, p.link(t, p.Now().Add(time.Hour))+"/cycle.svg").Body.String()
	for _, words := range []string{"discharge 200", "evap 19", "above critical", "cooler out 95"} {
		require.Contains(t, svg, words)
	}
	require.NotContains(t, svg, "cond ")
	require.NotContains(t, svg, "liquid", "nothing is liquid there")
}

// TestAGlideHasTwoEnds: a blend boils and condenses over a span; a fluid without one
// has a single temperature.
func TestAGlideHasTwoEnds(t *testing.T) {
	for gas, ends := range map[string]bool{"R448A": true, "R507A": false, "R134a": false} {
		p, h, _ := book(t, minutely(gas+" suct 44 line 42 head 230 liq 86 dlt 170")...)
		svg := get(h, p.link(t, p.Now().Add(time.Hour))+"/cycle.svg").Body.String()
		require.Equal(t, ends, strings.Contains(svg, "bubble "), gas)
		require.Equal(t, ends, strings.Contains(svg, "evap dew "), gas)
	}
}

// TestTheAxisReadsAsAGauge: at altitude, too.
func TestTheAxisReadsAsAGauge(t *testing.T) {
	for _, air := range []float64{14.7, 10.1} {
		for _, tick := range (gaugeTicks{air}).Ticks(5, 600) {
			gauge, err := strconv.ParseFloat(tick.Label, 64)
			require.NoError(t, err)
			require.InDelta(t, gauge+air, tick.Value, 1e-9)
		}
	}
}

func TestAReadingThatWasReplacedStaysToBeSeen(t *testing.T) {
	p, h, _ := book(t, minutely("R404A suct 20", "suct 22")...)
	page := get(h, p.link(t, p.Now().Add(time.Hour))).Body.String()
	require.Contains(t, page, "replaced: <s>20\u00a0psig</s>")
	require.Contains(t, page, `<td class="figure">22`+"\u00a0psig</td>")
}

// TestWhatIsSaidAgainIsNoNews: the refrigerant comes with every reading.
func TestWhatIsSaidAgainIsNoNews(t *testing.T) {
	p, h, _ := book(t, minutely("R404A suct 20", "R404A suct 22, oil dark", "R404A suct 23", "it is R448A")...)
	page := get(h, p.link(t, p.Now().Add(time.Hour))).Body.String()
	require.Equal(t, 1, strings.Count(page, "<bdi>R404A.</bdi>"))
	require.Contains(t, page, "<bdi>Oil dark.</bdi>")
	require.Contains(t, page, "<bdi>R448A.</bdi>", "a correction is")
}

// TestALinkInAMessageIsNotPassedOn: a reader gets no link but the one he has.
func TestALinkInAMessageIsNotPassedOn(t *testing.T) {
	p, h, b := book(t, minutely("R404A suct 20")...)
	b.Link = func(tx caselog.Tx, n caselog.Number) (string, error) {
		path, err := p.Signer.LinkTo(tx, n, p.Now().Add(24*time.Hour))
		return "https://cold.example.org" + path, err
	}
	said, err := b.Handle(context.Background(), caselog.Inbound{Source: "sms", ID: "page", Person: "Ines", Text: "page", At: p.Now()})
	require.NoError(t, err)
	require.Regexp(t, `Its page: https://cold\.example\.org/case/[A-Za-z0-9_-]{38}`, said)
	require.LessOrEqual(t, reply.Segments(said), 1, "one text")
	page := get(h, p.link(t, p.Now().Add(time.Hour))).Body.String()
	require.Contains(t, page, "Its page: (a link)")
	require.NotContains(t, page, "cold.example.org")
}

func TestWhatCreepsMakesThePageAsSuspectAsThePhone(t *testing.T) {
	p, h, _ := book(t, fullJob(t)...)
	page := get(h, p.link(t, p.Now().Add(time.Hour))).Body.String()
	require.Contains(t, page, "Suction filter drop creeps up")
	require.Contains(t, page, `class="standing standing-suspect"`)
	require.Contains(t, page, "What took the old compressor: most likely a slug of liquid refrigerant. Since the change it moves the wrong way")
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

// BenchmarkDiagram draws one cycle, as it stands in the page and as it goes to a phone.
func BenchmarkDiagram(b *testing.B) {
	p, h, _ := book(b, minutely("R448A suct 44 line 42 head 230 liq 86 dlt 170 coil out 30")...)
	at := p.link(b, p.Now().Add(48*time.Hour))
	for _, name := range []string{"cycle.svg", "cycle.png"} {
		b.Run(name, func(b *testing.B) {
			for range b.N {
				require.Equal(b, http.StatusOK, get(h, at+"/"+name).Code)
			}
		})
	}
}

// TestPicturesToSend: what a phone gets is fetched by its address, in the units that
// its owner chose, and its words say the same.
func TestPicturesToSend(t *testing.T) {
	p, h, _ := book(t, fullJob(t)...)
	p.Public, p.Lives = "https://cold.example.org", time.Hour
	yes := true
	sent := func(n caselog.Number, metric *bool) (all []talk.Picture) {
		require.NoError(t, p.Store.View(context.Background(), func(tx caselog.Tx) (err error) {
			all, err = p.Pictures(tx, n, metric)
			return err
		}))
		return all
	}
	all := sent(1, &yes)
	require.Len(t, all, 2)
	for i, name := range []string{"cycle", "trend"} {
		one := all[i]
		require.Equal(t, name, one.Name)
		require.True(t, one.Rich)
		require.Contains(t, one.Words, "K", "metric")
		path, ours := strings.CutPrefix(one.Address, p.Public)
		require.True(t, ours, one.Address)
		w := get(h, path)
		require.Equal(t, http.StatusOK, w.Code)
		drawn, err := one.PNG()
		require.NoError(t, err)
		require.Equal(t, drawn, w.Body.Bytes(), "what is fetched is what was meant")
	}
	require.Contains(t, sent(1, nil)[0].Words, "°F")
	p.Public = ""
	require.Empty(t, sent(1, nil)[0].Address, "nobody outside can fetch it")
	p, _, _ = book(t, minutely("oil dark, shell sweating")...)
	require.Empty(t, sent(1, nil))
}

func TestAskingForAPicture(t *testing.T) {
	p, _, b := book(t, minutely("R404A suct 20")...)
	say := func(id, text string) string {
		said, err := b.Handle(context.Background(), caselog.Inbound{Source: "sms", ID: id, Person: "Ines", Text: text, At: p.Now()})
		require.NoError(t, err)
		return said
	}
	require.Contains(t, say("a", "picture"), "No pictures are drawn here")
	b.Pictures = p.Pictures
	require.Contains(t, say("b", "Show the cycle"), "diagram of R404A")
	require.Contains(t, say("c", "diagram"), "suction dew")
	require.NotContains(t, say("d", "more"), "diagram", "a picture is paid for each time: more brings none")
	say("e", "new")
	say("f", "oil dark")
	require.Contains(t, say("g", "picture"), "Nothing to draw yet")
}
