package intake

import (
	"testing"

	"github.com/stretchr/testify/require"

	"coldcase/refdata/vocab"
)

// A question about the machine announces nothing; leave asked, and a plan told, do. Each
// sentence speaks for itself.
func TestQuestionsAnnounceNothing(t *testing.T) {
	r, err := BuiltIn()
	require.NoError(t, err)
	for _, c := range []struct {
		text  string
		means vocab.Circumstance
		it    bool
	}{
		{text: "does it need gas?", means: vocab.MeansToAddGas},
		{text: "did they braze it with nitrogen?", means: vocab.MeansToBraze},
		{text: "is a leak test holding at 150 normal?", means: vocab.MeansToPressureTest},
		{text: "what size riser for 9000 btu. gonna braze it in tonight", means: vocab.MeansToBraze, it: true},
		{text: "ok to add gas?", means: vocab.MeansToAddGas, it: true},
		{text: "can i just restart it?", means: vocab.MeansToRestart, it: true},
		{text: "how do i pump it down?", means: vocab.MeansToPumpDown, it: true},
		{text: "gonna braze the drier in", means: vocab.MeansToBraze, it: true},
	} {
		require.Equal(t, c.it, r.Read(c.text, Context{}).Circumstances[c.means], c.text)
	}
}

func TestWhatHasNoPlaceInACaseIsEchoed(t *testing.T) {
	r, err := BuiltIn()
	require.NoError(t, err)
	require.Equal(t, []string{"C-S 1.2", "C-R 0.8", "S-R 2.0"}, r.Read("C-S 1.2 C-R 0.8 S-R 2.0", Context{}).Unread)
	require.Equal(t, []string{"9 lb came out"}, r.Read("9 lb came out", Context{}).Unread)
}

func TestALeakIsHeard(t *testing.T) {
	r, err := BuiltIn()
	require.NoError(t, err)
	for _, text := range []string{"schrader leaking bad", "flare is hissing", "valve core leaks"} {
		require.True(t, r.Read(text, Context{}).Circumstances[vocab.OilLeakSpot], text)
	}
}
