package answer

import (
	"fmt"
	"maps"
	"slices"

	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// asked is a question on its way to an answer.
type asked struct {
	q      Ask
	r      Result
	air    units.Pressure
	fluid  *props.Fluid // nil when no refrigerant is known
	metric bool
	kPa    bool // who typed kPa gets it back; other metric gauges are in bar
}

func newAsked(q Ask) *asked {
	a := &asked{q: q, r: Result{About: q.About}}
	if a.q.Values = maps.Clone(q.Values); a.q.Values == nil {
		a.q.Values = map[vocab.Key]vocab.Reading{}
	}
	a.metric, a.kPa = a.speaksMetric(), a.speaksKPa()
	z := units.Feet(0)
	if r, ok := q.Values[vocab.Altitude]; ok {
		si, err := vocab.SI(r, 0)
		if a.fail(err) {
			return a
		}
		z = units.Length(si)
	}
	var err error
	if a.air, err = cycle.Air(z); a.fail(err) {
		return a
	}
	if q.Refrigerant != "" {
		a.fluid, err = props.Lookup(q.Refrigerant)
		a.fail(err)
	}
	return a
}

// speaksMetric: the units that were typed tell, most of them; one kW among feet and F
// makes nobody metric.
func (a *asked) speaksMetric() bool {
	if a.q.Metric != nil {
		return *a.q.Metric
	}
	metric, us := 0, 0
	for _, r := range a.q.Values {
		switch {
		case r.Unit.Metric():
			metric++
		case !r.Assumed && !r.Unit.Shared():
			us++
		}
	}
	return metric > us
}

func (a *asked) speaksKPa() bool {
	for _, r := range a.q.Values {
		if r.Unit == units.CodeKPa {
			return true
		}
	}
	return false
}

// fail keeps the first error; nothing is computed past it.
func (a *asked) fail(err error) bool {
	if err != nil && a.r.Err == nil {
		a.r.Err = err
	}
	return err != nil
}

func (a *asked) has(keys ...vocab.Key) bool {
	return !slices.ContainsFunc(keys, func(k vocab.Key) bool { _, ok := a.q.Values[k]; return !ok })
}

// si of a reading that is there; a unit that does not fit is kept as the error.
func (a *asked) si(k vocab.Key) float64 {
	v, err := vocab.SI(a.q.Values[k], a.air)
	a.fail(err)
	return v
}

func (a *asked) temp(k vocab.Key) units.Temperature { return units.Temperature(a.si(k)) }
func (a *asked) pressure(k vocab.Key) units.Pressure {
	return units.Gauge(a.si(k)).Abs(a.air)
}

// need asks for what is not there and reports whether all is.
func (a *asked) need(keys ...vocab.Key) bool {
	for _, k := range keys {
		if !a.has(k) {
			a.miss(k)
		}
	}
	return len(a.r.Missing) == 0
}

func (a *asked) needFluid() bool {
	if a.fluid == nil {
		a.r.Missing = append(a.r.Missing, Missing{Fact: vocab.Refrigerant, Why: "which refrigerant"})
	}
	return a.fluid != nil
}

func (a *asked) miss(k vocab.Key) {
	why := string(k)
	if d, ok := vocab.Define(k); ok {
		why = d.What
	}
	a.r.Missing = append(a.r.Missing, Missing{Key: k, Why: why})
}

// assume takes the house's figure for what was not said, and says so.
func (a *asked) assume(what string) { a.r.Assumed = append(a.r.Assumed, what) }

func (a *asked) assumedTemp(what, limit string) units.Temperature {
	t := units.Fahrenheit(limits.Value(limit))
	a.assume(what + " taken as " + a.sayTemp(t))
	return t
}

// tube of a size that was typed.
func (a *asked) tube(k vocab.Key) (tube.Tube, bool) {
	t, err := tube.ACR(units.Length(a.si(k)))
	return t, !a.fail(err)
}

// line adds one line of trade words.
func (a *asked) line(format string, args ...any) {
	a.r.Lines = append(a.r.Lines, fmt.Sprintf(format, args...))
}

func (a *asked) judge(v limits.Verdict) { a.r.Verdict = limits.Worst(a.r.Verdict, v) }
