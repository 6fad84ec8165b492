package intake

import (
	"fmt"
	"maps"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sync/errgroup"

	"coldcase/refdata/vocab"
)

// gist is what a message was read as, order aside: site and unit without their
// letter case and spaces.
func gist(m Message) map[string]string {
	out := map[string]string{}
	for _, r := range m.Readings {
		out[string(r.Key)] = show(r.Reading)
	}
	for k, v := range m.Facts {
		out[string(k)] = plainly(v)
	}
	for k, v := range m.Findings {
		out[string(k)] = fmt.Sprint(v)
	}
	for _, a := range m.Asks {
		out["ask "+a.Key] = ""
	}
	return out
}

func ours(t *testing.T) []labelled {
	return append(readCorpus(t, "corpus.jsonl"), readCorpus(t, "own.jsonl")...)
}

// changed counts the messages that read otherwise after a change of their text.
func changed(t *testing.T, change func(string) string) (n, of int) {
	r, err := BuiltIn()
	require.NoError(t, err)
	for _, l := range ours(t) {
		text := strings.ReplaceAll(l.Text, "\n", " ")
		was, is := gist(r.Read(text, Context{})), gist(r.Read(change(text), Context{}))
		of++
		if !maps.Equal(was, is) {
			n++
			t.Logf("%q\n  was %v\n  is  %v", change(text), was, is)
		}
	}
	return n, of
}

// Names of sites that are told by their capitals alone can't be in small letters:
// a few messages may differ in that, and in nothing else.
func TestLetterCaseChangesNothing(t *testing.T) {
	sites := func(m map[string]string) map[string]string { delete(m, "site"); return m }
	r, err := BuiltIn()
	require.NoError(t, err)
	for _, l := range ours(t) {
		text := strings.ReplaceAll(l.Text, "\n", " ")
		was := sites(gist(r.Read(text, Context{})))
		require.Equal(t, was, sites(gist(r.Read(strings.ToLower(text), Context{}))), "small: %q", text)
		if strings.ContainsAny(text, "°º") || l.Voice == "metric" {
			continue // M and m, K and k are different units in capitals
		}
		require.Equal(t, was, sites(gist(r.Read(strings.ToUpper(text), Context{}))), "capitals: %q", text)
	}
}

func TestSpacingChangesNothing(t *testing.T) {
	wide := func(s string) string { return "  " + strings.ReplaceAll(s, " ", "  ") + " " }
	n, of := changed(t, wide)
	require.Zero(t, n, "of %d", of)
}

func TestChatChangesNothing(t *testing.T) {
	for _, chat := range []string{"hey boss. %s", "%s. thanks man", "morning! %s. call you after lunch"} {
		r, err := BuiltIn()
		require.NoError(t, err)
		for _, l := range ours(t) {
			if l.Voice == "ambiguous" && len(strings.Fields(l.Text)) < 3 {
				continue // a lone number is no longer alone
			}
			text := strings.ReplaceAll(l.Text, "\n", " ")
			with := fmt.Sprintf(chat, text)
			was, is := gist(r.Read(text, Context{})), gist(r.Read(with, Context{}))
			delete(was, "site")
			delete(is, "site")
			require.Equal(t, was, is, with)
		}
	}
}

func TestOrderOfReadingsChangesNothing(t *testing.T) {
	r, err := BuiltIn()
	require.NoError(t, err)
	parts := []string{"suct 28", "head 215", "box 36", "OAT 91", "sump 120", "llt 92", "sh 9", "oil dark", "R448A"}
	want := gist(r.Read(strings.Join(parts, ", "), Context{}))
	require.Len(t, want, len(parts))
	for i := range parts {
		turned := append(append([]string{}, parts[i:]...), parts[:i]...)
		for _, mark := range []string{", ", ". ", " ", "; "} {
			require.Equal(t, want, gist(r.Read(strings.Join(turned, mark), Context{})), "%v", turned)
		}
	}
}

func TestSpellingOfUnitsChangesNothing(t *testing.T) {
	r, err := BuiltIn()
	require.NoError(t, err)
	for _, ways := range [][]string{
		{"suct 28 psi", "suct 28psig", "suct 28#", "suct 28 lbs", "suct 28 pounds", "28 psi suction", "suction twenty eight pounds", "suction pressure: 28 PSIG", "suct = 28 psi"},
		{"riser 14 ft", "riser 14'", "riser 14 feet", "riser is fourteen feet", "14 ft riser", "riser 14ft"},
		{"riser 1-3/8", "riser 1 3/8", "riser 1-3/8\"", "riser 1.375 in", "riser one and three eighths", "1-3/8 riser", "riser 1⅜"},
		{"cap 36000", "cap 36,000 btu", "cap 36k", "cap 36 MBH", "cap 36 kbtu", "capacity thirty six thousand btuh"},
		{"liquid line 92 F", "liquid line 92°F", "llt 92 deg F", "LL 92f", "liquid line temp 92 degrees F"},
		{"suct 2.1 bar", "suct 2,1 bar", "suction 2.1 barg", "suct 2.1bar"},
		{"box -8", "box minus eight", "box 8 below", "box temp -8"},
		{"meg 80", "80 megohms to ground", "megged 80 megs", "meg 80 Mohm"},
		{"vac 400 microns", "vacuum 400 micron", "pulled a vacuum to 400 microns", "vac to four hundred microns"},
	} {
		want := r.Read(ways[0], Context{}).Readings
		require.Len(t, want, 1, ways[0])
		for _, way := range ways {
			got := r.Read(way, Context{}).Readings
			require.Len(t, got, 1, way)
			require.Equal(t, show(want[0].Reading), show(got[0].Reading), way)
			require.Equal(t, want[0].Key, got[0].Key, way)
		}
	}
}

// Messages read side by side take each other's memory and nothing of each other's text.
func TestReadingSideBySideChangesNothing(t *testing.T) {
	r, err := BuiltIn()
	require.NoError(t, err)
	all := ours(t)
	want := make([]map[string]string, len(all))
	for i, l := range all {
		p := &parse{r: r}
		p.begin(l.Text, Context{})
		want[i] = gist(p.read())
	}
	var readers errgroup.Group
	for part := range 4 {
		readers.Go(func() error {
			for k := range all {
				i := (k + part*len(all)/4) % len(all)
				if got := gist(r.Read(all[i].Text, Context{})); !maps.Equal(want[i], got) {
					return fmt.Errorf("%q read as %v, alone as %v", all[i].Text, got, want[i])
				}
			}
			return nil
		})
	}
	require.NoError(t, readers.Wait())
}

func TestABareNumberAnswersTheQuestion(t *testing.T) {
	r, err := BuiltIn()
	require.NoError(t, err)
	for _, text := range []string{"31", "31 F", "it's 31", "31 degrees now"} {
		m := r.Read(text, Context{Asked: vocab.SuctionLineTemp})
		require.Len(t, m.Readings, 1, text)
		require.Equal(t, vocab.SuctionLineTemp, m.Readings[0].Key)
		require.Empty(t, m.Asks)
	}
	m := r.Read("31 psi", Context{Asked: vocab.SuctionLineTemp})
	require.Empty(t, m.Readings, "a pressure answers no question for a temperature")
	require.NotEmpty(t, m.Asks)
}

// The same thing in another unit is the same reading.
func TestEquivalentUnitsChangeNothing(t *testing.T) {
	r, err := BuiltIn()
	require.NoError(t, err)
	for _, ways := range [][]string{
		{"suct 28 psi", "suct 1.93053 bar", "suct 193.053 kPa", "suct 42.6959 psia"},
		{"head 215", "head 14.8237 bar"},
		{"liquid line 92 F", "liquid line 33.3333 C"},
		{"superheat 9", "superheat 5 K"},
		{"riser 14 ft", "riser 4.2672 m"},
		{"cap 36000", "cap 3 tons", "cap 36 MBH", "cap 10.5506 kW"},
		{"charge 12 lb 8 oz", "charge 12.5 lb", "charge 200 oz", "charge 5.66990 kg"},
	} {
		want := r.Read(ways[0], Context{}).Readings
		require.NotEmpty(t, want, ways[0])
		for _, way := range ways[1:] {
			got := r.Read(way, Context{}).Readings
			require.Len(t, got, len(want), way)
			require.Equal(t, want[0].Key, got[0].Key, way)
			a, err := vocab.SI(want[0].Reading, seaLevel)
			require.NoError(t, err)
			b, err := vocab.SI(got[0].Reading, seaLevel)
			require.NoError(t, err)
			require.InEpsilon(t, a, b, 0.001, way)
		}
	}
}
