package intake

import (
	"math"
	"slices"

	"coldcase/refdata/limits"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// choice is what a number may be: a name and the key that it makes of it.
type choice struct {
	name   int // -1: none
	key    vocab.Key
	ask    []vocab.Key // asked about instead
	row    bool
	ignore bool
	after  bool // the name stands behind the number
	cost   float64
}

// attach gives the numbers to the names at the least cost over the message: a
// row of choices, one a number, where neighbours weigh on each other.
func (p *parse) attach() {
	p.mountains()
	p.openRow()
	p.acrossPart()
	p.gaugePairs()
	p.plainPairs()
	p.evenSides()
	p.outAndIn()
	p.lowAndHigh()
	var open []int
	for i := range p.nums {
		if q := &p.nums[i]; !q.used && !q.idle && q.row != 0 {
			open = append(open, i)
		}
	}
	if len(open) == 0 {
		return
	}
	p.weighGaps()
	options := zeroed(&p.room.options, len(open))
	all := p.room.choices[:0]
	for k, i := range open {
		from := len(all)
		all = p.choices(i, all)
		options[k] = all[from:]
	}
	p.room.choices = all
	p.settle(open, p.cheapest(open, options))
}

// cell is the least cost of a choice and of those before it, and which one that was.
type cell struct {
	cost float64
	from int
}

// cheapest is the best row of choices (dynamic programming over neighbours).
func (p *parse) cheapest(open []int, options [][]choice) []choice {
	cells, table := zeroed(&p.room.cells, len(p.room.choices)), zeroed(&p.room.table, len(open))
	for k := range open {
		table[k], cells = cells[:len(options[k])], cells[len(options[k]):]
		for c := range options[k] {
			best := cell{options[k][c].cost, -1}
			if k > 0 {
				best.cost = math.Inf(1)
				for b := range options[k-1] {
					cost := table[k-1][b].cost + options[k][c].cost + p.friction(open[k-1], open[k], &options[k-1][b], &options[k][c])
					if cost < best.cost {
						best = cell{cost, b}
					}
				}
			}
			table[k][c] = best
		}
	}
	last := len(open) - 1
	at := 0
	for c := range table[last] {
		if table[last][c].cost < table[last][at].cost {
			at = c
		}
	}
	chosen := make([]choice, len(open))
	for k := last; k >= 0; k-- {
		chosen[k] = options[k][at]
		at = table[k][at].from
	}
	return chosen
}

// friction is what two neighbouring choices cost each other.
func (p *parse) friction(i, j int, a, b *choice) float64 {
	if a.name < 0 || b.name < 0 {
		return 0
	}
	cost := 0.0
	if a.name == b.name {
		if (a.key == b.key || p.names[a.name].leg != "") && !p.correctedBetween(i, j) {
			return math.Inf(1)
		}
		cost += p.r.words.Weights.Shared
		if a.after && !b.after && !p.nums[i].frac {
			cost += p.r.words.Weights.BothSides // "sump 20F suct 16": the 20 F is not the suction's
		}
	}
	if b.name < a.name && !a.ignore {
		cost += p.r.words.Weights.Crossing
	}
	if a.after != b.after && p.chunk[p.nums[i].core] == p.chunk[p.nums[j].core] && a.name != b.name {
		cost += p.r.words.Weights.TurnsRound
	}
	return cost
}

// correctedBetween: "28 no wait 38", "28, i mean 38".
func (p *parse) correctedBetween(i, j int) bool {
	for k := p.nums[i].to; k < p.nums[j].from; k++ {
		if _, ok := p.listed("corrections", k); ok {
			return true
		}
	}
	return p.nums[i].to+1 == p.nums[j].from && p.is(p.nums[i].to, "no", "nope")
}

// choices adds the names that can be a number's, and none.
func (p *parse) choices(i int, out []choice) []choice {
	q := &p.nums[i]
	out = append(out, choice{name: -1, cost: p.r.words.Weights.Alone})
	for n := p.firstNameFrom(q.from - 2*p.r.words.Reaches.Name - longestName); n < len(p.names) && p.names[n].from <= p.lastOfRow(i)+p.r.words.Reaches.Name; n++ {
		cost, after, ok := p.distance(&p.names[n], i)
		if !ok || p.legSaid(n) || p.names[n].leg != "" && !after && p.ofTheOthers(p.names[n].to, q.from) {
			continue
		}
		if after && p.names[n].Loose && p.waitsStrongly(q.from) {
			continue // "superheat is -4 at the compressor"
		}
		c, ok := p.accepts(&p.names[n], q)
		if !ok || c.ignore && after && !p.names[n].Loose {
			continue
		}
		if after && slices.Contains(p.names[n].Or, c.key) && p.chunk[p.names[n].from] != p.chunk[q.core] {
			continue // "2100 m, LP 1.3 bar"
		}
		c.name, c.after, c.cost = n, after, c.cost+cost
		if c.key != "" && len(c.ask) == 0 && !c.row {
			c.cost += p.unusual(q, c.key)
		}
		if c.cost < p.r.words.Weights.Alone {
			out = append(out, c)
		}
	}
	return out
}

// waitsStrongly: a name that is no weak one stands right before token i, small words aside,
// and has no number of its own yet.
func (p *parse) waitsStrongly(i int) bool {
	for k := i; k > max(i-3, 0); k-- {
		if p.nameEndsAt(k) {
			n := &p.names[p.nameOf[k-1]]
			return !n.Loose && !n.Ignore && n.Ask == "" && len(n.Is) == 1 && !(n.from > 0 && p.numOf[n.from-1] >= 0)
		}
		if !p.isOne("links", k-1) {
			return false
		}
	}
	return false
}

// longestName is how many tokens a name may have, at most.
const longestName = 8

// firstNameFrom is the first name that begins at token i or later.
func (p *parse) firstNameFrom(i int) int {
	n, _ := slices.BinarySearchFunc(p.names, i, func(n name, i int) int { return n.from - i })
	return n
}

// unusual costs a value that the key seldom has.
func (p *parse) unusual(q *quantity, key vocab.Key) float64 {
	span, ok := limits.Plausible(key, p.refrigerant())
	if !ok {
		return 0
	}
	r := p.readingOf(q, key)
	if r.Unit == units.CodePercent || key == vocab.InsulationMegohms {
		return 0
	}
	v, err := inUnitOf(r, span.Unit)
	if err != nil || v < span.Low || v > span.High {
		return 2 * p.r.words.Weights.Unusual
	}
	if v < span.UnusuallyLow || v > span.UnusuallyHigh {
		return p.r.words.Weights.Unusual
	}
	return 0
}
