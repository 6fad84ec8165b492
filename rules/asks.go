package rules

import (
	"math"
	"slices"

	"coldcase/refdata/phrases"
	"coldcase/refdata/vocab"
)

// asks puts doubts first, then what the rules want to know and don't.
func (j *judge) asks() {
	for _, d := range j.res.Doubts {
		if d.Fact != "" {
			j.ask(string(d.Fact), d.Why)
		} else {
			j.ask(string(d.Key), d.Why)
		}
	}
	for _, m := range j.res.Missing {
		if m.Fact != "" {
			j.ask(string(m.Fact), m.Why)
		}
	}
	if j.out.Standing == healthy {
		return // nothing more is wanted of a system in order
	}
	first := len(j.out.Asks)
	for _, a := range j.set.asks {
		if !(a.When.empty() || a.When.truth(j.e) == True) || len(a.Stand) > 0 && !j.stands(a.Stand) {
			continue
		}
		for _, key := range a.Keys {
			if !j.isKnown(key.Value) {
				j.ask(key.Value, j.whyAsk(key.Value))
			}
		}
	}
	j.mostTelling(j.out.Asks[first:])
}

// clearly is how much more a thing must be worth to be asked for ahead of what the
// trade asks for first.
const clearly = 1.3

// mostTelling moves ahead what is expected to tell clearly more, for the time and
// the danger of it. The refrigerant, without which no pressure means a thing, stays.
func (j *judge) mostTelling(asks []Ask) {
	worth := make([]float64, len(asks))
	for i, a := range asks {
		worth[i] = j.worth(a.Key, a.Key)
		if a.Key == string(vocab.Refrigerant) {
			worth[i] = math.Inf(1)
		}
		for k := i; k > 0 && worth[k] > clearly*worth[k-1]; k-- {
			asks[k], asks[k-1] = asks[k-1], asks[k]
			worth[k], worth[k-1] = worth[k-1], worth[k]
		}
	}
}

func (j *judge) ask(key, why string) {
	if !slices.ContainsFunc(j.out.Asks, func(a Ask) bool { return a.Key == key }) {
		j.out.Asks = append(j.out.Asks, Ask{Key: key, Why: why})
	}
}

func (j *judge) whyAsk(key string) string {
	for _, m := range j.res.Missing {
		if slices.Contains(m.Keys, vocab.Key(key)) {
			return m.Why
		}
	}
	return phrases.Ask(key)
}

// isKnown reports whether a key was read, stated or seen; a stated superheat
// stands for its line.
func (j *judge) isKnown(key string) bool {
	for _, o := range j.rec.Observations {
		if string(o.Key) == key || o.Key == vocab.Superheat && (key == string(vocab.EvapOutletTemp) || key == string(vocab.SuctionLineTemp)) || o.Key == vocab.Subcooling && key == string(vocab.LiquidLineTemp) {
			return true
		}
	}
	if _, ok := j.rec.Facts[vocab.Fact(key)]; ok {
		return true
	}
	return j.e.truth(key) != Unknown
}
