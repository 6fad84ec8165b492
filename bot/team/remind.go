package team

import (
	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/bot/watch"
)

// Watch says what is due of a follow-up visit: a reminder to the person directly,
// an overdue visit to the team. It queues in the transaction that marks the visit.
func (t *Team) Watch(tx caselog.Tx, n watch.Notice) error {
	who, ok := t.people().ByName(n.Visit.Person)
	if n.Act == watch.Tell || !ok || who.Chat == "" {
		return Tell(tx, n.Case.Number, n.Text())
	}
	return t.Remind(tx, who, n)
}

// Remind writes to a person directly.
func (t *Team) Remind(tx caselog.Tx, who crew.Person, n watch.Notice) error {
	return t.queueSpeech(tx, who.Chat, "slack/"+n.Idem, saying(n.Text()))
}
