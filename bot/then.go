package bot

import (
	"context"
	"fmt"
	"runtime/debug"

	"coldcase/bot/caselog"
	"coldcase/bot/talk"
)

// HandleThen is Handle with work of the outside in the same transaction: it gets
// the text of the answer, to queue it. seen: the message was recorded before, and
// nothing was done.
func (b *Bot) HandleThen(ctx context.Context, in caselog.Inbound, then func(t caselog.Tx, text string) error) (seen bool, err error) {
	return b.HandleAnswer(ctx, in, func(t caselog.Tx, _ talk.Answer, text string) error { return then(t, text) })
}

// HandleAnswer is HandleThen for an outside that says the answer in a form of its
// own. text is "" when there is nothing to say.
func (b *Bot) HandleAnswer(ctx context.Context, in caselog.Inbound, then func(t caselog.Tx, a talk.Answer, text string) error) (seen bool, err error) {
	said := &saying{Store: b.Store, then: then}
	one := *b
	one.Store = said
	one.Render = func(source string, a talk.Answer) string {
		said.answer, said.text = a, b.Render(source, a)
		return said.text
	}
	_, err = one.Handle(ctx, in)
	return said.seen, err
}

// saying is a store for one message that runs then at the end of its transaction.
type saying struct {
	caselog.Store
	then   func(t caselog.Tx, a talk.Answer, text string) error
	answer talk.Answer
	text   string
	seen   bool
}

func (s *saying) Receive(ctx context.Context, in caselog.Inbound, work func(caselog.Tx) error) (bool, error) {
	var err error
	s.seen, err = s.Store.Receive(ctx, in, func(t caselog.Tx) error {
		s.answer, s.text = talk.Answer{}, ""
		if err := whole(func() error { return work(t) }); err != nil {
			return err
		}
		return s.then(t, s.answer, s.text)
	})
	return s.seen, err
}

// whole turns a panic into an error, so that the transaction is taken back and the
// one message that caused it does not end the conversation of all others.
func whole(work func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("panic: %v\n%s", p, debug.Stack())
		}
	}()
	return work()
}
