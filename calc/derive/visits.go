package derive

import (
	"math"
	"time"

	"coldcase/refdata/followup"
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

// History is the last value of each visit: readings as typed, numbers as computed.
func History(rec Record, numbers []Number, b followup.Band) []Point {
	var all []Point
	put := func(p Point) {
		if n := len(all); n > 0 && all[n-1].Visit == p.Visit {
			all[n-1] = p
			return
		}
		all = append(all, p)
	}
	for _, o := range rec.Observations {
		if string(o.Key) == b.Number && whileRunning(o) {
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

// whileRunning: insulation is measured on a machine at rest, everything else while it runs.
func whileRunning(o Observation) bool {
	return !o.Settling && (o.State == vocab.Running || o.State == "" || o.Key == vocab.InsulationMegohms)
}

func visitTimes(rec Record) map[int]time.Time {
	at := map[int]time.Time{}
	for _, o := range rec.Observations {
		at[o.Visit] = o.At
	}
	return at
}

// Alike leaves out the visits whose ambient or box lies too far from the last one's.
// What was not measured can't tell them apart.
func Alike(points []Point, rec Record, like followup.Like) []Point {
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
