package team

import (
	"context"
	"fmt"
	"strings"

	"coldcase/bot/caselog"
)

// Mirror is a store whose cases have threads: what is appended to a case, by
// whichever outside, is queued for the case's thread in the same transaction.
type Mirror struct {
	caselog.Store
	Channel string // of the team
}

// Receive implements caselog.Store.
func (m Mirror) Receive(ctx context.Context, in caselog.Inbound, work func(caselog.Tx) error) (bool, error) {
	return m.Store.Receive(ctx, in, m.mirroring(in, work))
}

// Update implements caselog.Store.
func (m Mirror) Update(ctx context.Context, work func(caselog.Tx) error) error {
	return m.Store.Update(ctx, m.mirroring(caselog.Inbound{}, work))
}

// Done implements caselog.Queue.
func (m Mirror) Done(ctx context.Context, owner string, id int64, also func(caselog.Tx) error) error {
	return m.Store.Done(ctx, owner, id, m.mirroring(caselog.Inbound{}, also))
}

// GiveUp implements caselog.Queue.
func (m Mirror) GiveUp(ctx context.Context, owner string, id int64, why string, also func(caselog.Tx) error) error {
	return m.Store.GiveUp(ctx, owner, id, why, m.mirroring(caselog.Inbound{}, also))
}

func (m Mirror) mirroring(in caselog.Inbound, work func(caselog.Tx) error) func(caselog.Tx) error {
	if work == nil {
		return nil
	}
	return func(t caselog.Tx) error {
		shown := &mirrored{Tx: t, channel: m.Channel, in: in}
		if err := work(shown); err != nil {
			return err
		}
		return shown.flush()
	}
}

// mirrored is a transaction that remembers what a case's thread has to show of it.
type mirrored struct {
	caselog.Tx
	channel string
	in      caselog.Inbound // that the transaction is about
	lines   []lineRow
	drawn   []drawnRow
	alarms  []alarm
	touched []touched
}

// lineRow is the payload of an entry that is shown in the case's thread.
type lineRow struct {
	Case  caselog.Number `json:"case"`
	Seq   int            `json:"seq"`
	Alarm bool           `json:"alarm,omitempty"` // shown in the channel, too
	text  string
	ours  bool
}

// cardRow is the payload of a case's card.
type cardRow struct {
	Case caselog.Number `json:"case"`
}

// drawnRow is a picture that goes with an entry.
type drawnRow struct {
	seq int
	row drawingRow
}

type touched struct {
	n   caselog.Number
	seq int
}

type alarm struct {
	n    caselog.Number
	text string
}

// Append implements caselog.Tx.
func (m *mirrored) Append(n caselog.Number, entries []caselog.Entry) error {
	if err := m.Tx.Append(n, entries); err != nil || len(entries) == 0 {
		return err
	}
	for _, e := range entries {
		if m.shown(e) {
			m.lines = append(m.lines, lineRow{Case: n, Seq: e.Seq, text: e.Text, ours: e.By == us})
		}
		for _, name := range drawingsOf(e) {
			m.drawn = append(m.drawn, drawnRow{e.Seq, drawingRow{Case: n, Name: name}})
		}
	}
	m.touched = append(m.touched, touched{n, entries[len(entries)-1].Seq})
	return nil
}

// shown tells which entries a thread shows: what was said, and pictures. What was
// typed in the thread stands there already.
func (m *mirrored) shown(e caselog.Entry) bool {
	switch e.Kind {
	case caselog.KindMessage:
		typedThere := m.in.Source == Source && m.in.Thread != "" && e.ProviderID == m.in.ID && !strings.HasPrefix(e.ProviderID, pressID)
		return !typedThere
	case caselog.KindReply, caselog.KindVisit:
		return e.Text != ""
	case caselog.KindPhoto:
		return !inThread(e)
	}
	return false
}

// answered tells whether a reply of ours is on its way to the thread of a case.
func (m *mirrored) answered(n caselog.Number) bool {
	for _, l := range m.lines {
		if l.Case == n && l.ours {
			return true
		}
	}
	return false
}

// flush queues everything: the card, which opens the thread, before the lines, and
// the card again for what changed.
func (m *mirrored) flush() error {
	for _, a := range m.alarms {
		if !m.raise(a) {
			if err := m.alone(a); err != nil {
				return err
			}
		}
	}
	for _, c := range m.touched {
		if err := m.queue(kindCard, c.n, fmt.Sprintf("slack/card/%d", c.n), cardRow{c.n}); err != nil {
			return err
		}
	}
	for _, l := range m.lines {
		if err := m.queue(kindLine, l.Case, fmt.Sprintf("slack/line/%d/%d", l.Case, l.Seq), l); err != nil {
			return err
		}
	}
	for _, d := range m.drawn {
		if err := queueDrawing(m.Tx, m.channel, fmt.Sprintf("slack/drawing/%d/%d/%s", d.row.Case, d.seq, d.row.Name), d.row); err != nil {
			return err
		}
	}
	for _, c := range m.touched {
		if err := m.queue(kindCard, c.n, fmt.Sprintf("slack/card/%d/%d", c.n, c.seq), cardRow{c.n}); err != nil {
			return err
		}
	}
	return nil
}

func (m *mirrored) queue(kind string, n caselog.Number, idem string, what any) error {
	payload, err := asText(what)
	if err != nil {
		return err
	}
	return m.Enqueue(caselog.Outgoing{Dest: destChat + m.channel, Kind: kind, Payload: payload, Idem: idem, Case: n})
}

// raise shows a line that says the same in the channel as well.
func (m *mirrored) raise(a alarm) bool {
	for i := range m.lines {
		if l := &m.lines[i]; l.Case == a.n && (l.text == a.text || strings.HasPrefix(a.text, l.text) && l.text != "") {
			l.Alarm = true
			return true
		}
	}
	return false
}

// alone queues an alarm that no entry says.
func (m *mirrored) alone(a alarm) error {
	return m.queue(kindSay, a.n, "", speech{Case: a.n, Alarm: true, Lines: saying(a.text).Lines})
}

// Tell shows a line to the whole team: in the case's thread and in the channel. It
// is called in a transaction of the mirror.
func Tell(t caselog.Tx, n caselog.Number, text string) error {
	if m, ok := t.(*mirrored); ok {
		m.alarms = append(m.alarms, alarm{n, text})
		return nil
	}
	return fmt.Errorf("team chat: nobody is told %q", text) // a store without threads: a mistake of wiring
}
