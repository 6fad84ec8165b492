package bot_test

import (
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
