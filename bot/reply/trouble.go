package reply

import (
	"errors"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
)

// Trouble says an error in words for the sender; the error itself goes to the log.
func Trouble(err error) string {
	switch {
	case errors.Is(err, casenumber.ErrCheck):
		return "That case number doesn't check out: a digit is wrong or two are swapped. Which number is it?"
	case errors.Is(err, caselog.ErrNoCase):
		return "There is no case with that number."
	}
	return "Our end broke and that message was not kept. Send it again in a minute."
}
