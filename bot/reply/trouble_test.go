package reply_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
	"coldcase/bot/reply"
	"coldcase/calc/answer"
	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// TestTroubleIsSaidInWords holds that every error has a sentence of its own, and
// none is shown as a program says it.
func TestTroubleIsSaidInWords(t *testing.T) {
	said := map[string]bool{}
	for _, err := range []error{
		casenumber.ErrCheck,
		caselog.ErrNoCase,
		&props.UnknownFluidError{Name: "R999"},
		&props.UnknownFluidError{Name: "R404", Nearest: "R404A"},
		&props.RangeError{Quantity: "dew temperature", Fluid: "R448A", Got: 6.3e6, Low: 2e4, High: 4e6},
		&cycle.RangeError{Quantity: "altitude, ft", Got: 90000, Low: -1000, High: 15000},
		&tube.UnknownSizeError{OD: units.Inches(0.8)},
		&tube.UnknownSizeError{OD: units.Inches(0.5), PlumbingNominal: true},
		&vocab.UnitError{Key: vocab.SuctionPressure, Unit: units.CodeF},
		&props.TwoPhaseError{Fluid: "R22", T: 273, P: 5e5},
		&props.NoConvergenceError{What: "density", Fluid: "R407C", At: "1 Pa"},
		&props.NoModelError{Property: "viscosity", Fluid: "R22", State: "two phases"},
		&answer.UnknownQuestionError{About: "weather"},
		errors.New("disk full"),
	} {
		text := reply.Trouble(fmt.Errorf("case 1042-9: %w", err))
		assert.NotContains(t, text, err.Error())
		assert.NotContains(t, text, "1042-9")
		assert.False(t, said[text], text)
		said[text] = true
	}
}
