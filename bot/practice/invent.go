package practice

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/units"
)

// invent makes one job: a machine, three visits, and what was found.
func (b *book) invent(r *rand.Rand, at time.Time) (told, error) {
	j, sys := b.job(r), b.Systems[r.IntN(len(b.Systems))]
	site, unit := b.Sites[r.IntN(len(b.Sites))], fmt.Sprintf("%s %d", sys.Unit, 1+r.IntN(9))
	c := told{head: caselog.Case{Site: site, Unit: unit, Refrigerant: sys.Refrigerant, OpenedBy: "practice", Opened: at, LastAt: at, Cause: j.Cause}}
	for visit := range 3 {
		line, err := b.gauges(r, sys, j)
		if err != nil {
			return told{}, err
		}
		switch visit {
		case 0:
			line = fmt.Sprintf("%s %s, %s %s temp semi txv. %s", site, unit, sys.Refrigerant, sys.Application, line)
		case 2:
			line += ". " + j.tell(r)
		}
		c.texts = append(c.texts, line)
	}
	return c, nil
}

func (b *book) job(r *rand.Rand) job {
	at := r.IntN(b.shares)
	for _, j := range b.Jobs {
		if at -= j.Share; at < 0 {
			return j
		}
	}
	return b.Jobs[0]
}

// tell draws one to three of the things that a tech may find.
func (j job) tell(r *rand.Rand) string {
	order := r.Perm(len(j.Tells))
	var said []string
	for _, i := range order[:1+r.IntN(min(3, len(order)))] {
		said = append(said, j.Tells[i])
	}
	return strings.Join(said, ". ")
}

// gauges writes what the instruments show of a job on a system.
func (b *book) gauges(r *rand.Rand, sys system, j job) (string, error) {
	draw := func(what string) float64 {
		if s, ok := j.Shows[what]; ok {
			return s.draw(r)
		}
		return b.Sound[what].draw(r)
	}
	f, err := props.Lookup(sys.Refrigerant)
	if err != nil {
		return "", fmt.Errorf("invented job: %w", err)
	}
	air, err := cycle.Air(0)
	if err != nil {
		return "", fmt.Errorf("invented job: %w", err)
	}
	evaporating, ambient := units.Fahrenheit(sys.Evaporating.draw(r)), units.Fahrenheit(70+25*r.Float64())
	suction, err1 := f.DewPressure(evaporating)
	head, err2 := f.DewPressure(ambient.Add(units.DegreesF(draw("split"))))
	if err := errors.Join(err1, err2); err != nil {
		return "", fmt.Errorf("invented job: %w", err)
	}
	bubble, err := f.BubbleTemp(head)
	if err != nil {
		return "", fmt.Errorf("invented job: %w", err)
	}
	line := evaporating.Add(units.DegreesF(draw("superheat")))
	warm := evaporating.Add(units.DegreesF(max(draw("superheat"), 5)))
	band, err := cycle.DischargeBand(f, suction, warm, head)
	if err != nil {
		return "", fmt.Errorf("invented job: %w", err)
	}
	volts, amps := legs(r, 208, draw("unbalance")), legs(r, 12, draw("unbalance"))
	return fmt.Sprintf("suct %.1f line %.0f coil out %.0f head %.0f liq line %.0f disch %.0f amb %.0f box %.0f sump %.0f, volts %.0f %.0f %.0f, amps %.1f %.1f %.1f",
		suction.Gauge(air).PSIG(), line.F(), evaporating.F()+draw("coil"), head.Gauge(air).PSIG(), bubble.F()-draw("subcooling"),
		band.Typical.F()+draw("over"), ambient.F(), evaporating.F()+sys.Box, evaporating.F()+draw("sump"),
		volts[0], volts[1], volts[2], amps[0], amps[1], amps[2]), nil
}

// legs are three of a mean, one of them off by a percentage.
func legs(r *rand.Rand, mean, off float64) [3]float64 {
	var all [3]float64
	at := r.IntN(3)
	for i := range all {
		all[i] = mean * (1 + 0.5*off/100)
		if i == at {
			all[i] = mean * (1 - off/100)
		}
	}
	return all
}
