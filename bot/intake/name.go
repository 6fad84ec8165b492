package intake

import (
	"slices"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// name is the words of a reading's name in the message.
type name struct {
	*lexicon.Name
	from, to int
	leg      string        // ab, bc, ca of a line or winding; a, b, c of a leg
	legKind  byte          // l, t or 0
	either   *lexicon.Name // "head or suction": which is not known
}

func (n *name) first() vocab.Key {
	if len(n.Is) == 0 {
		return ""
	}
	return n.Is[0]
}

// takesBare: a number without a unit can be this name's at all.
func (n *name) takesBare() bool {
	switch n.Only {
	case lexicon.Size, lexicon.Volume, lexicon.Age, lexicon.Starts:
		return false
	}
	return true
}

// findNames finds the names of readings, and of lines, windings and legs.
func (p *parse) findNames() {
	p.index()
	for i := 0; i < len(p.t); {
		if n, ok := p.legAt(i); ok {
			p.names = append(p.names, n)
			i = n.to
			continue
		}
		f := p.r.names.At(p.t, i)
		if f.To == i || p.use[i] != unused || p.cutsNumber(i, f.To) {
			i++
			continue
		}
		if end := p.longerPart(i, f.To); end > i {
			i = end // the cap of a cap tube, the head of a head gasket
			continue
		}
		f = p.splitName(i, f)
		n := name{Name: &p.r.words.Readings[f.IDs[0]], from: i, to: f.To}
		if !p.isForOther(&n) {
			p.names = append(p.names, n)
		}
		i = f.To
	}
	for k := 1; k < len(p.names); k++ {
		a, b := &p.names[k-1], &p.names[k]
		if b.from == a.to+1 && p.is(a.to, "or", "o") && a.leg == "" && b.leg == "" {
			a.either, b.either = b.Name, a.Name
		}
	}
	p.index()
}

// splitName: in "40 suct coil out 32" there are two names, each with its number.
func (p *parse) splitName(i int, f lex.Found) lex.Found {
	if i == 0 || f.To >= len(p.t) || f.To-i < 3 || p.t[i-1].Kind != lex.Number || p.t[f.To].Kind != lex.Number || p.use[i-1] != unused || p.ownNumber(i-1) {
		return f
	}
	short := lex.Found{To: i}
	p.r.names.All(p.t, i, func(id, to int) {
		if (short.To == i || to < short.To) && to < f.To && p.r.names.At(p.t, to).To == f.To {
			short = lex.Found{To: to, IDs: []int{id}}
		}
	})
	if short.To == i {
		return f
	}
	return short
}

// isForOther: the number right behind is of another kind ("sat 45 min"), and none
// stands right before: the words name nothing here.
func (p *parse) isForOther(n *name) bool {
	if n.Only == "" || n.Only == "any" || n.Plate || n.to >= len(p.t) || n.from > 0 && p.numOf[n.from-1] >= 0 {
		return false
	}
	k := p.numOf[n.to]
	if k < 0 || p.nums[k].core != n.to || p.nums[k].unit == nil {
		return false
	}
	q := &p.nums[k]
	return !q.fits(n.Only) && (n.Only != lexicon.Heat || !q.fits(lexicon.Share))
}

// index notes for each token the name and the number it is part of.
func (p *parse) index() {
	for i := range p.t {
		p.nameOf[i], p.numOf[i] = -1, -1
	}
	for k := range p.names {
		for i := p.names[k].from; i < p.names[k].to; i++ {
			p.nameOf[i] = k
		}
	}
	for k := range p.nums {
		for i := p.nums[k].from; i < p.nums[k].to; i++ {
			p.numOf[i] = k
		}
	}
}

// longerPart is the end of a part or a fact whose words hold those of a name.
func (p *parse) longerPart(from, to int) int {
	for _, set := range []*lex.Phrases{p.r.parts, p.r.values} {
		for k := max(from-1, 0); k <= from; k++ {
			if f := set.At(p.t, k); f.To >= to && f.To-k > to-from {
				return f.To
			} else if k < from && f.To > from && f.To < to {
				return f.To // "medium temp suct": the temp is the application's
			}
		}
	}
	return from
}

// cutsNumber keeps a name from running into a number: "amps a 12".
func (p *parse) cutsNumber(from, to int) bool {
	first, _ := slices.BinarySearchFunc(p.nums, from, func(q quantity, i int) int { return q.to - i - 1 })
	for k := first; k < len(p.nums) && p.nums[k].core < to; k++ {
		q := &p.nums[k]
		switch {
		case q.numTo <= from: // the unit is the name, or it is no name
			f := p.r.names.At(p.t, from)
			return q.unit == nil || !q.fits(p.r.words.Readings[f.IDs[0]].Only)
		default:
			return true
		}
	}
	return false
}
