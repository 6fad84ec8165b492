package serve_test

import (
	"bytes"
	"flag"
	"image/png"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/browsertest"
	"coldcase/bot/caselog/pgtest"
	"coldcase/bot/rehearse/workspace"
)

var update = flag.Bool("update", false, "write the picture anew")

func TestMain(m *testing.M) { pgtest.Main(browsertest.Around(m)) }

// teamPicture is shown in the README.
var teamPicture = filepath.Join("..", "..", "testdata", "pictures", "team-channel.png")

// TestThePictureOfAThread draws what the channel was really sent, on the page of the
// rehearsal. go test ./bot/serve -run ThePictureOfAThread -update writes it anew.
func TestThePictureOfAThread(t *testing.T) {
	tab := browsertest.Open(t, browsertest.Size{Width: 760, Height: 900, Density: 1})
	o := newOffice(t, true)
	o.text(inesPhone, "freezer 2 @ Harbor Lane Fish, 448a suct 28 line 8 head 240 liq line 92, comp replaced last week")
	card := o.root("Harbor Lane Fish")
	o.say(tomas, teamChannel, card.TS, "is the bulb tight? the last crew hung it on the riser")
	o.text(inesPhone, "bulb was loose on the pipe, strapped and insulated now", photoOfABulb(t))
	o.say(marit, teamChannel, card.TS, "coil out reads 2 on the controller")
	require.NoError(t, o.room.Press(marit, card, "take", "1-3", false))
	o.drained()
	page := &workspace.Page{Room: o.room, People: []workspace.Person{{Name: "Marit", ID: marit}, {Name: "Tomas", ID: tomas}}}
	s := httptest.NewServer(page.Handler())
	t.Cleanup(s.Close)
	tab.Visit(s.URL + "/posts?picture=1&as=" + marit + "&thread=" + card.TS)
	assert.Empty(t, tab.Complaints())
	assert.Empty(t, tab.Overflow())
	assert.Empty(t, tab.Broken())
	drawn := tab.Picture()
	config, err := png.DecodeConfig(bytes.NewReader(drawn))
	require.NoError(t, err)
	assert.Greater(t, config.Height, 900, "the card and all of the thread")
	if *update {
		tab.Keep(teamPicture, drawn)
	}
	kept, err := os.ReadFile(teamPicture)
	require.NoError(t, err)
	_, err = png.DecodeConfig(bytes.NewReader(kept))
	assert.NoError(t, err)
}

// The page that people type on, to look at and to use.
func TestTheRehearsalPageCanBeUsed(t *testing.T) {
	for name, size := range map[string]browsertest.Size{"phone": browsertest.Phone, "desktop": browsertest.Desktop} {
		t.Run(name, func(t *testing.T) {
			tab := browsertest.Open(t, size)
			o := newOffice(t, true)
			page := &workspace.Page{Room: o.room, People: []workspace.Person{{Name: "Marit", ID: marit}, {Name: "Tomas", ID: tomas}}}
			s := httptest.NewServer(page.Handler())
			t.Cleanup(s.Close)
			tab.Visit(s.URL + "/?as=" + tomas)
			tab.Leave(`document.querySelector("textarea").value = "@coldcase Quarry Road Market, 404a suct 20 line -11 head 305"; document.querySelector("form").submit()`)
			require.Eventually(t, func() bool { return o.cases() == 1 }, checkWithin, checkEvery)
			o.drained()
			tab.Visit(s.URL + "/posts?as=" + tomas)
			assert.Contains(t, browsertest.Ask[string](tab, `document.body.innerText`), "Quarry Road Market")
			tab.Leave(`Array.from(document.querySelectorAll("button")).find(b => b.innerText === "Why").click()`)
			require.Eventually(t, func() bool { return len(o.thread(o.root("Quarry"))) == 4 }, checkWithin, checkEvery)
			tab.Visit(s.URL + "/?as=" + tomas + "&thread=" + o.root("Quarry").TS)
			assert.Empty(t, tab.Complaints())
			assert.Empty(t, tab.Overflow())
			assert.Empty(t, tab.Serious())
		})
	}
}
