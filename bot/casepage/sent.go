package casepage

import (
	"bytes"

	"coldcase/bot/caselog"
	"coldcase/bot/talk"
)

// Pictures are the drawings that a case has, for a phone or a team chat: only those
// that can be drawn. metric is the reader's choice of units; nil is of who opened it.
func (p *Pages) Pictures(t caselog.Tx, n caselog.Number, metric *bool) ([]talk.Picture, error) {
	head, err := t.Case(n)
	if err != nil {
		return nil, err
	}
	if metric == nil {
		who, err := t.Person(head.OpenedBy)
		if err != nil {
			return nil, err
		}
		metric = who.Metric
	}
	entries, err := t.Said(n)
	if err != nil {
		return nil, err
	}
	story, err := Recall(head, entries, metric)
	if err != nil {
		return nil, err
	}
	if story, err = story.Tell(p.Helper()); err != nil {
		return nil, err
	}
	var all []talk.Picture
	for _, draw := range []func(Story) (talk.Picture, *Picture, error){p.cycleToSend, p.trendToSend} {
		one, drawn, err := draw(story)
		if err != nil || drawn == nil {
			continue // the other one may do, and words say that there is none
		}
		one.PNG = func() ([]byte, error) {
			var b bytes.Buffer
			err := drawn.PNG(&b)
			return b.Bytes(), err
		}
		if one.Address, err = p.addressOf(t, n, one.Name, metric); err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	return all, nil
}

// richCycle is from how many temperatures on, beside both pressures, a diagram shows
// a side of the cycle.
const richCycle = 2

func (p *Pages) cycleToSend(s Story) (talk.Picture, *Picture, error) {
	c, ok := s.Cycle()
	if !ok {
		return talk.Picture{}, nil, nil
	}
	temps := 0
	for _, st := range c.states() {
		if st != nil {
			temps++
		}
	}
	drawn, err := c.Draw()
	return talk.Picture{Name: "cycle", Words: s.cycleText(c), Visit: c.Visit, Rich: c.Suction > 0 && c.Head > 0 && temps >= richCycle}, drawn, err
}

// richTrend is from how many visits on a line is a course.
const richTrend = 3

func (p *Pages) trendToSend(s Story) (talk.Picture, *Picture, error) {
	strips := s.Trends(p.Zone)
	if len(strips) == 0 {
		return talk.Picture{}, nil, nil
	}
	most := 0
	for _, strip := range strips {
		for _, l := range strip.Lines {
			most = max(most, len(l.Values))
		}
	}
	words, _ := s.trendText()
	drawn, err := DrawTrends(strips)
	return talk.Picture{Name: "trend", Words: words, Visit: s.Record.Visit, Rich: most >= richTrend}, drawn, err
}

// addressOf is where anybody who was sent a picture can fetch it, until the link ends
// or is revoked; "" when nobody outside reaches us.
func (p *Pages) addressOf(t caselog.Tx, n caselog.Number, name string, metric *bool) (string, error) {
	if p.Public == "" {
		return "", nil
	}
	path, err := p.LinkFor(t, n)
	if err != nil {
		return "", err
	}
	at := p.Public + path + "/" + name + ".png"
	if metric != nil {
		at += "?units=" + map[bool]string{true: "metric", false: "us"}[*metric]
	}
	return at, nil
}
