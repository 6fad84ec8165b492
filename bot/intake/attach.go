package intake

import (
	"math"
	"slices"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
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

// What speaks against giving a number to a name. Found by trying on labelled
// messages; common practice of how techs write: the name first.
const (
	reach        = 9   // tokens between a name and its number, at most
	nameBehind   = 0.6 // the name behind its number …
	nameBehindU  = 0.3 // … when the number has a unit
	smallWord    = 0.2
	otherWord    = 1.2
	commaBetween = 2.5
	andBetween   = 2
	pastNumber   = 3
	pastName     = 2.5
	pastLoose    = 0.5
	looseName    = 0.8
	unusualValue = 1.5
	turnsRound   = 0.7 // names before and behind in one part
	crossing     = 4
	leftAlone    = 7
	lengthNoun   = 0.8 // "60 ft run", "12 ft lift"
	secondBest   = 0.6 // a key that the unit makes of a name that is another's
	sharedName   = 0.5
	bothSides    = 2 // one name with a number before and behind it
)

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
	options := make([][]choice, len(open))
	for k, i := range open {
		options[k] = p.choices(i)
	}
	p.settle(open, p.cheapest(open, options))
}

// mountains reads heights that no pipe has.
func (p *parse) mountains() {
	for i := range p.nums {
		if q := &p.nums[i]; !q.used && !q.idle && q.isMountain() {
			p.put(q, vocab.Altitude)
		}
	}
}

// openRow reads "windings 1.2 1.2 open": the third is no ohms.
func (p *parse) openRow() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		if a.used || b.used || a.idle || b.idle || a.row == 3 || b.from-a.to > 1 || !p.nameEndsAt(a.from) || p.names[p.nameOf[a.from-1]].Only != lexicon.Ohms {
			continue
		}
		k := b.to
		if p.is(k, ",", "/", "and") {
			k++
		}
		if p.is(k, "ol", "open", "infinite") && a.fits(lexicon.Ohms) && b.fits(lexicon.Ohms) {
			p.put(a, vocab.OhmsAb)
			p.put(b, vocab.OhmsBc)
		}
	}
}

// gaugePairs reads 68/250 before all else.
func (p *parse) gaugePairs() {
	for i := 0; i+1 < len(p.nums); i++ {
		if p.nums[i].row != 2 || p.nums[i].used {
			continue
		}
		if p.isSupplyPair(i) {
			p.setSupply(i)
		} else if a, b, ok := p.pairIsGauges(i); ok {
			p.put(&p.nums[i], a)
			p.put(&p.nums[i+1], b)
		} else {
			p.nums[i].row, p.nums[i+1].row = 1, 1
			p.wonderPair(i)
		}
	}
}

// wonderPair asks which is which of "212 over 24", "320/180": no word tells.
func (p *parse) wonderPair(i int) {
	a, b := &p.nums[i], &p.nums[i+1]
	if a.rowBy != bySlash || a.idle || b.idle || a.unit != nil && !a.fits(lexicon.Pressure) || a.value < 1 || b.value < 1 || a.value > 1900 || max(a.value, b.value) < 60 || p.nearName(a.from, b.to) {
		return
	}
	if p.isDate(a) || p.isDate(b) || p.is(b.to, "/") || p.is(a.from-1, "/") {
		return
	}
	p.wonder(a, vocab.SuctionPressure, vocab.DischargePressure)
	p.wonder(b, vocab.SuctionPressure, vocab.DischargePressure)
}

// nearName: a reading's name stands within two tokens of from..to.
func (p *parse) nearName(from, to int) bool {
	for k := max(from-2, 0); k < min(to+2, len(p.t)); k++ {
		if p.nameOf[k] >= 0 {
			return true
		}
	}
	return false
}

// isSupplyPair: 208/230 is what a motor can be wired for, unless a gauge is named.
func (p *parse) isSupplyPair(i int) bool {
	a, b := &p.nums[i], &p.nums[i+1]
	return p.r.supply[[2]float64{a.value, b.value}] && p.saysSupply(a, b)
}

// saysSupply: volts, phases or the machine stand around the numbers.
func (p *parse) saysSupply(a, b *quantity) bool {
	if b.unit != nil {
		return b.fits(lexicon.Volts)
	}
	if p.plateIn(a) {
		return true
	}
	for k := max(a.from-supplyReach, 0); k < min(b.to+supplyReach, len(p.t)); k++ {
		if _, ok := p.listed("supply_words", k); ok && (k < a.from || k >= b.to) {
			return true
		}
	}
	return false
}

// supplyReach is how many tokens from a supply voltage the word may stand that
// tells of it.
const supplyReach = 3

// setSupply sets the two voltages aside; on a nameplate they are asked about.
func (p *parse) setSupply(i int) {
	a, b := &p.nums[i], &p.nums[i+1]
	if p.plateIn(a) {
		p.ask(string(vocab.RatedVolts), "The plate gives two. Which is it wired for?")
	}
	for _, q := range []*quantity{a, b} {
		q.idle, q.used = true, true
		p.mark(q.from, q.to, counted)
	}
	p.mark(a.from, b.to, counted)
}

// cheapest is the best row of choices (dynamic programming over neighbours).
func (p *parse) cheapest(open []int, options [][]choice) []choice {
	type cell struct {
		cost float64
		from int
	}
	table := make([][]cell, len(open))
	for k := range open {
		table[k] = make([]cell, len(options[k]))
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
		cost += sharedName
		if a.after && !b.after && !p.nums[i].frac {
			cost += bothSides // "sump 20F suct 16": the 20 F is not the suction's
		}
	}
	if b.name < a.name && !a.ignore {
		cost += crossing
	}
	if a.after != b.after && p.chunk[p.nums[i].core] == p.chunk[p.nums[j].core] && a.name != b.name {
		cost += turnsRound
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

// choices are the names that can be a number's, and none.
func (p *parse) choices(i int) []choice {
	q := &p.nums[i]
	out := make([]choice, 1, 8)
	out[0] = choice{name: -1, cost: leftAlone}
	for n := p.firstNameFrom(q.from - 2*reach - longestName); n < len(p.names) && p.names[n].from <= p.lastOfRow(i)+reach; n++ {
		cost, after, ok := p.distance(&p.names[n], i)
		if !ok {
			continue
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
		if c.cost < leftAlone {
			out = append(out, c)
		}
	}
	return out
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
		return 2 * unusualValue
	}
	if v < span.UnusuallyLow || v > span.UnusuallyHigh {
		return unusualValue
	}
	return 0
}

// distance is how far a name is from a number in words that tell them apart.
func (p *parse) distance(n *name, i int) (cost float64, after, ok bool) {
	q := &p.nums[i]
	from, to, last := n.to, q.from, p.lastOfRow(i)
	switch {
	case n.to <= q.from:
	case n.from >= last:
		from, to, after = last, n.from, true
	case n.from >= q.numTo && n.from < q.to:
		return 0, true, !p.legBefore(q.from) // the unit is the name: 14 amps
	default:
		return 0, false, false
	}
	if to-from > reach && p.wordsIn(from, to) > reach || n.Behind && !p.isBehind(n, q, after) {
		return 0, false, false
	}
	if p.sentence[n.from] != p.sentence[q.core] && !p.carriesOn(n, q) {
		return 0, false, false
	}
	if after {
		cost = nameBehind
		if q.unit != nil || q.frac {
			cost = nameBehindU
		}
		if n.Only == lexicon.Length && q.unit != nil && from == to {
			cost -= lengthNoun
		}
	}
	for k := from; k < to; k++ {
		if cost += p.between(k, n); cost > leftAlone+pastNumber {
			return 0, false, false // dearer than to leave it alone
		}
	}
	if n.Loose {
		cost += looseName
	}
	if !after && p.anyOf("corrections", from, to) {
		cost -= pastNumber // the number that is taken back is no hindrance
	}
	return cost, after, true
}

// wordsIn counts the words between two tokens that are no part of a number.
func (p *parse) wordsIn(from, to int) (n int) {
	for k := from; k < to; k++ {
		if p.t[k].Kind == lex.Word && p.numOf[k] < 0 {
			n++
		}
	}
	return n
}

// legBefore: "1-3: 233 volts": the leg is named, the volts are only the unit.
func (p *parse) legBefore(i int) bool {
	for i > 0 && p.is(i-1, ":", "=", "is", "at") {
		i--
	}
	return i > 0 && p.nameOf[i-1] >= 0 && p.names[p.nameOf[i-1]].leg != ""
}

// isBehind: "its 95 out", "104 on the roof": the name ends the clause that its
// number begins.
func (p *parse) isBehind(n *name, q *quantity, after bool) bool {
	if !after {
		return false
	}
	for k := q.to; k < n.from; k++ {
		if _, small := p.listed("small", k); !small {
			return false
		}
	}
	begins := q.from == 0 || p.chunk[q.from-1] != p.chunk[q.from] || p.is(q.from-1, "its", "it", "is", "temp", "hace")
	_, today := p.listed("today", n.to)
	return begins && (today || n.to >= len(p.t) || p.t[n.to].Kind == lex.Mark || p.is(n.to, "and", "but", "today", "right", "so"))
}

// lastOfRow is one past the last token of the row that number i begins.
func (p *parse) lastOfRow(i int) int {
	return p.nums[i+max(p.nums[i].row, 1)-1].to
}

// carriesOn lets "Head 260 yesterday. Today 228." and "Suct 28. No wait, 38."
// reach back over the full stop.
func (p *parse) carriesOn(n *name, q *quantity) bool {
	s := p.sentence[q.core]
	if n.from > q.core || p.sentence[n.from] != s-1 && p.sentence[n.from] != s-2 {
		return false
	}
	for k := n.to; k < min(q.core+farOff, len(p.t)); k++ {
		if p.sentence[k] == s && p.nameOf[k] >= 0 {
			return false
		}
	}
	if p.is(n.to, "?") && p.sentence[n.from] == s-1 {
		return true // "megohms? like 3 or 30"
	}
	for k := n.to; k <= q.core; k++ {
		if p.sentence[k] != s {
			continue
		}
		_, today := p.listed("today", k)
		_, corrected := p.listed("corrections", k)
		if today || corrected {
			return true
		}
	}
	return false
}

// between is what one token between a name and its number costs.
func (p *parse) between(k int, of *name) float64 {
	t := p.t[k]
	switch {
	case t.Kind == lex.Mark:
		switch t.Plain {
		case ",", ".", ";", "!", "(", ")", "?":
			if k > 0 && lex.EndsClause(p.t[k-1]) {
				return 0 // the second dot of three
			}
			return commaBetween
		}
		return 0.1
	case p.countedAt(k):
		return pastNumber
	case t.Kind == lex.Number || p.inNumber(k):
		return smallWord
	case t.Is("and", "y", "but", "with", "w"):
		if p.is(k+1, "it", "its") {
			return smallWord // "the riser is 12 feet and it is seven eighths"
		}
		return andBetween
	}
	if i := p.nameOf[k]; i >= 0 && &p.names[i] != of {
		switch n := &p.names[i]; {
		case n.from < k:
			return 0
		case n.Loose || n.Ignore:
			return pastLoose
		}
		return pastName
	}
	if len(p.lists[k]) == 0 {
		return otherWord
	}
	for _, list := range []string{"small", "approx_before", "corrections", "today", "earlier", "rise_words"} {
		if _, ok := p.listed(list, k); ok {
			return smallWord
		}
	}
	return otherWord
}

// inNumber: the token is part of a number or its unit.
func (p *parse) inNumber(k int) bool {
	return p.numOf[k] >= 0
}

func (p *parse) countedAt(k int) bool {
	i := p.numOf[k]
	return i >= 0 && p.nums[i].core == k && !p.nums[i].idle
}

// accepts says what a name makes of a number, and whether it can be its at all.
func (p *parse) accepts(n *name, q *quantity) (choice, bool) {
	if n.leg != "" {
		k, ok := p.legKey(n, q)
		if ok && p.mayBeVolts(n, q) {
			return choice{key: k, ask: []vocab.Key{k, vocab.VoltsAb}}, q.row == 1
		}
		return choice{key: k}, ok && q.row == 1
	}
	if n.Ignore {
		other := q.unit != nil && !q.fits(lexicon.Temp) && !q.fits(lexicon.Pressure) && !q.fits(lexicon.Amps) && !q.fits(lexicon.Volts)
		return choice{ignore: true, key: "-"}, q.row == 1 && !q.frac && !other
	}
	if q.row == 3 {
		return choice{key: n.first(), row: true}, len(n.Row) == 3 && q.fits(n.Only)
	}
	if n.either != nil && len(n.Is) > 0 && len(n.either.Is) > 0 {
		return choice{key: n.Is[0], ask: []vocab.Key{n.Is[0], n.either.Is[0]}}, q.fits(lexicon.KindOf(n.Is[0]))
	}
	if n.Plate && n.Only == "" {
		return p.plate(q)
	}
	if q.unit != nil || q.frac {
		return p.byKind(n, q)
	}
	if k, ok := lineOf[n.first()]; ok && n.to < q.from && p.isStrange(n.to) {
		return choice{key: n.first(), ask: []vocab.Key{n.first(), k}}, true // "suction lne 58"
	}
	return p.bareNumber(n, q)
}

// lineOf is the temperature of the pipe whose pressure a word names alone.
var lineOf = map[vocab.Key]vocab.Key{
	vocab.SuctionPressure: vocab.SuctionLineTemp, vocab.DischargePressure: vocab.DischargeLineTemp, vocab.LiquidPressure: vocab.LiquidLineTemp,
}

// isStrange: a word that is not known stands at token i, and may have been a part of the name.
func (p *parse) isStrange(i int) bool {
	t := &p.t[i]
	return t.Kind == lex.Word && !t.Known && p.use[i] == unused && len(t.Plain) > 1 && len(t.Plain) < 6
}

// byKind picks the name's key that the unit or the fraction fits.
func (p *parse) byKind(n *name, q *quantity) (choice, bool) {
	if n.Only != "" && !q.fits(n.Only) && (n.Only != lexicon.Heat || !q.fits(lexicon.Share)) {
		return choice{}, false
	}
	if k, ok := p.keyOfPart(n, q); ok {
		return choice{key: k}, true
	}
	if n.first() == vocab.MinCapacity && q.isShare() {
		return choice{key: vocab.MinCapacity}, n.to <= q.from
	}
	keys := append(append([]vocab.Key{}, n.Is...), n.Or...)
	fitting := keys[:0]
	for _, k := range keys {
		kind := lexicon.KindOf(k)
		if q.fits(kind) && !(q.unit == nil && kind != lexicon.Size) || k == vocab.MinCapacity && q.fits(lexicon.Share) {
			fitting = append(fitting, k)
		}
	}
	if q.fits(lexicon.Size) {
		// inches are a tube's before they are a length
		slices.SortStableFunc(fitting, func(a, b vocab.Key) int { return sizeFirst(a) - sizeFirst(b) })
	}
	switch {
	case len(fitting) == 0:
		return choice{}, false
	case n.Ask == "always" && fitting[0] == n.Is[0]:
		return choice{key: fitting[0], ask: n.Is}, true
	case len(n.Of) > 0:
		return choice{key: fitting[0], ask: fitting}, true
	case len(fitting) > 1 && fitting[0] != n.Is[0] && lexicon.KindOf(fitting[0]) == lexicon.KindOf(fitting[1]):
		return choice{key: fitting[0], ask: fitting, cost: 2 * secondBest}, true
	case len(n.Is) > 1 && len(fitting) > 1 && lexicon.KindOf(fitting[0]) == lexicon.KindOf(fitting[1]):
		return choice{key: fitting[0], ask: fitting}, true
	}
	if len(n.Is) > 0 && fitting[0] != n.Is[0] {
		return choice{key: fitting[0], cost: secondBest}, true
	}
	return choice{key: fitting[0]}, true
}

func sizeFirst(k vocab.Key) int {
	if lexicon.KindOf(k) == lexicon.Size {
		return 0
	}
	return 1
}

// bareNumber decides on a number without a unit.
func (p *parse) bareNumber(n *name, q *quantity) (choice, bool) {
	switch n.Only {
	case lexicon.Heat:
		return p.bareHeat(n, q)
	case lexicon.Mass:
		return choice{key: n.Is[0]}, p.bareMass(n, q)
	case lexicon.Volume, lexicon.Age, lexicon.Starts:
		return choice{key: n.Is[0]}, n.to > n.from+1 && n.to <= q.from && p.is(n.to-1, "hours", "volume", "size", "age")
	case lexicon.Size:
		return choice{}, false
	case lexicon.Drop:
		if n.Loose {
			return choice{}, false
		}
	case lexicon.Length:
		if n.Loose && len(n.Of) > 0 && !p.is(n.from, "lift") {
			return choice{}, false
		}
	case lexicon.Temp:
		if q.spoken && q.value < 4 && q.value > 0 {
			return choice{}, false
		}
	}
	if k, ok := p.keyOfPart(n, q); ok && lexicon.KindOf(k) != lexicon.Size {
		return choice{key: k}, true
	}
	if !n.Plate && (n.Only == lexicon.Volts || n.Only == lexicon.Amps) {
		if c, ok := p.onPlate(n, q); ok {
			return c, true
		}
	}
	if n.Ask == "always" || len(n.Is) > 1 {
		return choice{key: n.Is[0], ask: n.Is}, true
	}
	return choice{key: n.Is[0]}, true
}

// leastBtu is the smallest bare number that reads as Btu/h; a smaller one may be
// tons, MBH or kW (trade-basis 9).
const leastBtu = 1000

func (p *parse) bareHeat(n *name, q *quantity) (choice, bool) {
	if q.value >= leastBtu {
		return choice{key: n.Is[0]}, n.first() != vocab.MinCapacity || p.saysHeat()
	}
	named := p.is(n.from, "capacity") || n.to > n.from+1 && p.is(n.to-1, "capacity", "load", "step")
	return choice{key: n.Is[0], ask: n.Is}, named && q.value > 0
}

// saysHeat: loads are spoken of in the message.
func (p *parse) saysHeat() bool {
	for i := range p.nums {
		if q := &p.nums[i]; q.unit != nil && q.fits(lexicon.Heat) {
			return true
		}
	}
	return p.says("load", "capacity", "btu", "min", "minimum", "step", "lowest", "unloads", "unloaded", "smallest")
}

// bareMass: "charge is 12"; "added 4" only where no thing is counted.
func (p *parse) bareMass(n *name, q *quantity) bool {
	last := q.to >= len(p.t) || p.t[q.to].Kind == lex.Mark || p.use[q.to] == named || q.doubtful
	if n.Loose && n.from == q.to && p.is(n.from, "total") && p.says("pounds", "ounces") {
		return true // "put 5 lb in, thats 21 total"
	}
	_, said := p.listed("mass_follows", q.to)
	return n.to <= q.from && (last || said) && (p.says("pounds", "ounces") || p.is(n.to-1, "added") || p.is(n.from, "charge", "added") || p.is(n.to-1, "charge", "total") || p.is(n.to-2, "charge"))
}

// keyOfPart settles "run", "lift", "psi across it" by the part that was named
// last before the name, or first after it.
func (p *parse) keyOfPart(n *name, q *quantity) (vocab.Key, bool) {
	if len(n.Of) == 0 {
		return "", false
	}
	for k := max(n.to, q.to) - 1; k >= max(n.from-2*farOff, 0); k-- {
		if key, ok := n.Of[p.t[k].Word]; ok && p.t[k].Kind == lex.Word {
			if before, both := n.Of[p.t[max(k-1, 0)].Word]; both && k > 0 && p.is(k, "core", "cores") {
				key = before // the core of a drier
			}
			return key, q.fits(lexicon.KindOf(key))
		}
	}
	for k := n.to; k < min(n.to+farOff, len(p.t)) && p.chunk[k] == p.chunk[n.from]; k++ {
		if key, ok := n.Of[p.t[k].Word]; ok {
			return key, q.fits(lexicon.KindOf(key))
		}
	}
	if key, ok := n.Of[""]; ok {
		return key, true
	}
	return "", false
}

// nominal volts of supplies; common practice.
var nominalVolts = []float64{115, 120, 200, 208, 220, 230, 240, 277, 380, 400, 415, 440, 460, 480, 575, 600}

// plate reads a number behind "nameplate": volts or amps by unit or by size.
func (p *parse) plate(q *quantity) (choice, bool) {
	switch {
	case q.frac || q.row == 3:
		return choice{}, false
	case q.unit != nil && q.fits(lexicon.Volts):
		return choice{key: vocab.RatedVolts}, true
	case q.unit != nil && q.fits(lexicon.Amps):
		return choice{key: vocab.RatedAmps}, true
	case q.unit != nil && q.fits(lexicon.Mass):
		return choice{key: vocab.SystemCharge}, true // "9 oz on the tag"
	case q.unit != nil:
		return choice{}, false
	case p.speaksOfCharge(q):
		return choice{key: vocab.SystemCharge}, true // "9 lb came out, tag says 22"
	}
	for _, v := range nominalVolts {
		if q.value == v {
			return choice{key: vocab.RatedVolts}, true
		}
	}
	if q.value >= leastVolts {
		if k := vocab.VoltsAb; p.seen(k) || p.rowNear(q) {
			return choice{key: vocab.RatedVolts}, true
		}
		return choice{key: vocab.RatedAmps, ask: []vocab.Key{vocab.RatedVolts, vocab.RatedAmps}}, q.value < 1000
	}
	return choice{key: vocab.RatedAmps}, true
}

// speaksOfCharge: a mass stands in the sentence of the number, and nothing electrical.
func (p *parse) speaksOfCharge(q *quantity) bool {
	mass := false
	for i := range p.nums {
		if o := &p.nums[i]; o != q && o.unit != nil && p.sentence[o.core] == p.sentence[q.core] {
			if o.fits(lexicon.Amps) || o.fits(lexicon.Volts) {
				return false
			}
			mass = mass || o.fits(lexicon.Mass)
		}
	}
	for i := range p.names {
		if n := &p.names[i]; p.sentence[n.from] == p.sentence[q.core] && !(n.Plate && n.Only == "") && (n.Only == lexicon.Amps || n.Only == lexicon.Volts) {
			return false
		}
	}
	return mass && p.says("charge", "recovered", "weighed", "added", "tag", "came")
}

// rowNear: three numbers within a fifth of this one stand in the message.
func (p *parse) rowNear(q *quantity) bool {
	for i := range p.nums {
		if r := &p.nums[i]; r.row == 3 && r.value > 0.8*q.value && r.value < 1.2*q.value {
			return true
		}
	}
	return false
}

// onPlate: "27 amps" in a part that speaks of the nameplate is rated.
func (p *parse) onPlate(n *name, q *quantity) (choice, bool) {
	if !p.plateIn(q) {
		return choice{}, false
	}
	if n.Only == lexicon.Volts {
		return choice{key: vocab.RatedVolts}, true
	}
	return choice{key: vocab.RatedAmps}, true
}

// plateIn: the nameplate is named in the number's sentence.
func (p *parse) plateIn(q *quantity) bool {
	for i := p.firstNameFrom(q.core - farOff); i < len(p.names) && p.names[i].from < q.core+farOff; i++ {
		if n := &p.names[i]; n.Plate && n.Only == "" && p.sentence[n.from] == p.sentence[q.core] {
			return true
		}
	}
	return false
}

// lowAndHigh reads "low 38 high 241", "high 241, low 38" and "128 low 560 high":
// neither word says anything of pressure alone, both together do.
func (p *parse) lowAndHigh() {
	low, high := p.behind("low", "lo"), p.behind("high", "hi")
	if low == nil || high == nil || low == high {
		low, high = p.before("low", "lo"), p.before("high", "hi")
	}
	if low == nil || high == nil || low == high || low.value >= high.value && !low.doubtful && !high.doubtful {
		return
	}
	p.put(low, vocab.SuctionPressure)
	p.put(high, vocab.DischargePressure)
}

// before is the number that stands directly before one of the words, which ends
// its part or has another number behind it.
func (p *parse) before(words ...string) *quantity {
	for i := range p.nums {
		q := &p.nums[i]
		k := q.to
		if p.is(k, "on") {
			k++
		}
		if p.is(k, "the") {
			k++
		}
		ends := k+1 >= len(p.t) || p.t[k+1].Kind != lex.Word || p.is(k+1, "and", "on", "side")
		if p.is(k, words...) && ends && p.canBeGauge(q) {
			return q
		}
	}
	return nil
}

func (p *parse) canBeGauge(q *quantity) bool {
	return !q.used && !q.idle && !q.frac && (q.bare || q.fits(lexicon.Pressure))
}

// behind is the number that follows one of the words directly or after small
// words; nil when none does or its unit is no pressure's.
func (p *parse) behind(words ...string) *quantity {
	for i := range p.nums {
		q := &p.nums[i]
		at := q.from - 1
		for at > q.from-4 && p.is(at, "is", "at", "was", ":", "=", "running", "on", "around") {
			at--
		}
		if p.is(at, words...) && p.canBeGauge(q) {
			return q
		}
	}
	return nil
}
