package desk

import (
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"coldcase/bot/browsertest"
)

// sit opens the desk in a browser.
func sit(t *testing.T, size browsertest.Size) *browsertest.Tab {
	_, h := opened(t)
	server := httptest.NewServer(h)
	t.Cleanup(server.Close)
	tab := browsertest.Open(t, size)
	tab.Visit(server.URL + "/")
	return tab
}

const (
	firstText = "R404A freezer 2 @ Juniper Street Creamery suct 18 line 38 head 235 liq 88"
	nextText  = "oil dark, amb 84"
)

// send types a text and waits for the answer; the page is not left.
func send(tab *browsertest.Tab, text, answered string) {
	tab.Do(
		chromedp.SendKeys(chromedp.CSS("#text"), text+"\r"),
		chromedp.Func(tab.Until(answered)),
	)
}

func TestTheDeskInABrowser(t *testing.T) {
	for name, size := range map[string]browsertest.Size{"phone": browsertest.Phone, "tablet": browsertest.Tablet, "desktop": browsertest.Desktop} {
		t.Run(name, func(t *testing.T) {
			tab := sit(t, size)
			require.Empty(t, tab.Barriers(), "empty")
			send(tab, firstText, `document.querySelectorAll("#thread .ours").length === 1 && !!document.getElementById("page")`)
			frame := `document.getElementById("page")?.contentDocument?.body`
			tab.Do(chromedp.Func(tab.Until(frame + `?.textContent.includes("Case 1-3")`)))
			before := browsertest.Ask[string](tab, frame+`.dataset.seq`)
			send(tab, nextText, frame+`?.dataset.seq !== "`+before+`" && `+frame+`?.textContent.includes("oil dark")`)
			require.Equal(t, "text", browsertest.Ask[string](tab, `document.activeElement.id`), "ready for the next text")
			require.Empty(t, browsertest.Ask[string](tab, `document.getElementById("text").value`))
			require.Empty(t, tab.Overflow())
			require.Empty(t, tab.Barriers())
			require.Empty(t, tab.Complaints())
		})
	}
}

func TestTheDeskWithoutScript(t *testing.T) {
	tab := sit(t, browsertest.Desktop)
	tab.WithoutScript()
	tab.Do(chromedp.Reload(), chromedp.SendKeys(chromedp.CSS("#text"), firstText), chromedp.Click(chromedp.CSS("#say button")))
	tab.Do(chromedp.WaitReady(chromedp.CSS("#thread .ours")), chromedp.WaitReady(chromedp.CSS("iframe#page")))
	tab.Do(chromedp.SendKeys(chromedp.CSS("#text"), nextText), chromedp.Click(chromedp.CSS("#say button")))
	tab.Do(chromedp.WaitReady(chromedp.CSS("#thread .ours:nth-of-type(4)")))
	newest, err := chromedp.Run(tab.Context(), chromedp.TextContent(chromedp.CSS(":target")))
	require.NoError(t, err)
	require.Contains(t, newest, nextText, "the reader is taken to what was typed last")
	require.Empty(t, tab.Complaints())
}
