package watch_test

import (
	"context"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/caselog/pgtest"
	"coldcase/bot/caselog/sqlstore"
	"coldcase/bot/watch"
	"coldcase/calc/derive"
	"coldcase/refdata/followup"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

func setting(t testing.TB) followup.Setting {
	s, err := followup.BuiltIn()
	require.NoError(t, err)
	return s
}

// monday 09:00 in New York
var monday = time.Date(2026, 3, 2, 14, 0, 0, 0, time.UTC)

func TestDueInWorkingHoursOfTheSite(t *testing.T) {
	due := monday.Add(-time.Hour)
	day := 24 * time.Hour
	for name, row := range map[string]struct {
		visit caselog.Visit
		now   time.Time
		want  []watch.Act
	}{
		"not yet":                  {caselog.Visit{Due: monday.Add(time.Minute)}, monday, nil},
		"due":                      {caselog.Visit{Due: due}, monday, []watch.Act{watch.Remind}},
		"reminded":                 {caselog.Visit{Due: due, Reminded: due}, monday, nil},
		"done":                     {caselog.Visit{Due: due, Done: due}, monday.Add(3 * day), nil},
		"night in New York":        {caselog.Visit{Due: due}, monday.Add(14 * time.Hour), nil},
		"still night in Honolulu":  {caselog.Visit{Due: due, Zone: "Pacific/Honolulu"}, monday, nil},
		"sunday":                   {caselog.Visit{Due: due.Add(-day)}, monday.Add(-day), nil},
		"overdue":                  {caselog.Visit{Due: due, Reminded: due}, monday.Add(day), []watch.Act{watch.Tell}},
		"overdue after a shutdown": {caselog.Visit{Due: due}, monday.Add(day), []watch.Act{watch.Remind, watch.Tell}},
		"told":                     {caselog.Visit{Due: due, Reminded: due, Overdue: due}, monday.Add(2 * day), nil},
	} {
		got, err := watch.Due(row.visit, row.now, "America/New_York", setting(t))
		require.NoError(t, err, name)
		assert.Equal(t, row.want, got, name)
	}
	_, err := watch.Due(caselog.Visit{Zone: "Mars/Base"}, monday, "UTC", setting(t))
	assert.ErrorContains(t, err, "Mars/Base")
}

func TestReadingsFulfilTheVisitThatIsOpen(t *testing.T) {
	day := 24 * time.Hour
	visits := []caselog.Visit{{Visit: 1, Due: monday.Add(2 * day)}, {Visit: 2, Due: monday.Add(7 * day)}}
	_, ok := watch.Fulfilled(visits, monday, monday.Add(time.Hour))
	assert.False(t, ok, "the start-up readings are no visit")
	v, ok := watch.Fulfilled(visits, monday, monday.Add(30*time.Hour))
	require.True(t, ok)
	assert.Equal(t, 1, v.Visit)
	visits[0].Done = monday.Add(30 * time.Hour)
	_, ok = watch.Fulfilled(visits, monday, monday.Add(3*day))
	assert.False(t, ok)
	v, ok = watch.Fulfilled(visits, monday, monday.Add(6*day))
	require.True(t, ok)
	assert.Equal(t, 2, v.Visit)
}

// A reminder leaves once although replicas tick at the same time and start again.
func TestFiresOnceAcrossReplicas(t *testing.T) {
	places := map[string]func() string{
		"sqlite":   func() string { return filepath.Join(t.TempDir(), "cases.db") },
		"postgres": func() string { return pgtest.URL(t) },
	}
	for name, place := range places {
		t.Run(name, func(t *testing.T) {
			at := place()
			var all sync.WaitGroup
			for round := range 2 { // the second round is after a restart
				for range 4 {
					s, err := sqlstore.Open(t.Context(), at)
					require.NoError(t, err)
					defer func() { require.NoError(t, s.Close()) }()
					if round == 0 {
						require.NoError(t, s.Update(t.Context(), openOnce))
					}
					w := watcher(t, s, monday.Add(time.Duration(round)*24*time.Hour))
					all.Go(func() { assert.NoError(t, w.Tick(context.Background())) })
				}
				all.Wait()
			}
			s, err := sqlstore.Open(t.Context(), at)
			require.NoError(t, err)
			defer func() { require.NoError(t, s.Close()) }()
			require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
				got, err := x.Outgoing(caselog.Ready)
				require.NoError(t, err)
				var texts []string
				for _, o := range got {
					texts = append(texts, o.Dest+" "+o.Payload)
				}
				assert.Equal(t, []string{
					"sms:Ines Case 1-3: follow-up visit 1 is due. Begin with case 1-3 and send sump, amps.",
					"team Case 1-3: follow-up visit 1 of Ines is overdue, it was due Mon 2 Mar.",
				}, texts)
				return nil
			}))
		})
	}
}

// A site's own clock goes before that of whoever is reminded.
func TestQuietHoursAreTheSites(t *testing.T) {
	s, err := sqlstore.Open(t.Context(), filepath.Join(t.TempDir(), "cases.db"))
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	require.NoError(t, s.Update(t.Context(), func(x caselog.Tx) error {
		for n, site := range []string{"Quarry Road Market", "Harbor Lane Fish", "Nowhere"} {
			c, err := x.Open(caselog.Case{Opened: monday, Site: site})
			if err != nil {
				return err
			}
			if err := x.SaveVisit(caselog.Visit{Case: c, Visit: n + 1, Due: monday.Add(-time.Hour), Person: "Ines"}); err != nil {
				return err
			}
		}
		return nil
	}))
	w := watcher(t, s, monday)
	w.Zone = func(site, _ string) string {
		return map[string]string{"Quarry Road Market": "Pacific/Honolulu", "Harbor Lane Fish": "America/New_York", "Nowhere": "Mars/Base"}[site]
	}
	require.ErrorContains(t, w.Tick(t.Context()), "Mars/Base", "one bad visit is told")
	require.NoError(t, s.View(t.Context(), func(x caselog.Tx) error {
		got, err := x.Outgoing(caselog.Ready)
		require.Len(t, got, 1, "and does not hold the others up; in Honolulu it is night")
		assert.Contains(t, got[0].Payload, "Case 2-")
		return err
	}))
}

func openOnce(x caselog.Tx) error {
	if _, err := x.Case(1); err == nil {
		return nil
	}
	n, err := x.Open(caselog.Case{Opened: monday})
	if err != nil {
		return err
	}
	return x.SaveVisit(caselog.Visit{Case: n, Visit: 1, Due: monday.Add(-time.Hour), Person: "Ines", Wanted: []string{"sump_temp", "amps_a"}})
}

func watcher(t *testing.T, s caselog.Store, now time.Time) *watch.Watcher {
	return &watch.Watcher{
		Store: s, Setting: setting(t), Clock: func() time.Time { return now },
		Zone: func(string, string) string { return "America/New_York" },
		Say: func(x caselog.Tx, n watch.Notice) error {
			dest := "sms:" + n.Visit.Person
			if n.Act == watch.Tell {
				dest = "team"
			}
			return x.Enqueue(caselog.Outgoing{Dest: dest, Payload: n.Text(), Idem: n.Idem})
		},
	}
}

// at is a day of the watch, with readings of one key.
func record(key vocab.Key, unit units.Code, byDay map[int]float64, days []int, more ...derive.Observation) derive.Record {
	var rec derive.Record
	for i, day := range days {
		at := monday.AddDate(0, 0, day)
		rec.Observations = append(rec.Observations, derive.Observation{
			Reading: vocab.Reading{Key: key, Value: byDay[day], Unit: unit}, At: at, Visit: i + 1, State: vocab.Running,
		})
	}
	rec.Observations = append(rec.Observations, more...)
	return rec
}

// hourApart moves the visits of a record together.
func hourApart(rec derive.Record) derive.Record {
	for i := range rec.Observations {
		rec.Observations[i].At = monday.Add(time.Duration(i) * time.Hour)
	}
	return rec
}

func TestWhatCreeps(t *testing.T) {
	days := []int{0, 7, 30}
	ambient := func(visit int, f float64) derive.Observation {
		return derive.Observation{Reading: vocab.Reading{Key: vocab.AmbientTemp, Value: f, Unit: units.CodeF}, Visit: visit, At: monday, State: vocab.Running}
	}
	for name, row := range map[string]struct {
		rec  derive.Record
		want string // source: trade-basis 6.7, slope by hand (least squares)
	}{
		"filter loads up": {
			record(vocab.SuctionFilterDrop, units.CodePSI, map[int]float64{0: 1, 7: 1.2, 30: 2}, days),
			"suction filter drop creeps up: 1.0 to 2.0 psi over 3 visits, 0.034 psi a day; at that pace it is at 3 psi in 30 days.",
		},
		"filter within the band": {record(vocab.SuctionFilterDrop, units.CodePSI, map[int]float64{0: 1, 7: 1.1, 30: 1.4}, days), ""},
		"up and down again":      {record(vocab.SuctionFilterDrop, units.CodePSI, map[int]float64{0: 1, 7: 3, 30: 2}, days), ""},
		"filter gets better":     {record(vocab.SuctionFilterDrop, units.CodePSI, map[int]float64{0: 3, 7: 2, 30: 1}, days), ""},
		"amps by share":          {record(vocab.AmpsA, units.CodeAmpere, map[int]float64{0: 20, 7: 20.5, 30: 21.2}, days), "amps on leg A creeps up: 20.0 to 21.2 A over 3 visits, 0.038 A a day."},
		"amps within 5 percent":  {record(vocab.AmpsA, units.CodeAmpere, map[int]float64{0: 20, 7: 20.5, 30: 20.9}, days), ""},
		"metric discharge":       {record(vocab.DischargeLineTemp, units.CodeC, map[int]float64{0: 90, 30: 100}, []int{0, 30}), "discharge line creeps up: 194.0 to 212.0 °F over 2 visits, 0.6 °F a day; at that pace it is at 225 °F in 22 days."},
		"a hot day is no creep":  {record(vocab.DischargeLineTemp, units.CodeF, map[int]float64{0: 180, 7: 182, 30: 200}, days, ambient(1, 70), ambient(2, 72), ambient(3, 95)), ""},
		"texts of one hour":      {hourApart(record(vocab.SuctionFilterDrop, units.CodePSI, map[int]float64{0: 2, 1: 4.5}, []int{0, 1})), "suction filter drop creeps up: 2.0 to 4.5 psi over 2 visits."},
		"one visit":              {record(vocab.SuctionFilterDrop, units.CodePSI, map[int]float64{0: 9}, []int{0}), ""},
	} {
		got := watch.Creeping(row.rec, nil, setting(t))
		if row.want == "" {
			assert.Empty(t, got, name)
			continue
		}
		if assert.Len(t, got, 1, name) {
			assert.Equal(t, row.want, got[0].Say(false), name)
			if name == "metric discharge" {
				assert.Equal(t, "discharge line creeps up: 90.0 to 100.0 °C over 2 visits, 0.33 K a day; at that pace it is at 107.2 °C in 22 days.", got[0].Say(true))
			}
		}
	}
}

// A computed number moves only when it moves beyond what the instruments leave.
func TestSuperheatCreepsBeyondItsUncertainty(t *testing.T) {
	rec := record(vocab.SuctionPressure, units.CodePSIG, map[int]float64{}, []int{0, 10})
	numbers := []derive.Number{
		{Name: derive.TotalSuperheat, Value: 20, Unit: units.CodeDegreesF, Visit: 1, PlusMinus: 1},
		{Name: derive.TotalSuperheat, Value: 16, Unit: units.CodeDegreesF, Visit: 2, PlusMinus: 1},
	}
	got := watch.Creeping(rec, numbers, setting(t))
	require.Len(t, got, 1)
	assert.Equal(t, "superheat at the compressor creeps down: 20.0 to 16.0 °F over 2 visits, 0.4 °F a day; at that pace it is at 10 °F in 15 days.", got[0].Say(false))
	assert.Equal(t, "superheat at the compressor creeps down: 11.1 to 8.9 K over 2 visits, 0.22 K a day; at that pace it is at 5.556 K in 15 days.", got[0].Say(true))
	numbers[0].PlusMinus, numbers[1].PlusMinus = 3, 3
	assert.Empty(t, watch.Creeping(rec, numbers, setting(t)))
}

func TestBadSettings(t *testing.T) {
	for _, bad := range []string{
		"visits: [{within: 48h, name: a}, {within: 24h, name: b}]",
		"working_hours: {from: 18, to: 7, days: [monday]}",
		"working_hours: {from: 7, to: 18, days: [monday]}\ncreep: [{number: x, falls_to: typo}]",
		"typo: 1",
	} {
		_, err := followup.Read([]byte(bad))
		assert.Error(t, err, bad)
	}
}
