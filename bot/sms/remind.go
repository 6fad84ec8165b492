package sms

import (
	"coldcase/bot/caselog"
	"coldcase/bot/reply"
	"coldcase/bot/watch"
)

// Watch says what is due of a follow-up visit: a reminder to the person's phone,
// an overdue visit to the leads. It queues in the transaction that marks the visit.
func (l *Line) Watch(t caselog.Tx, n watch.Notice) error {
	if n.Act == watch.Tell {
		return l.tell(t, n.Case.Number, n.Text())
	}
	people, err := l.Crew()
	if err != nil {
		l.Log.Warn("crew file", "err", err) // the last good crew stays in force
	}
	who, ok := people.ByName(n.Visit.Person)
	if !ok || who.Phone == "" {
		return l.tell(t, n.Case.Number, n.Text()+" "+n.Visit.Person+" has no phone in the crew file.")
	}
	return l.sayOf(t, n.Case.Number, who.Phone, n.Idem, outText{Body: reply.ToGSM(n.Text())})
}
