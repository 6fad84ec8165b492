package intake

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/vocab"
)

// FuzzRead holds the promises of the reader on any text: no panic, spans inside
// the text, no value that can't be, nothing both read and asked about, and what
// was read reads the same when it is typed out with its unit.
func FuzzRead(f *testing.F) {
	for _, l := range append(readCorpus(f, "corpus.jsonl"), readCorpus(f, "own.jsonl")...) {
		f.Add(l.Text)
	}
	f.Add("\xff\xfe suct \x00 28 \xc3")
	f.Add(strings.Repeat("7/8-1-3/8/230'\"", 40))
	r, err := BuiltIn()
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, text string) {
		p := r.parse(text, Context{})
		m := p.m
		nothingLost(t, p)
		asked := map[string]bool{}
		for _, a := range m.Asks {
			asked[a.Key] = true
		}
		for _, reading := range m.Readings {
			promise(t, text, reading.Reading)
			require.False(t, asked[string(reading.Key)] && countKey(m, reading.Key) > 1)
		}
	})
}

// nothingLost: each word is part of what was read, known, or echoed; each number of a
// message about the machine is read, asked about, set aside, or echoed.
func nothingLost(t *testing.T, p *parse) {
	echoed := strings.Join(p.m.Unread, " ")
	if slices.Contains(p.m.Unread, andMore) {
		return
	}
	for i, token := range p.t {
		if p.use[i] != unused || strings.Contains(echoed, token.Text) {
			continue
		}
		switch token.Kind {
		case lex.Word:
			require.True(t, token.Known || len(token.Plain) <= 2 || p.numOf[i] >= 0, "%q is lost", token.Text)
		case lex.Number:
			k := p.numOf[i]
			require.True(t, p.nameOf[i] >= 0 || k >= 0 && (p.nums[k].used || p.nums[k].idle) || !p.saysSomething(), "%q is lost", token.Text)
		}
	}
}

func countKey(m Message, k vocab.Key) (n int) {
	for _, r := range m.Readings {
		if r.Key == k {
			n++
		}
	}
	return n
}

func promise(t *testing.T, text string, r vocab.Reading) {
	require.NotNil(t, r.Span)
	from, to := r.Span[0], r.Span[1]
	require.True(t, 0 <= from && from < to && to <= len(text), "span %d..%d of %d bytes", from, to, len(text))
	_, known := vocab.Define(r.Key)
	require.True(t, known, r.Key)
	require.Equal(t, r.Value, r.Value, "not a number")
	_, bad := implausible(r, "R744")
	require.False(t, bad, "%v", r)
}

// typed is how a reading is put in words that name key and unit.
var typed = map[vocab.Key]string{
	vocab.SuctionPressure: "suction pressure %s psig", vocab.DischargePressure: "discharge pressure %s psig",
	vocab.SuctionLineTemp: "suction line temp %s F", vocab.LiquidLineTemp: "liquid line temp %s F",
	vocab.BoxTemp: "box temp %s F", vocab.AmbientTemp: "ambient %s F", vocab.SumpTemp: "sump temp %s F",
	vocab.Superheat: "superheat %s F", vocab.Subcooling: "subcooling %s F", vocab.RiserHeight: "riser %s ft",
	vocab.NetOilPressure: "net oil pressure %s psi", vocab.SuctionFilterDrop: "suction filter drop %s psi",
	vocab.Capacity: "capacity %s btu", vocab.SystemCharge: "charge %s lb", vocab.ChargeAdded: "added %s lb",
	vocab.Altitude: "altitude %s ft", vocab.InsulationMegohms: "meg %s megohms", vocab.RatedAmps: "RLA %s A",
	vocab.StartsPerHour: "%s starts per hour", vocab.CompressorAge: "compressor is %s years old",
}

func FuzzPrintThenRead(f *testing.F) {
	f.Add(28.0)
	f.Add(-4.5)
	f.Add(1250.0)
	r, err := BuiltIn()
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, v float64) {
		if v != v || v > 1e6 || v < -400 {
			return
		}
		text := strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
		for key, words := range typed {
			m := r.Read(fmt.Sprintf(words, text), Context{})
			for _, got := range m.Readings {
				require.Equal(t, key, got.Key, words+" "+text)
				require.Equal(t, text, strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", got.Value), "0"), "."), words)
			}
			require.NotEqual(t, 0, len(m.Readings)+len(m.Asks), words+" "+text)
		}
	})
}
