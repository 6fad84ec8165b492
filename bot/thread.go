package bot

import (
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/casenumber"
	"coldcase/bot/talk"
)

// inThread answers what was written in a case's own thread: that case is the one
// in hand, and what its writer has in hand elsewhere stays so.
func (h *handling) inThread(n casenumber.Number) (string, error) {
	own, err := h.shelf.person(h.in.By)
	if err != nil {
		return "", err
	}
	c, err := h.shelf.load(n)
	if err != nil {
		return "", err
	}
	guest := own.Guest(c, h.in.At)
	req, err := h.helper.Understand(c, guest, h.in)
	if err != nil {
		return "", err
	}
	req = req.InThread()
	if h.overheard && h.notForUs(req) {
		return "", h.note(n)
	}
	return h.take(c, guest, req, own.After)
}

// notForUs: words between people that hold nothing for the case.
func (h *handling) notForUs(req talk.Request) bool {
	return req.Chatter() || req.Action == talk.Close && req.Rest != "" && !h.helper.ClosesAs(req.Rest)
}

// note keeps a message on a case without answering it.
func (h *handling) note(n casenumber.Number) error {
	e := caselog.Entry{Kind: caselog.KindMessage, At: h.in.At, By: h.in.By, Channel: h.in.Channel, ProviderID: h.in.ProviderID, Text: talk.Fit(h.in.Text)}
	return h.shelf.append(n, []caselog.Entry{e}, talk.Turn{}, h.in.At)
}

// TakeInHand makes a case the one that a person has in hand from now on.
func (b *Bot) TakeInHand(t caselog.Tx, person string, n casenumber.Number, at time.Time) error {
	s := shelf{t}
	p, err := s.person(person)
	if err != nil {
		return err
	}
	p.Current, p.Named, p.Closing = n, at, false
	return s.remember(p)
}
