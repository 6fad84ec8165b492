package bot_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
)

// A watch over a month: the filter loads up from visit to visit, it is said with its
// slope, an extra visit is set, and the visits that were made are not asked for.
func TestAWatchSaysWhatCreeps(t *testing.T) {
	b := newBot(t)
	s := b.Store
	start := time.Date(2026, 3, 2, 14, 0, 0, 0, time.UTC)
	day := 24 * time.Hour
	var last string
	var err error
	for _, m := range []struct {
		after time.Duration
		text  string
	}{
		{0, "R448A compressor changed, suct 28 line 38, suction filter drop 1 psi"},
		{time.Minute, "watch"},
		{2 * day, "suct 28 line 38, suction filter drop 1.3 psi"},
		{2*day + time.Minute, "same"},
		{7 * day, "suct 28 line 38, suction filter drop 1.8 psi"},
		{7*day + time.Minute, "same"},
	} {
		last, err = b.Handle(t.Context(), caselog.Inbound{Source: "terminal", Person: "Ines", Text: m.text, At: start.Add(m.after)})
		require.NoError(t, err)
	}
	assert.Contains(t, last, "uction filter drop creeps up: 1.0 to 1.8 psi over 3 visits")
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		visits, err := x.Visits(1)
		require.NoError(t, err)
		require.Len(t, visits, 5, "four, and one more in 48 hours")
		var done []bool
		for _, v := range visits {
			done = append(done, !v.Done.IsZero())
		}
		assert.Equal(t, []bool{true, true, false, false, false}, done)
		assert.Equal(t, start.Add(9*day+time.Minute), visits[4].Due)
		return nil
	}))
}

// A compressor change starts the watch by itself; with the last visit in and nothing
// creeping it is said to be over. What set or fulfilled a visit can be taken back.
func TestAChangedCompressorIsWatchedToItsEnd(t *testing.T) {
	b := newBot(t)
	start := time.Date(2026, 3, 2, 14, 0, 0, 0, time.UTC)
	const good = "suct 28 line 8, suction filter drop 1 psi"
	say := func(after time.Duration, text string) string {
		said, err := b.Handle(t.Context(), caselog.Inbound{Source: "terminal", Person: "Ines", Text: text, At: start.Add(after)})
		require.NoError(t, err)
		return said
	}
	done := func() (all []bool) {
		require.NoError(t, b.Store.View(t.Context(), func(x caselog.Tx) error {
			visits, err := x.Visits(1)
			for _, v := range visits {
				all = append(all, !v.Done.IsZero())
			}
			return err
		}))
		return all
	}
	const day = 24 * time.Hour
	assert.NotContains(t, say(0, "R448A freezer 2 @ Harbor Lane Fish, will change the compressor tomorrow"), "Follow-up")
	assert.Empty(t, done(), "a planned change is none")
	said := say(time.Hour, "compressor changed, "+good)
	assert.Contains(t, said, "Follow-up visits by Wed 4 Mar, Mon 9 Mar, Wed 1 Apr, Sun 31 May. I remind you.")
	assert.Equal(t, []bool{false, false, false, false}, done())
	assert.Contains(t, say(61*time.Minute, "undo"), "Took back")
	assert.Equal(t, []bool{true, true, true, true}, done(), "nobody is reminded of a watch that was taken back")
	say(62*time.Minute, "compressor changed, "+good)
	require.Equal(t, []bool{true, true, true, true, false, false, false, false}, done())
	for i, after := range []time.Duration{2 * day, 7 * day, 30 * day, 90 * day} {
		said = say(after+2*time.Hour, "case 1-3 "+good)
		assert.True(t, done()[4+i], after)
		assert.Equal(t, i == 3, strings.Contains(said, "The watch is over: all 4 follow-up visits are in and nothing creeps."), said)
	}
	say(90*day+3*time.Hour, "undo")
	assert.False(t, done()[7], "the readings that fulfilled it were taken back")
	assert.Contains(t, say(90*day+3*time.Hour, "watch"), "done Wed 4 Mar")
}

// A machine is watched on when its case is closed: a reminder names the case, and what
// is sent with its number is a visit.
func TestAClosedCaseIsWatchedOn(t *testing.T) {
	b := newBot(t)
	start := time.Date(2026, 3, 2, 14, 0, 0, 0, time.UTC)
	say := func(after time.Duration, text string) string {
		said, err := b.Handle(t.Context(), caselog.Inbound{Source: "terminal", Person: "Ines", Text: text, At: start.Add(after)})
		require.NoError(t, err)
		return said
	}
	say(0, "R448A suct 28 line 8")
	assert.Contains(t, say(time.Hour, "close floodback, new compressor and accumulator"), "Follow-up visits by Wed 4 Mar")
	say(24*time.Hour, "R134a suct 18 line 38") // another job
	say(48*time.Hour, "case 1-3 suct 28 line 28")
	require.NoError(t, b.Store.View(t.Context(), func(x caselog.Tx) error {
		open, err := x.OpenVisits()
		require.Len(t, open, 3)
		assert.Equal(t, 2, open[0].Visit)
		return err
	}))
}

// The replacement dies and is replaced: its watch begins anew, with its own base line,
// and the visits of the one before stay on record without anybody being reminded.
func TestASecondCompressorIsWatchedAnew(t *testing.T) {
	b := newBot(t)
	start := time.Date(2026, 3, 2, 14, 0, 0, 0, time.UTC)
	const day = 24 * time.Hour
	say := func(after time.Duration, text string) string {
		said, err := b.Handle(t.Context(), caselog.Inbound{Source: "terminal", Person: "Ines", Text: text, At: start.Add(after)})
		require.NoError(t, err)
		return said
	}
	visits := func() (all []caselog.Visit, open []int) {
		require.NoError(t, b.Store.View(t.Context(), func(x caselog.Tx) (err error) {
			all, err = x.Visits(1)
			return err
		}))
		for _, v := range all {
			if v.Done.IsZero() {
				open = append(open, v.Visit)
			}
		}
		return all, open
	}
	say(0, "R448A freezer 2 @ Harbor Lane Fish, compressor changed, suct 28 line 38, suction filter drop 1 psi")
	say(2*day, "case 1-3 suct 28 line 38, suction filter drop 1 psi")
	say(4*day, "case 1-3 compressor dead, grounded")
	said := say(5*day, "case 1-3 new compressor in, suct 28 line 30, suction filter drop 3 psi")
	assert.Contains(t, said, "The watch begins anew")
	assert.Contains(t, said, "Follow-up visits by Mon 9 Mar")
	all, open := visits()
	require.Len(t, all, 8, "the visits before stay on record")
	assert.Equal(t, []int{5, 6, 7, 8}, open)
	assert.Equal(t, start.Add(2*day), all[0].Done, "the one that was made")
	assert.Equal(t, start.Add(5*day), all[1].Done, "ended with its watch")

	said = say(7*day, "case 1-3 suct 28 line 30, suction filter drop 3 psi")
	assert.NotContains(t, said, "creeps", "what the first one's filter held is no base line")
	_, open = visits()
	assert.Equal(t, []int{6, 7, 8}, open)
	shown := say(7*day+time.Minute, "watch")
	assert.Equal(t, 4, strings.Count(shown, ", by "), shown)

	say(7*day+2*time.Minute, "undo") // the word watch
	say(7*day+3*time.Minute, "undo") // the readings of the visit
	assert.Contains(t, say(7*day+4*time.Minute, "undo"), "Took back")
	_, open = visits()
	assert.Equal(t, []int{2, 3, 4}, open, "with the second change taken back, the first watch goes on")
}
