package watch

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"coldcase/calc/derive"
	"coldcase/refdata/followup"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// Trend is a number that moved in one direction over the visits.
type Trend struct {
	Band   followup.Band
	Points []derive.Point // the visits at like conditions, in order; two or more
	PerDay float64        // slope, least squares; 0 when the visits lie too close together to tell
	Limit  string         // that it runs towards; "" when none is ahead
	Days   float64        // from the last visit to that limit at this slope
}

// Change from the first visit to the last.
func (t Trend) Change() float64 { return t.Points[len(t.Points)-1].Value - t.Points[0].Value }

// Creeping lists what creeps the wrong way on a case, in the order of the setting.
func Creeping(rec derive.Record, numbers []derive.Number, s followup.Setting) []Trend {
	var all []Trend
	for _, b := range s.Creep {
		if t, ok := trendOf(derive.Alike(derive.History(rec, numbers, b), rec, s.Like), b, s.Pace); ok {
			all = append(all, t)
		}
	}
	return all
}

// trendOf: every step goes the same way, and the whole move is more than the band
// and more than the instruments leave.
func trendOf(points []derive.Point, b followup.Band, pace time.Duration) (Trend, bool) {
	if len(points) < 2 {
		return Trend{}, false
	}
	t := Trend{Band: b, Points: points}
	change, first, last := t.Change(), points[0], points[len(points)-1]
	for i := 1; i < len(points); i++ {
		if step := points[i].Value - points[i-1].Value; step*change < 0 {
			return Trend{}, false
		}
	}
	most, bad := b.Most(change < 0)
	if b.Share {
		most *= first.Value / 100
	}
	unsure := math.Hypot(first.PlusMinus, last.PlusMinus)
	if !bad || most <= 0 || math.Abs(change) < most || math.Abs(change) <= unsure {
		return Trend{}, false
	}
	if last.At.Sub(first.At) >= pace {
		t.PerDay = slope(points)
		t.runsTo(last.Value)
	}
	return t, true
}

// slope by least squares, per day.
func slope(points []derive.Point) float64 {
	var days, values float64
	day := func(p derive.Point) float64 { return p.At.Sub(points[0].At).Hours() / 24 }
	for _, p := range points {
		days, values = days+day(p)/float64(len(points)), values+p.Value/float64(len(points))
	}
	var over, under float64
	for _, p := range points {
		over += (day(p) - days) * (p.Value - values)
		under += (day(p) - days) * (day(p) - days)
	}
	if under == 0 {
		return 0
	}
	return over / under
}

func (t *Trend) runsTo(now float64) {
	name := t.Band.RisesTo
	if t.PerDay < 0 {
		name = t.Band.FallsTo
	}
	if name == "" || t.PerDay == 0 {
		return
	}
	if days := (limits.Value(name) - now) / t.PerDay; days >= 0 {
		t.Limit, t.Days = name, days
	}
}

const longRun = 365 // days: farther away nobody plans for

// Say is the plain statement: what, how far, how fast, and when it meets its limit.
func (t Trend) Say(metric bool) string {
	first, last := t.Points[0], t.Points[len(t.Points)-1]
	way := "up"
	if t.Change() < 0 {
		way = "down"
	}
	in := func(v float64) float64 { v, _ = InUnits(v, units.Code(t.Band.Unit), metric); return v }
	_, code := InUnits(0, units.Code(t.Band.Unit), metric)
	unit := word(code)
	text := fmt.Sprintf("%s creeps %s: %.1f to %.1f %s over %d visits", t.Band.Words, way, in(first.Value), in(last.Value), unit, len(t.Points))
	if t.PerDay != 0 {
		pace := in(first.Value+t.PerDay) - in(first.Value) // a difference, also of temperatures
		text += fmt.Sprintf(", %.2g %s a day", math.Abs(pace), strings.Replace(unit, "°C", "K", 1))
	}
	if t.Limit != "" && t.Days < longRun {
		text += fmt.Sprintf("; at that pace it is at %.4g %s in %.0f days", in(limits.Value(t.Limit)), unit, t.Days)
	}
	return text + "."
}

// InUnits tells a value of the setting's units in the reader's.
func InUnits(v float64, unit units.Code, metric bool) (float64, units.Code) {
	switch {
	case !metric:
		return v, unit
	case unit == units.CodeDegreesF:
		return units.DegreesF(v).DegreesC(), units.CodeDegreesC
	case unit == units.CodeF:
		return units.Fahrenheit(v).C(), units.CodeC
	case unit == units.CodePSI:
		return units.PSI(v).KPa(), units.CodeKPa
	}
	return v, unit
}

// word is a unit as people write it.
func word(unit units.Code) string {
	switch unit {
	case units.CodeF, units.CodeDegreesF:
		return "°F"
	case units.CodeC:
		return "°C"
	case units.CodeDegreesC:
		return "K"
	case units.CodeMegohm:
		return "megohm"
	}
	return string(unit)
}

// Since keeps what was read from the visit on in which the watch began: what the
// sick machine showed is no base line.
func Since(rec derive.Record, numbers []derive.Number, start time.Time) (derive.Record, []derive.Number) {
	from := 1
	for _, o := range rec.Observations {
		if !o.At.After(start) {
			from = o.Visit
		}
	}
	rec.Observations = slices.DeleteFunc(slices.Clone(rec.Observations), func(o derive.Observation) bool { return o.Visit < from })
	numbers = slices.DeleteFunc(slices.Clone(numbers), func(n derive.Number) bool { return n.Visit < from })
	return rec, numbers
}
