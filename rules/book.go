package rules

import (
	"sync"

	"coldcase/calc/derive"
	"coldcase/refdata/limits"
	"coldcase/refdata/vocab"
)

// book gives every name that an expression may use its place in an env, so that
// a rule is run without looking a name up. It is made once and never changed.
type book struct {
	names   []NameInfo
	places  map[string]place
	numbers int // how many places of each kind
	truths  int
	words   int

	ofNumber  map[derive.Name]pair
	ofRiser   map[derive.Name]map[derive.Load]pair // velocities have a load in their name
	ofReading map[vocab.Key]pair
	told      map[vocab.Circumstance]int
	limits    map[string]float64
}

// place is where a name stands among the values of its kind.
type place struct {
	kind kind
	at   int
	info *NameInfo
}

type kind int8

const (
	number kind = iota
	truth
	word
)

// pair is the places of one number in its trade and its SI unit; -1 for none.
type pair struct{ us, si int }

var theBook = sync.OnceValue(writeBook)

func writeBook() *book {
	b := &book{names: Names(), places: map[string]place{}, told: map[vocab.Circumstance]int{}, limits: limitValues()}
	for i := range b.names {
		n := &b.names[i]
		switch {
		case n.bare:
			b.places[n.Name] = place{truth, b.truths, n}
			b.truths++
		case n.text:
			b.places[n.Name] = place{word, b.words, n}
			b.words++
		default:
			b.places[n.Name] = place{number, b.numbers, n}
			b.numbers++
		}
	}
	for i, c := range vocab.AllCircumstances() {
		b.told[c] = i
	}
	b.pairs()
	return b
}

// pairs finds the places of computed numbers and of readings.
func (b *book) pairs() {
	b.ofNumber, b.ofReading = map[derive.Name]pair{}, map[vocab.Key]pair{}
	for n, u := range numberUnits {
		b.ofNumber[n] = b.pair(string(n), u)
	}
	b.ofRiser = map[derive.Name]map[derive.Load]pair{}
	for _, n := range []derive.Name{derive.RiserVelocity, derive.SuctionVelocity} {
		b.ofRiser[n] = map[derive.Load]pair{}
		for _, l := range []derive.Load{derive.FullLoad, derive.MinLoad} {
			b.ofRiser[n][l] = b.pair(string(n)+"_"+string(l), [2]string{"fpm", "m_s"})
		}
	}
	for _, d := range vocab.Definitions() {
		b.ofReading[d.Key] = b.pair(string(d.Key), suffixes[d.Quantity])
	}
}

func (b *book) pair(name string, units [2]string) pair {
	return pair{b.numberAt(suffixed(name, units[0])), b.numberAt(suffixed(name, units[1]))}
}

// numberAt is the place of a number by its full name, -1 when there is none.
func (b *book) numberAt(name string) int {
	if p, ok := b.places[name]; ok && p.kind == number {
		return p.at
	}
	return -1
}

func limitValues() map[string]float64 {
	out := map[string]float64{}
	all, err := limits.All()
	if err != nil {
		return out // a test holds that the embedded file reads
	}
	for name, l := range all {
		out[name] = l.Value
	}
	return out
}
