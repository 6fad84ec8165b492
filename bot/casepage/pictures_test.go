package casepage

import (
	"flag"
	"image/png"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"coldcase/bot/browsertest"
)

var update = flag.Bool("update", false, "draw the pictures of the README anew")

const pictures = "../../testdata/pictures"

// TestPicturesOfTheReadme draws them from an invented job: the page on a phone, the
// report on paper, the cycle and the trend as they go to a phone.
func TestPicturesOfTheReadme(t *testing.T) {
	all := []string{"phone.png", "report.png", "cycle.png", "trend.png"}
	if *update {
		drawPictures(t)
	}
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	for _, name := range all {
		f, err := os.Open(filepath.Join(pictures, name))
		require.NoError(t, err, "go test ./bot/casepage ./bot/desk -run Pictures -update")
		defer f.Close()
		_, err = png.DecodeConfig(f)
		require.NoError(t, err)
		info, err := f.Stat()
		require.NoError(t, err)
		require.Less(t, info.Size(), int64(120<<10), "small enough to be kept")
		require.Contains(t, string(readme), "testdata/pictures/"+name)
	}
}

func drawPictures(t *testing.T) {
	p, h, _ := book(t, fullJob(t)...)
	server := httptest.NewServer(h)
	t.Cleanup(server.Close)
	at := p.link(t, p.Now().Add(48*time.Hour))
	tab := browsertest.Open(t, browsertest.Phone)
	tab.Visit(server.URL + at)
	tab.Shot(filepath.Join(pictures, "phone.png"))
	tab.ShotOfSheet(filepath.Join(pictures, "report.png"), browsertest.Letter, 1)
	for _, name := range []string{"cycle.png", "trend.png"} {
		tab.Keep(filepath.Join(pictures, name), get(h, at+"/"+name).Body.Bytes())
	}
}
