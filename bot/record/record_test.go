package record_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"coldcase/bot/intake"
	"coldcase/bot/record"
	"coldcase/calc/derive"
	"coldcase/refdata/vocab"
)

// told builds the record of some texts, a minute apart.
func told(t *testing.T, texts ...string) derive.Record {
	t.Helper()
	reader, err := intake.BuiltIn()
	require.NoError(t, err)
	b := record.New()
	at := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	for _, text := range texts {
		b.Add(reader.Read(text, b.Context()), at)
		at = at.Add(time.Minute)
	}
	return b.Record()
}

func last(rec derive.Record, k vocab.Key) (o derive.Observation) {
	for _, r := range rec.Observations {
		if r.Key == k {
			o = r
		}
	}
	return o
}

func TestFeedVoltsDoNotReplaceTheMachines(t *testing.T) {
	rec := told(t, "volts at the unit 196 195 197 running", "at the service 229 230 229")
	require.InDelta(t, 196, last(rec, vocab.VoltsAb).Value, 0)
	rec = told(t, "volts 196 195 197 running", "now 229 230 229 volts running")
	require.InDelta(t, 229, last(rec, vocab.VoltsAb).Value, 0)
}

func TestSuctionBehindAShutValveIsNotRunning(t *testing.T) {
	rec := told(t, "R404A suct 84 head 155", "suction valve shut, wont pull below 24 psig suction")
	require.Equal(t, vocab.Standing, last(rec, vocab.SuctionPressure).State)
}

func TestSwappedGaugesArePutRight(t *testing.T) {
	rec := told(t, "R448A suct 228 head 44")
	require.True(t, rec.Circumstances[vocab.SwappedGauges])
	rec = told(t, "R448A suct 228 head 44", "hoses were backwards. suct 44 head 228")
	require.False(t, rec.Circumstances[vocab.SwappedGauges])
}

func TestAReplacementThatDiesIsDead(t *testing.T) {
	rec := told(t, "R404A new semi in today. suct 46 SL 34", "it is dead again. trips the breaker at once")
	require.False(t, rec.Circumstances[vocab.CompressorChanged])
	rec = told(t, "R404A new semi in today. suct 46 SL 34", "opened the old one, it was grounded")
	require.True(t, rec.Circumstances[vocab.CompressorChanged])
}

// TestWhatWasPutRightIsOfTheMachineAsItWas: a repair ends the finding, not its record;
// told anew it is back.
func TestWhatWasPutRightIsOfTheMachineAsItWas(t *testing.T) {
	r, err := intake.BuiltIn()
	require.NoError(t, err)
	at := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		told, repair, again string
		finding             vocab.Finding
	}{
		{"bulb is loose", "bulb was off the pipe, strapped it", "bulb is loose again", vocab.BulbLoose},
		{"evap fan dead", "fans were tripped. reset. starting it", "fan is dead", vocab.FanFailed},
		{"solenoid leaking by", "new solenoid in", "solenoid leaking by", vocab.SolenoidLeaking},
		{"crankcase heater dead", "replaced the crankcase heater", "crankcase heater dead", vocab.HeaterFailed},
	} {
		b := record.New()
		seen := func(text string) bool {
			b.Add(r.Read(text, b.Context()), at)
			require.True(t, b.Record().Findings[c.finding], text)
			now, _ := b.Record().OfTheMachineIn()
			return now.Findings[c.finding]
		}
		require.True(t, seen(c.told))
		require.False(t, seen(c.repair), c.repair)
		require.True(t, seen(c.again), c.again)
	}
}

// TestWhatIsOnlyPlannedMendsNothing: the finding stands until the work is done.
func TestWhatIsOnlyPlannedMendsNothing(t *testing.T) {
	r, err := intake.BuiltIn()
	require.NoError(t, err)
	for told, plan := range map[string]string{
		"bulb is loose": "bulb needs strapped", "evap fan dead": "need a new fan motor", "solenoid leaking by": "gonna replace the solenoid",
		"crankcase heater dead": "should i replace the heater",
	} {
		b := record.New()
		for _, text := range []string{told, plan} {
			b.Add(r.Read(text, b.Context()), time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC))
		}
		require.Empty(t, b.Record().Replaced.Findings, plan)
	}
}
