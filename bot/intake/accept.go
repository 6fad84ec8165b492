package intake

import (
	"slices"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

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
		return choice{key: fitting[0], ask: fitting, cost: 2 * p.r.words.Weights.SecondBest}, true
	case len(n.Is) > 1 && len(fitting) > 1 && lexicon.KindOf(fitting[0]) == lexicon.KindOf(fitting[1]):
		return choice{key: fitting[0], ask: fitting}, true
	}
	if len(n.Is) > 0 && fitting[0] != n.Is[0] {
		return choice{key: fitting[0], cost: p.r.words.Weights.SecondBest}, true
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
	if p.isCaseTag(n, q) {
		return choice{}, false
	}
	switch n.Only {
	case lexicon.Heat:
		return p.bareHeat(n, q)
	case lexicon.Mass:
		return choice{key: n.Is[0]}, p.bareMass(n, q)
	case lexicon.Volume, lexicon.Age, lexicon.Starts:
		return choice{key: n.Is[0]}, n.to > n.from+1 && n.to <= q.from && p.isOne("quantity_nouns", n.to-1)
	case lexicon.Size:
		return choice{}, false
	case lexicon.Drop:
		if n.Loose && !(n.first() == vocab.NetOilPressure && p.linked(n.to, q.from) && p.says("oil")) {
			return choice{}, false
		}
	case lexicon.Length:
		if n.to == n.from+1 && p.t[n.from].Plain == "runs" && p.is(q.to, "on") {
			return choice{}, false // "this rack runs 30 on suction"
		}
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

// linked: nothing but "is", "at" or a mark stands between two tokens.
func (p *parse) linked(from, to int) bool {
	for k := from; k < to; k++ {
		if !p.isOne("links", k) {
			return false
		}
	}
	return from <= to
}

// isCaseTag: "prop case 12" may be the twelfth case of a line as well as its temperature.
func (p *parse) isCaseTag(n *name, q *quantity) bool {
	tag := n.to == n.from+1 && p.is(n.from, "case") && n.to == q.from
	return tag && !q.signed && q.value >= 1 && q.value <= p.r.words.Sizes.MostNumbered
}

func (p *parse) bareHeat(n *name, q *quantity) (choice, bool) {
	if q.value >= p.r.words.Sizes.LeastLoad {
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
	return p.saysOne("load_words")
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
