package bot_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
)

func TestAskingForThePage(t *testing.T) {
	b := newBot(t)
	require.Contains(t, say(t, b, "1", "Ines", "page", start), "No case yet")
	say(t, b, "2", "Ines", "R404A suct 20 line 12 head 230", start)
	require.Contains(t, say(t, b, "3", "Ines", "page", start), "No case pages are shown here")
	b.Link = func(_ caselog.Tx, n caselog.Number) (string, error) {
		return "https://cold.example.org/case/" + n.String(), nil
	}
	require.Contains(t, say(t, b, "4", "Ines", "Page", start), "Case 1-3.\nIts page: https://cold.example.org/case/1-3")
}
