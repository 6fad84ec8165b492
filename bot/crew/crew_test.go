package crew_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/crew"
)

const file = `time_zone: America/New_York
people:
  - {name: Ines, phone: "+15550100", chat: U0001, role: tech}
  - {name: Marit, phone: "+15550101", chat: U0002, role: lead, time_zone: America/Denver}
`

func TestFindsPeople(t *testing.T) {
	c, err := crew.Read(strings.NewReader(file))
	require.NoError(t, err)
	ines, ok := c.ByPhone("+15550100")
	require.True(t, ok)
	marit, ok := c.ByChat("U0002")
	require.True(t, ok)
	assert.Equal(t, "Ines", ines.Name)
	assert.Equal(t, crew.Lead, marit.Role)
	assert.Equal(t, "America/New_York", c.Zone(ines))
	assert.Equal(t, "America/Denver", c.Zone(marit))
	_, ok = c.ByPhone("")
	assert.False(t, ok)
}

func TestASiteHasItsOwnClock(t *testing.T) {
	c, err := crew.Read(strings.NewReader(file + "sites:\n  - {name: Quarry Road Market, time_zone: America/Phoenix}\n"))
	require.NoError(t, err)
	assert.Equal(t, "America/Phoenix", c.SiteZone("quarry-road market"))
	assert.Empty(t, c.SiteZone("Harbor Lane Fish"))
	assert.Empty(t, c.SiteZone(""))
	_, err = crew.Read(strings.NewReader("sites: [{name: X, time_zone: Mars/Base}]"))
	assert.ErrorContains(t, err, "site \"X\"")
}

func TestReportsEveryMistake(t *testing.T) {
	_, err := crew.Read(strings.NewReader("time_zone: Mars/Base\npeople:\n  - {name: Ines, phone: 555, role: boss}\n  - {name: ines}\n"))
	for _, want := range []string{"Mars/Base", "+15550100", "tech or lead", "same name"} {
		assert.ErrorContains(t, err, want)
	}
	_, err = crew.Read(strings.NewReader("peopel: []\n"))
	assert.Error(t, err)
}

func TestFileIsReadAgainAndABadOneKeepsTheLast(t *testing.T) {
	path := filepath.Join(t.TempDir(), "crew.yaml")
	require.NoError(t, os.WriteFile(path, []byte(file), 0o600))
	f, err := crew.Open(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, []byte(file+"  - {name: Teo}\n"), 0o600))
	c, err := f.Now()
	require.NoError(t, err)
	assert.Len(t, c.People, 3)
	require.NoError(t, os.WriteFile(path, []byte("people: 3"), 0o600))
	c, err = f.Now()
	require.Error(t, err)
	assert.Len(t, c.People, 3)
}

func TestMasks(t *testing.T) {
	assert.Equal(t, "call *******00 now", crew.MaskAll("call +15550100 now"))
}

func TestAPersonIsAdded(t *testing.T) {
	path := filepath.Join(t.TempDir(), "crew.yaml")
	require.NoError(t, os.WriteFile(path, []byte("# our crew\n"+file+"    # the last line\n"), 0o640))
	f, err := crew.Open(path)
	require.NoError(t, err)
	other, err := crew.Open(path)
	require.NoError(t, err)
	require.NoError(t, f.Add(crew.Person{Name: "Teo", Phone: "+15550102"}))
	require.NoError(t, other.Add(crew.Person{Name: "Ana: the #2", Chat: "U0004", Role: crew.Lead}))
	for _, each := range []*crew.File{f, other} {
		c, err := each.Now()
		require.NoError(t, err)
		require.Len(t, c.People, 4, "what another process added stays")
		teo, ok := c.ByPhone("+15550102")
		require.True(t, ok)
		assert.Equal(t, crew.Person{Name: "Teo", Phone: "+15550102", Role: crew.Tech}, teo)
		assert.Equal(t, "America/New_York", c.TimeZone)
	}
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(text), "# our crew\n")
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o640), info.Mode())
	left, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	assert.Len(t, left, 1, "nothing is left beside the file")
}

func TestWhoCanNotBeAddedChangesNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "crew.yaml")
	require.NoError(t, os.WriteFile(path, []byte(file), 0o600))
	f, err := crew.Open(path)
	require.NoError(t, err)
	for _, p := range []crew.Person{{Name: "ines"}, {Name: "Teo", Phone: "+15550100"}, {Name: "Teo", Phone: "555"}, {Name: ""}, {Name: "Teo", Role: "boss"}} {
		var listed *crew.ListedError
		require.ErrorAs(t, f.Add(p), &listed, p.Name)
	}
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, file, string(text))
	require.NoError(t, os.WriteFile(path, []byte("people: 3"), 0o600))
	require.Error(t, f.Add(crew.Person{Name: "Teo"}), "a file with a mistake is not written to")
	none, err := crew.Open("")
	require.NoError(t, err)
	require.ErrorIs(t, none.Add(crew.Person{Name: "Teo"}), crew.ErrNoFile)
}

func TestTheFirstPersonOfAnEmptyFile(t *testing.T) {
	for _, empty := range []string{"", "people:\n", "people: []\n", "time_zone: UTC\n"} {
		path := filepath.Join(t.TempDir(), "crew.yaml")
		require.NoError(t, os.WriteFile(path, []byte(empty), 0o600))
		f, err := crew.Open(path)
		require.NoError(t, err, empty)
		require.NoError(t, f.Add(crew.Person{Name: "Teo"}), empty)
		again, err := crew.Open(path)
		require.NoError(t, err, empty)
		c, err := again.Now()
		require.NoError(t, err, empty)
		assert.Len(t, c.People, 1, empty)
	}
}

func TestANumberIsKnownHoweverItIsWritten(t *testing.T) {
	c := crew.Crew{People: []crew.Person{{Name: "Ines", Phone: "+15550100"}, {Name: "Marit", Phone: "+445550101"}, {Name: "Tomas", Phone: "+335550101"}}}
	for typed, want := range map[string]string{
		"+15550100": "Ines", "+1 (555) 01-00": "Ines", "15550100": "Ines", "555-0100": "Ines", "555.0100 ": "Ines",
		"+5550100": "", "550100": "", "555-0101": "", "44 555 0101": "Marit", "Ines": "", "": "",
	} {
		p, ok := c.ByNumber(typed)
		assert.Equal(t, want, p.Name, typed)
		assert.Equal(t, want != "", ok, typed)
	}
}
