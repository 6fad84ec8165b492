package serve_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/casepage"
	"coldcase/bot/rehearse/workspace"
)

// drawingOffice is an office whose cases have pictures, and an address that the
// phone line's provider can fetch them from.
func drawingOffice(t *testing.T) *office {
	t.Helper()
	o := newOffice(t, true)
	o.stop()
	o.pictures = func() *casepage.Pages {
		signer, err := casepage.NewSigner("a key that nobody guesses")
		require.NoError(t, err)
		return &casepage.Pages{Store: o.bot.Store, Helper: o.bot.Helper, Signer: signer, Zone: time.UTC, Now: time.Now, Lives: time.Hour, Public: o.phone.PublicURL}
	}
	o.start()
	return o
}

const (
	someReadings = "freezer 2 @ Harbor Lane Fish, 448a suct 28 head 240"
	moreReadings = "line 18 liq line 92"
)

// pictures are the files in a thread, in order.
func (o *office) files(root workspace.Post) (names []string) {
	for _, p := range o.room.Thread(root.TS)[1:] {
		for _, f := range p.Files {
			names = append(names, f.Name)
			assert.True(o.t, strings.HasPrefix(string(f.Bytes), "\x89PNG"), f.Name)
		}
	}
	return names
}

func TestTheThreadShowsTheCycleOnceItIsWorthALook(t *testing.T) {
	o := drawingOffice(t)
	o.text(inesPhone, someReadings)
	card := o.root("Harbor Lane Fish")
	assert.Empty(t, o.files(card), "two pressures show no cycle yet")
	o.text(inesPhone, moreReadings)
	o.text(inesPhone, "oil clean, amb 84")
	assert.Len(t, o.files(card), 1, "once a visit")
	assert.Contains(t, strings.Join(o.thread(card), "\n"), "diagram of R448A", "what it shows, in words")
	assert.Empty(t, o.phone.All()[len(o.phone.All())-1].Links, "a tech pays for pictures: none unasked")
}

func TestAPictureIsSentToWhoAsksForIt(t *testing.T) {
	o := drawingOffice(t)
	o.text(inesPhone, someReadings)
	o.text(inesPhone, "picture")
	card := o.root("Harbor Lane Fish")
	assert.Len(t, o.files(card), 1, "the team sees what the tech was sent")
	last := o.phone.All()[len(o.phone.All())-1]
	require.Len(t, last.Links, 1)
	assert.Regexp(t, `^https://coldcase\.example\.org/case/[\w-]{38}/cycle\.png$`, last.Links[0])
	assert.Contains(t, last.Body, "diagram of R448A")
	o.say(tomas, card.Channel, card.TS, "show cycle")
	assert.Len(t, o.files(card), 2)
}

// Neither the card nor the answer hangs on the picture.
func TestWordsStandWhereThePictureCannotBeShown(t *testing.T) {
	o := drawingOffice(t)
	o.room.Hook(workspace.Hooks{Trouble: func(method string) (int, string, string) {
		if method == "files.completeUploadExternal" {
			return http.StatusOK, "posting_to_channel_denied", ""
		}
		return 0, "", ""
	}})
	o.text(inesPhone, someReadings+" "+moreReadings)
	card := o.root("Harbor Lane Fish")
	assert.Empty(t, o.files(card))
	said := strings.Join(o.thread(card), "\n")
	assert.Contains(t, said, "The picture could not be shown here.")
	assert.Contains(t, said, "diagram of R448A")
}
