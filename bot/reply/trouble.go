package reply

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
	"coldcase/calc/answer"
	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// Trouble says an error in words for the sender: what was read, why it can't stand,
// what to send. The error itself goes to the log.
func Trouble(err error) string {
	var fluid *props.UnknownFluidError
	var state *props.RangeError
	var value *cycle.RangeError
	var size *tube.UnknownSizeError
	var unit *vocab.UnitError
	var question *answer.UnknownQuestionError
	var twoPhase *props.TwoPhaseError
	var noneFound *props.NoConvergenceError
	var noModel *props.NoModelError
	switch {
	case errors.Is(err, casenumber.ErrCheck):
		return "That case number has a digit off. Which case is it?"
	case errors.Is(err, caselog.ErrNoCase):
		return "There is no case with that number."
	case errors.As(err, &fluid) && fluid.Nearest != "":
		return fmt.Sprintf("%s is not a refrigerant I know. Is it %s?", fluid.Name, fluid.Nearest)
	case errors.As(err, &fluid):
		return fmt.Sprintf("%s is not a refrigerant I know. What does the plate or the cylinder say?", fluid.Name)
	case errors.As(err, &state):
		return fmt.Sprintf("That is outside what I have for %s. Check the reading and the refrigerant.", state.Fluid)
	case errors.As(err, &value):
		return outside(value)
	case errors.As(err, &size) && size.PlumbingNominal:
		return "That is a plumbing size. What is the outside diameter?"
	case errors.As(err, &size):
		return fmt.Sprintf("%.3g in (%.3g mm) is no tube size that I know. What is the outside diameter?", size.OD.Inches(), size.OD.Meters()*1e3)
	case errors.As(err, &unit):
		return fmt.Sprintf("I can't take that reading in %s. Which unit is it?", unit.Unit)
	case errors.As(err, &twoPhase):
		return fmt.Sprintf("At that pressure and temperature %s is liquid and gas at once. Check both readings.", twoPhase.Fluid)
	case errors.As(err, &noneFound):
		return fmt.Sprintf("I can't work that one out for %s. Check the readings.", noneFound.Fluid)
	case errors.As(err, &noModel):
		return fmt.Sprintf("I have no figures for that of %s.", noModel.Fluid)
	case errors.As(err, &question):
		return "I can't work that out yet. Send the readings and I judge what I can."
	}
	return "Our end broke and that message was not kept. Send it again in a minute."
}

// outside says a value that no formula holds for, with the limit, in the trade's
// units.
func outside(e *cycle.RangeError) string {
	what, unit, _ := strings.Cut(e.Quantity, ", ")
	if what == "pressure after the loss" {
		return "That line loses more pressure than there is. Check the load, the size and their units."
	}
	say := func(v float64) string { return strings.TrimSpace(fmt.Sprintf("%.4g %s", v, unit)) }
	if unit == "C" {
		say = func(v float64) string { return fmt.Sprintf("%.0f F (%.0f C)", units.Celsius(v).F(), v) }
	}
	limit := fmt.Sprintf("I can do %s to %s", say(e.Low), say(e.High))
	switch {
	case math.IsInf(e.High, 1):
		limit = "it has to be above " + say(e.Low)
	case math.IsInf(e.Low, -1):
		limit = "it has to be below " + say(e.High)
	}
	return fmt.Sprintf("%s %s can't be right: %s. Check it and send it again.", upperFirst(what), say(e.Got), limit)
}

func upperFirst(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
