package talk

import (
	"fmt"
	"slices"

	"coldcase/calc/derive"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// told is the order in which numbers are said; those after the gap only when more
// is asked for.
var told = []derive.Name{
	derive.SatSuctionTemp, derive.TotalSuperheat, derive.EvapSuperheat, derive.Subcooling, derive.CompressionRatio, derive.DischargeSuperheat,
	derive.CondensingSplit, derive.RiserVelocity, derive.FlashMargin, derive.SumpSuperheat,
	derive.PumpdownLeakRate, derive.VoltageUnbalance, derive.CurrentUnbalance, derive.ResistanceUnbalance, derive.HoldingTestChange,
	derive.VacuumRise, derive.AccumulatorNeeded, derive.LeakRate, derive.EvapTD,

	derive.RiserMinCapacity, derive.SatDischargeTemp, derive.SatLiquidTemp, derive.ExpectedDischargeTemp, derive.LiquidStaticLoss,
	derive.MassFlow, derive.SuctionVelocity, derive.RiserPressureDrop,
}

var minorFrom = slices.Index(told, derive.RiserMinCapacity)

// worth is the value of a number under a load in a visit.
type worth struct {
	name  derive.Name
	load  derive.Load
	visit int
}

// worths are the last values of the numbers.
func worths(res derive.Result) map[worth]float64 {
	out := map[worth]float64{}
	for _, n := range res.Numbers {
		out[worth{n.Name, n.Load, n.Visit}] = n.Value
	}
	return out
}

// numberLines are the last values of the visit that is going on, those under the
// findings first. One that was said before and has not changed waits for "more",
// unless a finding rests on it: that the machine is healthy rests on all of them.
func numberLines(v view, before map[worth]float64) []Number {
	last := map[derive.Name]map[derive.Load]derive.Number{}
	for _, n := range v.res.Numbers {
		if n.Visit != v.rec.Visit {
			continue
		}
		if last[n.Name] == nil {
			last[n.Name] = map[derive.Load]derive.Number{}
		}
		last[n.Name][n.Load] = n
	}
	under := map[derive.Name]bool{}
	for _, w := range v.j.Verdicts {
		for _, n := range w.Numbers {
			under[n.Name] = true
		}
	}
	var out []Number
	for i, name := range told {
		for _, load := range []derive.Load{"", derive.FullLoad, derive.MinLoad} {
			if n, ok := last[name][load]; ok {
				was, said := before[worth{n.Name, n.Load, n.Visit}]
				known := said && was == n.Value && !under[name] && v.j.Standing != "healthy"
				out = append(out, Number{Label: numberLabel(n), Value: n.Value, Unit: n.Unit, PlusMinus: n.PlusMinus, Note: n.Note, Beside: riserWords(n, last, v.rec), Minor: i >= minorFrom && !under[name], Known: known, Under: under[name]})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Number) int {
		switch {
		case a.Under == b.Under:
			return 0
		case a.Under:
			return -1
		}
		return 1
	})
	return out
}

func numberLabel(n derive.Number) string {
	s := label(string(n.Name))
	if n.State == vocab.Standing && n.Name == derive.SatSuctionTemp {
		s += " at rest"
	}
	switch n.Load {
	case derive.FullLoad:
		if n.Name == derive.RiserVelocity {
			return s + " at full load"
		}
	case derive.MinLoad:
		return s + " at lowest load"
	}
	return s
}

// riserWords holds a riser's gas speed against the speed that lifts the oil: both
// go with the load.
func riserWords(n derive.Number, last map[derive.Name]map[derive.Load]derive.Number, rec derive.Record) string {
	least, ok := last[derive.RiserMinCapacity][""]
	full, okFull := last[derive.RiserVelocity][derive.FullLoad]
	load, okLoad := loadOf(rec)
	if n.Name != derive.RiserVelocity || !ok || !okFull || !okLoad {
		return ""
	}
	need := units.BtuPerHour(least.Value)
	if least.Unit == units.CodeKilowatt {
		need = units.Kilowatts(least.Value)
	}
	lifts := full.Value * float64(need) / float64(load)
	verdict := "oil comes back"
	switch ratio := n.Value / lifts; {
	case ratio < 1:
		verdict = "too slow"
	case ratio < riserReserve:
		verdict = "little to spare"
	}
	return fmt.Sprintf("oil needs %s: %s", Said(lifts, n.Unit), verdict)
}

// riserReserve is the margin that the oil film's uncertainty asks for (trade-basis 2.3).
const riserReserve = 1.25

func loadOf(rec derive.Record) (units.Power, bool) {
	for _, o := range slices.Backward(rec.Observations) {
		if o.Key == vocab.Capacity {
			w, err := vocab.SI(o.Reading, 0)
			return units.Power(w), err == nil && w > 0
		}
	}
	return 0, false
}
