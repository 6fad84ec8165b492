package rules

import (
	"math"

	"coldcase/calc/derive"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// env is a case as expressions see it: plain numbers in both units, yes-or-no
// names and words, each at its place in the book. What is not known is NaN,
// Unknown or empty.
type env struct {
	book    *book
	numbers []float64
	truths  []Truth
	words   []string
	told    []bool

	within []float64 // half width that the instruments leave, by the place of a number
	last   []int     // which of the computed numbers stands at a place, from 1; 0 for none
}

// newEnv lays a case out for the expressions.
func newEnv(rec derive.Record, res derive.Result) *env {
	e := blank()
	e.computed(res)
	e.readings(rec, res)
	for k, v := range rec.Facts {
		e.fact(string(k), v)
	}
	for f, seen := range rec.Findings {
		e.setTruth(string(f), seen)
	}
	for c, told := range rec.Circumstances {
		if at, ok := e.book.told[c]; ok {
			e.told[at] = told
		}
	}
	if m, ok := e.number("insulation_megohms_Mohm"); ok && m < e.book.limits["insulation_grounded_Mohm"] {
		e.setTruth(string(vocab.Grounded), true)
	}
	e.worked(rec, res)
	e.creep(rec, res)
	return e
}

// blank is an env that knows nothing.
func blank() *env {
	b := theBook()
	floats := make([]float64, 2*b.numbers)
	e := &env{book: b, numbers: floats[:b.numbers], within: floats[b.numbers:], truths: make([]Truth, b.truths), words: make([]string, b.words), told: make([]bool, len(b.told)), last: make([]int, b.numbers)}
	for i := range e.numbers {
		e.numbers[i] = math.NaN()
	}
	for i := range e.truths {
		e.truths[i] = Unknown
	}
	return e
}

// knows tells whether there is something at a place.
func (e *env) knows(p place) bool {
	switch p.kind {
	case number:
		return !math.IsNaN(e.numbers[p.at])
	case truth:
		return e.truths[p.at] != Unknown
	}
	return e.words[p.at] != ""
}

// set writes a number by its name.
func (e *env) set(name string, v float64) { e.write(e.book.numberAt(name), v) }

func (e *env) write(at int, v float64) {
	if at >= 0 && units.Finite(v) {
		e.numbers[at] = v
	}
}

func (e *env) number(name string) (float64, bool) {
	at := e.book.numberAt(name)
	if at < 0 || math.IsNaN(e.numbers[at]) {
		return 0, false
	}
	return e.numbers[at], true
}

func (e *env) setTruth(name string, yes bool) {
	if p, ok := e.book.places[name]; ok && p.kind == truth {
		e.truths[p.at] = truthOf(yes)
	}
}

// truth of a finding, a fact that is yes or no, or how the case stands.
func (e *env) truth(name string) Truth {
	if p, ok := e.book.places[name]; ok && p.kind == truth {
		return e.truths[p.at]
	}
	return Unknown
}

func (e *env) fact(name, value string) {
	p, ok := e.book.places[name]
	switch {
	case !ok:
	case p.kind == word:
		e.words[p.at] = value
	case p.kind == truth && value != "":
		e.truths[p.at] = truthOf(value == vocab.Yes)
	}
}

// computed takes the last value of each name that is not of a settling machine.
func (e *env) computed(res derive.Result) {
	for i, n := range res.Numbers {
		if !n.Settling {
			e.put(n, i+1)
		}
	}
}

// put writes a number in both its units, with what the instruments leave of it.
func (e *env) put(n derive.Number, ordinal int) {
	at, known := e.book.ofNumber[n.Name]
	if loads, ok := e.book.ofRiser[n.Name]; ok {
		at, known = loads[n.Load]
	}
	if !known {
		return
	}
	us, si := bothUnits(n.Value, n.Unit)
	usEnd, siEnd := bothUnits(n.Value+n.PlusMinus, n.Unit)
	e.putAt(at.us, us, usEnd-us, ordinal)
	e.putAt(at.si, si, siEnd-si, ordinal)
}

func (e *env) putAt(at int, v, wide float64, ordinal int) {
	if at >= 0 && units.Finite(v) {
		e.numbers[at], e.within[at], e.last[at] = v, wide, ordinal
	}
}

// readings takes the last value of each key; the low side at rest has a name of
// its own, so that nothing pairs it with a running machine.
func (e *env) readings(rec derive.Record, res derive.Result) {
	for i := range rec.Observations {
		if o := &rec.Observations[i]; !o.Settling && !doubted(res, o.Key) {
			e.reading(o)
		}
	}
}

func doubted(res derive.Result, k vocab.Key) bool {
	for _, d := range res.Doubts {
		if d.Key == k {
			return true
		}
	}
	return false
}

func (e *env) reading(o *derive.Observation) {
	def, ok := vocab.Define(o.Key)
	if !ok {
		return
	}
	if o.Unit == units.CodePercent {
		e.set(string(o.Key)+"_pct", o.Value)
		return
	}
	si, err := vocab.SI(o.Reading, units.Pascal(101325))
	if err != nil {
		return
	}
	if o.Key == vocab.SuctionPressure && o.State == vocab.Standing {
		e.set("rest_suction_pressure_psig", units.Gauge(si).PSIG())
		return
	}
	us, metric := readingUnits(def.Quantity, si)
	at := e.book.ofReading[o.Key]
	e.write(at.us, us)
	e.write(at.si, metric)
}
