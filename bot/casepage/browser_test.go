package casepage

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/browsertest"
	"coldcase/bot/caselog"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// shown is the page of a case in a browser; say puts one more message on the case.
func shown(t *testing.T, size browsertest.Size, job ...said) (tab *browsertest.Tab, say func(text string)) {
	p, h, b := book(t, job...)
	tab = browsertest.Open(t, size)
	server := httptest.NewServer(h)
	t.Cleanup(server.Close)
	tab.Visit(server.URL + p.link(t, p.Now().Add(48*time.Hour)))
	return tab, func(text string) {
		_, err := b.Handle(context.Background(), caselog.Inbound{Source: "sms", ID: text, Person: "Ines", Text: text, At: p.Now()})
		require.NoError(t, err)
	}
}

var sizes = map[string]browsertest.Size{"phone": browsertest.Phone, "tablet": browsertest.Tablet, "desktop": browsertest.Desktop}

func TestPagesOnEveryScreen(t *testing.T) {
	for job, said := range map[string][]said{"one reading": minutely("suct 20"), "everything": fullJob(t), "hostile text": hostileJob(t)} {
		for name, size := range sizes {
			t.Run(job+" on a "+name, func(t *testing.T) {
				tab, _ := shown(t, size, said...)
				assert.Empty(t, tab.Overflow())
				assert.Empty(t, tab.Broken())
				assert.Empty(t, tab.Barriers())
				assert.Empty(t, tab.Complaints())
			})
		}
	}
}

// TestHostileTextIsOnlyText: nothing that people typed became an element, an address
// or a script, in any field.
func TestHostileTextIsOnlyText(t *testing.T) {
	tab, _ := shown(t, browsertest.Phone, hostileJob(t)...)
	assert.Equal(t, 1, browsertest.Ask[int](tab, `document.scripts.length`), "our own")
	assert.Zero(t, browsertest.Ask[int](tab, `document.querySelectorAll("b, blink, img:not([src^='/case/']), [onerror], [onmouseover], [style]").length`))
	assert.True(t, browsertest.Ask[bool](tab, `document.body.textContent.includes('"><script>alert(1)</script><img src=x onerror=alert(1)>')`), "it is there to be read")
	assert.True(t, browsertest.Ask[bool](tab, `document.body.textContent.includes("שלום עולם")`))
	assert.True(t, browsertest.Ask[bool](tab, `document.body.textContent.includes("{{.Case}} ${x}")`))
	assert.False(t, browsertest.Ask[bool](tab, `document.documentElement.outerHTML.includes("5550142987")`), "no phone number reaches an owner")
	assert.Equal(t, "rtl", browsertest.Ask[string](tab, `getComputedStyle(Array.from(document.querySelectorAll(".text")).find(e => e.textContent.startsWith("שלום"))).direction`))
}

// TestHostileTextInEveryField fills all that a page can say, whoever it came from.
func TestHostileTextInEveryField(t *testing.T) {
	for name, text := range map[string]string{
		"markup":    `"><script>alert(1)</script><img src=x onerror=alert(1)>' onmouseover='alert(2)' <!-- {{.}} -->`,
		"one word":  strings.Repeat("w", 10_000),
		"both ways": "\u202eשלום עולם مرحبا \u2067<bdo dir=rtl>",
		"odd ones":  "\U0001f9ca\U0001f468\u200d\U0001f469\u200d\U0001f467 a\u0301\u0301\u0301\u0301 \u0000\u0007\ufeff javascript:alert(3)",
	} {
		t.Run(name, func(t *testing.T) {
			v := View{}
			fillAll(reflect.ValueOf(&v).Elem(), text)
			v.Token, v.Nonce, v.Units, v.Closed = "x", newNonce(), "", time.Time{}
			server := httptest.NewServer(onlyPage(t, v))
			t.Cleanup(server.Close)
			tab := browsertest.Open(t, browsertest.Phone)
			tab.Visit(server.URL + "/case/x")
			assert.Equal(t, 1, browsertest.Ask[int](tab, `document.scripts.length`))
			assert.Zero(t, browsertest.Ask[int](tab, `document.querySelectorAll("bdo, [onerror], [onmouseover], [style]").length`))
			assert.Empty(t, tab.Overflow())
			if len(text) < 1000 { // the checker takes a minute over words that long
				assert.Empty(t, tab.Barriers())
			}
			assert.Empty(t, tab.Complaints())
			assert.Empty(t, tab.Print(browsertest.A4).Outside(10))
		})
	}
}

// fillAll sets every text, and one element of every list.
func fillAll(v reflect.Value, text string) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(text)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fillAll(v.Index(0), text)
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			v.Set(reflect.ValueOf(noon))
			return
		}
		for i := range v.NumField() {
			fillAll(v.Field(i), text)
		}
	}
}

// onlyPage serves one view with its policy, and a picture at every other address.
func onlyPage(t *testing.T, v View) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /case/x", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Security-Policy", pagePolicy(v.Nonce, false))
		assert.NoError(t, v.Write(w))
	})
	mux.Handle("GET /assets/", http.FileServerFS(assets))
	mux.HandleFunc("GET /case/x/paper.css", func(w http.ResponseWriter, _ *http.Request) { w.Header().Set("Content-Type", "text/css") })
	mux.HandleFunc("GET /case/", func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write(drawnPhoto(t)) })
	mux.HandleFunc("GET /case/x/seq", func(w http.ResponseWriter, _ *http.Request) { _, _ = fmt.Fprintln(w, v.Seq) })
	return mux
}

// TestReportsOnPaper prints what an owner or a warranty desk gets.
func TestReportsOnPaper(t *testing.T) {
	for job, c := range map[string]struct {
		said        []said
		least, most int
	}{
		"one reading":  {minutely("suct 20"), 1, 2},
		"everything":   {fullJob(t), 5, 9},
		"hostile text": {hostileJob(t), 4, 10},
	} {
		tab, _ := shown(t, browsertest.Desktop, c.said...)
		for name, paper := range map[string]chromedp.PaperSize{"A4": browsertest.A4, "Letter": browsertest.Letter} {
			t.Run(job+" on "+name, func(t *testing.T) {
				tab.OnPaper(paper)
				assert.Empty(t, tab.Overflow(), "nothing is wider than the text between the margins")
				assert.Empty(t, browsertest.Ask[[]string](tab, `Array.from(document.images).filter(i => i.getBoundingClientRect().height > 9 * 96).map(i => i.src)`), "a picture fits on a sheet")
				tab.OnScreen()
				report := tab.Print(paper)
				assert.GreaterOrEqual(t, len(report.Sheets), c.least)
				assert.LessOrEqual(t, len(report.Sheets), c.most)
				assert.Empty(t, report.Outside(10), "no word is nearer than 10 mm to an edge")
				for _, part := range []string{"page 1 of ", "Checked by", "Case 1-3, as of "} {
					assert.Contains(t, report.Text(), part)
				}
			})
		}
		require.Empty(t, tab.Complaints())
	}
}

// TestReportHoldsWhatAScreenFolds: causes that are folded on a screen are printed.
func TestReportHoldsWhatAScreenFolds(t *testing.T) {
	tab, _ := shown(t, browsertest.Desktop, fullJob(t)...)
	require.NotZero(t, browsertest.Ask[int](tab, `document.querySelectorAll("details:not([open]) .cause").length`))
	folded := browsertest.Ask[string](tab, `document.querySelector("details .cause h3").firstChild.textContent.trim()`)
	require.Contains(t, tab.Print(browsertest.A4).Text(), folded)
}

func TestKeyboardGoesThroughThePageInOrder(t *testing.T) {
	tab, _ := shown(t, browsertest.Desktop, fullJob(t)...)
	var order []string
	for range 200 {
		tab.Do(chromedp.KeyEvent("\t"))
		at := browsertest.Ask[string](tab, `(e => e === document.body ? "" : e.className + "|" + (e.getAttribute("href") || e.type || e.tagName))(document.activeElement)`)
		if at == "" {
			break
		}
		order = append(order, at)
		require.True(t, browsertest.Ask[bool](tab, `getComputedStyle(document.activeElement).outlineStyle !== "none"`), "%s shows that it has the focus", at)
	}
	require.Equal(t, "skip|#main", order[0], "the way past the head comes first")
	all := strings.Join(order, " ")
	last := 0
	for _, part := range []string{"#happened", "#messages", "checkbox", "SUMMARY", "?units=us", "/photo/"} {
		at := strings.Index(all, part)
		require.GreaterOrEqual(t, at, last, "%s in %s", part, all)
		last = at
	}
	tops := browsertest.Ask[[]float64](tab, `Array.from(document.querySelectorAll("main a, main input, main summary"), e => e.closest("section, nav").getBoundingClientRect().top)`)
	require.IsNonDecreasing(t, tops, "focus goes down the page")
}

func TestAnOpenCaseGrowsByItself(t *testing.T) {
	tab, say := shown(t, browsertest.Phone, minutely("R404A suct 20 line 12 head 230", "shell sweating, oil foaming")...)
	tab.Do(chromedp.Click(chromedp.CSS(".plan input")))
	say("liq line 88")
	tab.Do(chromedp.Func(tab.Until(`document.body.textContent.includes("liq line 88")`)))
	require.Contains(t, browsertest.Ask[string](tab, `document.getElementById("fresh").textContent`), "Brought up to date")
	require.True(t, browsertest.Ask[bool](tab, `document.querySelector(".plan input").checked`), "a tick stays")
	tab.Do(chromedp.Reload())
	require.True(t, browsertest.Ask[bool](tab, `document.querySelector(".plan input").checked`), "also when the phone lets go of the page")
	say("close floodback, new expansion valve")
	tab.Do(chromedp.Func(tab.Until(`!("open" in document.body.dataset) && document.querySelector("header").textContent.includes("closed")`)))
	require.Empty(t, tab.Barriers())
	require.Empty(t, tab.Complaints())
}

func TestThePageIsWholeWithoutScript(t *testing.T) {
	tab, _ := shown(t, browsertest.Phone, fullJob(t)...)
	with := browsertest.Ask[string](tab, `document.querySelector("main").textContent`)
	tab.WithoutScript()
	tab.Do(chromedp.Reload())
	without, err := chromedp.Run(tab.Context(), chromedp.TextContent(chromedp.CSS("main")))
	require.NoError(t, err)
	require.Equal(t, with, without)
	require.Empty(t, tab.Complaints())
}

func TestALinkThatOpensNothingIsAPageThatSaysSo(t *testing.T) {
	p, h, _ := book(t, minutely("suct 20")...)
	server := httptest.NewServer(h)
	t.Cleanup(server.Close)
	tab := browsertest.Open(t, browsertest.Phone)
	tab.Visit(server.URL + p.link(t, p.Now().Add(-time.Second)))
	require.Contains(t, browsertest.Ask[string](tab, `document.body.textContent`), "no longer does")
	require.Empty(t, tab.Barriers())
	require.Len(t, tab.Complaints(), 1, "the status")
	require.Contains(t, tab.Complaints()[0], "404")
}
