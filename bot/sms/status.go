package sms

import (
	"net/http"
	"strconv"
)

// Status is one report on a message of ours.
type Status struct {
	ID    string // of the message
	To    string
	State string // queued, sending, sent, delivered, undelivered, failed, …
	Code  int    // error code, 0 when none
}

// Key tells two reports apart; the provider repeats them.
func (s Status) Key() string { return s.ID + "/" + s.State }

// ranks order the states: reports come in any order, and a message only moves
// forward.
var ranks = map[string]int{
	"accepted": 1, "scheduled": 1, "queued": 2, "sending": 3, "sent": 4,
	"delivered": 5, "undelivered": 5, "failed": 5, "canceled": 5, "read": 6,
}

// Rank of a state; a report of a lower rank than what is known changes nothing.
func Rank(state string) int { return ranks[state] }

// Failed tells whether the message did not arrive and will not.
func (s Status) Failed() bool {
	return s.State == "undelivered" || s.State == "failed" || s.State == "canceled"
}

// status reads a report from a signed form.
func (a Account) status(f form) (Status, error) {
	err := firstOf(
		f.mustBe("MessageSid", messageSID.MatchString),
		f.same("SmsSid", "MessageSid"),
		f.mustBe("AccountSid", equal(a.SID)),
		f.mustBe("From", equal(a.From)),
		f.mustBe("To", phone.MatchString),
		f.mustBe("MessageStatus", func(v string) bool { return ranks[v] > 0 }),
		f.same("SmsStatus", "MessageStatus"),
	)
	if err != nil {
		return Status{}, err
	}
	s := Status{ID: f["MessageSid"], To: f["To"], State: f["MessageStatus"]}
	if text := f["ErrorCode"]; text != "" {
		if s.Code, err = strconv.Atoi(text); err != nil || s.Code < 0 {
			return Status{}, refuse(http.StatusBadRequest, "fields", "ErrorCode is not what it has to be")
		}
	}
	return s, nil
}
