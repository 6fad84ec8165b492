// Package watch looks after a machine once it runs again: which follow-up visits
// are due, who is told, and what creeps from visit to visit.
package watch

import (
	"fmt"
	"slices"
	"time"
	_ "time/tzdata" // a small machine may have no time zones of its own

	"coldcase/bot/caselog"
	"coldcase/refdata/followup"
)

// Act is what is to be done about a visit.
type Act string

// The acts.
const (
	Remind Act = "remind"  // the person, once
	Tell   Act = "overdue" // the team channel, once
)

// Due lists what is to be done about one visit now. zone is used when the visit
// has none of its own.
func Due(v caselog.Visit, now time.Time, zone string, s followup.Setting) ([]Act, error) {
	if !v.Done.IsZero() || now.Before(v.Due) {
		return nil, nil
	}
	place, err := clock(v, zone)
	if err != nil {
		return nil, err
	}
	if !s.Hours.Hold(now.In(place)) {
		return nil, nil
	}
	var acts []Act
	if v.Reminded.IsZero() {
		acts = append(acts, Remind)
	}
	if v.Overdue.IsZero() && !now.Before(v.Due.Add(s.Overdue)) {
		acts = append(acts, Tell)
	}
	return acts, nil
}

// clock is where the clock of a visit stands: its own zone, else the one given.
func clock(v caselog.Visit, zone string) (*time.Location, error) {
	if v.Zone != "" {
		zone = v.Zone
	}
	place, err := time.LoadLocation(zone)
	if err != nil {
		return nil, fmt.Errorf("visit %d of case %s: time zone %q: %w", v.Visit, v.Case, zone, err)
	}
	return place, nil
}

// Fulfilled finds the visit that readings taken at that time belong to: the
// earliest open one whose window has opened, half way from the visit before it.
// start is when the watch began. false: none.
func Fulfilled(visits []caselog.Visit, start, at time.Time) (caselog.Visit, bool) {
	before := start
	inOrder := func(a, b caselog.Visit) int { return a.Due.Compare(b.Due) } // an extra visit is numbered last
	for _, v := range slices.SortedStableFunc(slices.Values(visits), inOrder) {
		opens := before.Add(v.Due.Sub(before) / 2)
		before = v.Due
		if v.Done.IsZero() && !at.Before(opens) {
			return v, true
		}
	}
	return caselog.Visit{}, false
}
