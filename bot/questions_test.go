package bot_test

import (
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
)

// Questions as techs type them, each with what the reply has to say and the page of
// the trade's basis that says it.
func TestQuestionsAreAnswered(t *testing.T) {
	f, err := os.Open("../testdata/questions.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	b := newBot(t)
	at := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	for i, row := range rows[1:] {
		say, err := b.Handle(context.Background(), caselog.Inbound{Source: "terminal", ID: fmt.Sprint(i), Person: fmt.Sprintf("Tech %d", i), Text: row[0], At: at})
		require.NoError(t, err)
		for part := range strings.SplitSeq(row[1], " & ") {
			assert.Contains(t, strings.ToLower(say), strings.ToLower(part), "%s (%s)", row[0], row[2])
		}
	}
	assert.Greater(t, len(rows), 60)
}
