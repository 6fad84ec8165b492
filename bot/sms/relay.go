package sms

import (
	"coldcase/bot/caselog"
	"coldcase/bot/crew"
)

// Relay puts a text about a case on its way to somebody's phone, such as what a
// teammate wrote in its thread.
func (l *Line) Relay(t caselog.Tx, n caselog.Number, to crew.Person, idem, text string) error {
	return l.sayOf(t, n, to.Phone, idem, text)
}
