package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/sqlstore"
)

// jobs are three cases in a month, texted to the bot itself.
func jobs(t *testing.T) (db string) {
	t.Helper()
	db = filepath.Join(t.TempDir(), "cases.db")
	t.Setenv("COLDCASE_DB", db)
	t.Setenv("COLDCASE_CREW", "")
	c := console{strings.NewReader(""), new(bytes.Buffer), new(bytes.Buffer)}
	b, _, err := openBot(t.Context(), c, settings{DB: db}, db)
	require.NoError(t, err)
	defer func() { require.NoError(t, b.Store.Close()) }()
	start := time.Date(2026, 3, 2, 14, 0, 0, 0, time.UTC)
	for _, m := range []struct {
		day  int
		text string
	}{
		{0, "freezer 2 @ Harbor Lane Fish suct 28 line 38"},
		{0, "R404A"},
		{0, "correction, it is R448A"},
		{0, "close floodback, new expansion valve"},
		{7, "new"},
		{7, "R448A freezer 2 @ Harbor Lane Fish suct 20 line 20"},
		{7, "close liquid slug, accumulator"},
		{20, "new"},
		{20, "R134a walk-in 1 @ Juniper Street Creamery suct 18 line 38"},
	} {
		start = start.Add(time.Minute)
		_, err := b.Handle(t.Context(), caselog.Inbound{Source: "terminal", Person: "Ines", Text: m.text, At: start.AddDate(0, 0, m.day)})
		require.NoError(t, err)
	}
	return db
}

func told(t *testing.T, code int, args ...string) (out, talk string) {
	t.Helper()
	var o, e bytes.Buffer
	require.Equal(t, code, run(t.Context(), console{strings.NewReader(""), &o, &e}, args), e.String())
	return o.String(), e.String()
}

func TestCasesAreSearched(t *testing.T) {
	jobs(t)
	for args, want := range map[string][]string{
		"":                                   {"1-3", "2-1", "3-7"},
		"--unit 'FREEZER-2'":                 {"1-3", "2-1"},
		"--unit walkin1":                     {"3-7"},
		"--refrigerant r448a":                {"1-3", "2-1"},
		"--refrigerant R404A":                nil,
		"--cause liquid_slug":                {"2-1"},
		"--since 2026-03-03":                 {"2-1", "3-7"},
		"--since 2026-03-03 --cause x":       nil,
		"--site harborlanefish":              {"1-3", "2-1"},
		"--unit freezer2 --since 2027-01-01": nil,
	} {
		for _, form := range []string{"", "--csv", "--json"} {
			line := append([]string{"cases"}, strings.Fields(strings.ReplaceAll(args, "'", ""))...)
			if form != "" {
				line = append(line, form)
			}
			out, _ := told(t, 0, line...)
			for _, n := range []string{"1-3", "2-1", "3-7"} {
				assert.Equal(t, contains(want, n), strings.Contains(out, n+" ") || strings.Contains(out, n+",") || strings.Contains(out, `"`+n+`"`), "%s %s: %s", args, form, n)
			}
		}
	}
	out, _ := told(t, 0, "cases", "--csv")
	assert.Equal(t, "case,opened,closed,site,unit,refrigerant,cause,opened_by\n"+
		"1-3,2026-03-02T14:01:00Z,2026-03-02T14:04:00Z,Harbor Lane Fish,freezer 2,R448A,floodback_running,Ines\n"+
		"2-1,2026-03-09T14:06:00Z,2026-03-09T14:07:00Z,Harbor Lane Fish,freezer 2,R448A,liquid_slug,Ines\n"+
		"3-7,2026-03-22T14:09:00Z,,Juniper Street Creamery,walk-in 1,R134a,,Ines\n", out)
	_, why := told(t, 2, "cases", "--since", "yesterday")
	assert.Contains(t, why, "--since takes a date")
}

func contains(all []string, one string) bool {
	for _, x := range all {
		if x == one {
			return true
		}
	}
	return false
}

// What was believed at any moment is shown, in the head of the case, too.
func TestACaseAsItStoodThen(t *testing.T) {
	jobs(t)
	head := func(at string) string {
		out, _ := told(t, 0, "case", "1-3", "--json", "--at", at)
		before, _, _ := strings.Cut(out, `,"entries"`)
		return before
	}
	assert.Contains(t, head("2026-03-02T14:01:30Z"), `"refrigerant":"","opened":"2026-03-02T14:01:00Z","closed":null,"cause":null`)
	assert.Contains(t, head("2026-03-02T14:02:30Z"), `"refrigerant":"R404A"`)
	assert.Contains(t, head("2026-03-02T14:03:30Z"), `"refrigerant":"R448A","opened":"2026-03-02T14:01:00Z","closed":null`)
	assert.Contains(t, head("2026-03-02"), `"cause":"floodback_running"`)
	out, _ := told(t, 0, "case", "1-3", "--at", "4")
	assert.Contains(t, out, "Which refrigerant?")
	assert.NotContains(t, out, "R404A")
}

// What could not be delivered is seen with the cases.
func TestWhatWasNotDeliveredIsSeen(t *testing.T) {
	db := jobs(t)
	s, err := sqlstore.Open(t.Context(), db)
	require.NoError(t, err)
	require.NoError(t, s.TakeOver(t.Context()))
	require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) error {
		return x.Enqueue(caselog.Outgoing{Dest: "sms:+15550100", Payload: "x", Case: 2})
	}))
	now := time.Now()
	got, err := s.Lease(t.Context(), "w", now, now.Add(time.Minute), 1)
	require.NoError(t, err)
	require.Len(t, got, 1)
	require.NoError(t, s.GiveUp(t.Context(), "w", got[0].ID, "a landline: +15550100", nil))
	require.NoError(t, s.Close())
	const line = "Not delivered, case 2-1, to sms:*******00 after 1 tries: a landline: *******00\n"
	_, all := told(t, 0, "cases")
	assert.Equal(t, line, all)
	_, one := told(t, 0, "case", "2-1")
	assert.Equal(t, line, one)
	_, other := told(t, 0, "case", "1-3")
	assert.Empty(t, other)
}
