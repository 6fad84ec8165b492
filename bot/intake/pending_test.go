package intake

import (
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/refdata/vocab"
)

// A number that was left without its name is named by the words of the next message.
func TestWordsNameTheNumberThatWasLeftOpen(t *testing.T) {
	r, err := BuiltIn()
	require.NoError(t, err)
	for _, c := range []struct {
		first, answer string
		key           vocab.Key
		shown         string
	}{
		{"28", "suction line temp", vocab.SuctionLineTemp, "28 F"},
		{"28", "thats the suction pressure", vocab.SuctionPressure, "28 psig"},
		{"got 212 psi on it", "head", vocab.DischargePressure, "212 psig"},
		{"pulling 14 amps", "leg b", vocab.AmpsB, "14 A"},
	} {
		m := r.Read(c.first, Context{})
		require.NotEmpty(t, m.Pending, c.first)
		m = r.Read(c.answer, Context{Asked: vocab.Key(m.Asks[0].Key), Pending: m.Pending})
		require.Len(t, m.Readings, 1, "%s: %s", c.first, c.answer)
		require.Equal(t, c.key, m.Readings[0].Key)
		require.Equal(t, c.shown, show(m.Readings[0].Reading))
		require.Equal(t, [2]int{0, len(c.answer)}, *m.Readings[0].Span)
	}
}

func TestWordsNameNothingWhereNothingIsOpen(t *testing.T) {
	r, err := BuiltIn()
	require.NoError(t, err)
	require.Empty(t, r.Read("line temp", Context{Asked: WhichReading}).Readings)
	require.Empty(t, r.Read("call you back after lunch", Context{Asked: WhichReading, Pending: "28"}).Readings)
	require.Empty(t, r.Read("28 240", Context{}).Pending, "of two numbers no name tells which")
	// a name that the number can't be is asked about, not believed
	require.Empty(t, r.Read("sump temp", Context{Asked: WhichReading, Pending: "900"}).Readings)
}
