package watch

import (
	"fmt"
	"math"
	"slices"
	"time"

	"coldcase/calc/derive"
	"coldcase/refdata/followup"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// Point is one number at one visit.
type Point struct {
	Visit     int
	At        time.Time
	Value     float64 // in the unit of its band
	PlusMinus float64 // what the instruments leave
}

// Trend is a number that moved in one direction over the visits.
type Trend struct {
	Band   followup.Band
	Points []Point // the visits at like conditions, in order; two or more
	PerDay float64 // slope, least squares
	Limit  string  // that it runs towards; "" when none is ahead
	Days   float64 // from the last visit to that limit at this slope
}

// Change from the first visit to the last.
func (t Trend) Change() float64 { return t.Points[len(t.Points)-1].Value - t.Points[0].Value }

// Creeping lists what creeps the wrong way on a case, in the order of the setting.
func Creeping(rec derive.Record, numbers []derive.Number, s followup.Setting) []Trend {
	var all []Trend
	for _, b := range s.Creep {
		if t, ok := trendOf(alike(History(rec, numbers, b), rec, s.Like), b); ok {
			all = append(all, t)
		}
	}
	return all
}

// trendOf: every step goes the same way, and the whole move is more than the band
// and more than the instruments leave.
func trendOf(points []Point, b followup.Band) (Trend, bool) {
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
	most := b.Rise
	if change < 0 {
		most = b.Fall
	}
	if b.Share {
		most *= first.Value / 100
	}
	unsure := math.Hypot(first.PlusMinus, last.PlusMinus)
	if most <= 0 || math.Abs(change) < most || math.Abs(change) <= unsure {
		return Trend{}, false
	}
	t.PerDay = slope(points)
	t.runsTo(last.Value)
	return t, true
}

// slope by least squares, per day.
func slope(points []Point) float64 {
	var days, values float64
	day := func(p Point) float64 { return p.At.Sub(points[0].At).Hours() / 24 }
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
func (t Trend) Say() string {
	first, last := t.Points[0], t.Points[len(t.Points)-1]
	way := "up"
	if t.Change() < 0 {
		way = "down"
	}
	unit := map[string]string{"dF": "F", "Mohm": "megohm"}[t.Band.Unit]
	if unit == "" {
		unit = t.Band.Unit
	}
	text := fmt.Sprintf("%s creeps %s: %.1f to %.1f %s over %d visits, %.2g %s a day",
		t.Band.Words, way, first.Value, last.Value, unit, len(t.Points), math.Abs(t.PerDay), unit)
	if t.Limit != "" && t.Days < longRun {
		text += fmt.Sprintf("; at that pace it is at %.4g %s in %.0f days", limits.Value(t.Limit), unit, t.Days)
	}
	return text + "."
}

// History is the last value of each visit: readings as typed, numbers as computed.
func History(rec derive.Record, numbers []derive.Number, b followup.Band) []Point {
	var all []Point
	put := func(p Point) {
		if n := len(all); n > 0 && all[n-1].Visit == p.Visit {
			all[n-1] = p
			return
		}
		all = append(all, p)
	}
	for _, o := range rec.Observations {
		if string(o.Key) == b.Number && running(o) {
			if v, ok := inUnit(o.Value, o.Unit, b.Unit); ok {
				put(Point{Visit: o.Visit, At: o.At, Value: v})
			}
		}
	}
	at := visitTimes(rec)
	for _, n := range numbers {
		if string(n.Name) != b.Number || n.Settling {
			continue
		}
		if v, ok := inUnit(n.Value, n.Unit, b.Unit); ok {
			unsure, _ := inUnit(n.PlusMinus, n.Unit, b.Unit) // same unit as the value
			put(Point{Visit: n.Visit, At: at[n.Visit], Value: v, PlusMinus: unsure})
		}
	}
	return all
}

// running: insulation is measured on a machine at rest, everything else while it runs.
func running(o derive.Observation) bool {
	return !o.Settling && (o.State == vocab.Running || o.State == "" || o.Key == vocab.InsulationMegohms)
}

func visitTimes(rec derive.Record) map[int]time.Time {
	at := map[int]time.Time{}
	for _, o := range rec.Observations {
		at[o.Visit] = o.At
	}
	return at
}

// alike leaves out the visits whose ambient or box lies too far from the last one's.
// What was not measured can't tell them apart.
func alike(points []Point, rec derive.Record, like followup.Like) []Point {
	if len(points) == 0 {
		return nil
	}
	known := map[vocab.Key]map[int]float64{vocab.AmbientTemp: {}, vocab.BoxTemp: {}}
	for _, o := range rec.Observations {
		if by := known[o.Key]; by != nil {
			if v, ok := inUnit(o.Value, o.Unit, string(units.CodeF)); ok {
				by[o.Visit] = v
			}
		}
	}
	last := points[len(points)-1].Visit
	var kept []Point
	for _, p := range points {
		if near(known[vocab.AmbientTemp], p.Visit, last, like.Ambient) && near(known[vocab.BoxTemp], p.Visit, last, like.Box) {
			kept = append(kept, p)
		}
	}
	return kept
}

func near(by map[int]float64, a, b int, most float64) bool {
	x, okX := by[a]
	y, okY := by[b]
	return !okX || !okY || math.Abs(x-y) <= most
}

// inUnit tells a value in the unit of a band.
func inUnit(v float64, from units.Code, to string) (float64, bool) {
	switch {
	case string(from) == to:
		return v, true
	case from == units.CodeC && to == string(units.CodeF):
		return units.Celsius(v).F(), true
	case from == units.CodeDegreesC && to == string(units.CodeDegreesF):
		return units.DegreesC(v).DegreesF(), true
	case from == units.CodeBar && to == string(units.CodePSI):
		return units.Bar(v).PSI(), true
	case from == units.CodeKPa && to == string(units.CodePSI):
		return units.KPa(v).PSI(), true
	}
	return 0, false
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
