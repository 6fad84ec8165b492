package desk

import (
	"flag"
	"net/http/httptest"
	"os"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"coldcase/bot/browsertest"
)

var update = flag.Bool("update", false, "draw the picture of the README anew")

// TestPicturesOfTheReadme draws the desk in the middle of an invented job.
func TestPicturesOfTheReadme(t *testing.T) {
	const file = "../../testdata/pictures/desk.png"
	if *update {
		drawDesk(t, file)
	}
	info, err := os.Stat(file)
	require.NoError(t, err, "go test ./bot/casepage ./bot/desk -run Pictures -update")
	require.Less(t, info.Size(), int64(120<<10), "small enough to be kept")
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	require.Contains(t, string(readme), "testdata/pictures/desk.png")
}

func drawDesk(t *testing.T, file string) {
	d, h := opened(t)
	at := time.Date(2026, 3, 2, 9, 12, 0, 0, time.Local)
	d.Now = func() time.Time {
		at = at.Add(time.Minute)
		return at
	}
	server := httptest.NewServer(h)
	t.Cleanup(server.Close)
	tab := browsertest.Open(t, browsertest.Desktop)
	tab.Visit(server.URL + "/")
	send(tab, "Quarry Road Market walk-in, 404a suct 20 line -11 head 305 liq 100 dlt 262 amb 84 cond matted", `document.querySelectorAll("#thread .ours").length === 1`)
	tab.Do(chromedp.Reload(), chromedp.Func(tab.Until(`document.getElementById("page")?.contentDocument?.readyState === "complete"`)))
	tab.Shot(file)
}
