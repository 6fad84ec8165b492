package intake

import (
	"coldcase/refdata/lexicon"
	"coldcase/refdata/vocab"
)

// outAndIn reads "lp set 10 out 30 in": where the control opens and closes.
func (p *parse) outAndIn() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		first, second := p.sideOfControl(a), p.sideOfControl(b)
		if first == "" || second == "" || first == second || p.sentence[a.core] != p.sentence[b.core] || !p.anyOf("control_words", max(a.from-p.r.words.Reaches.Control, 0), a.from) {
			continue
		}
		for _, q := range []*quantity{a, b} {
			if q.unit != nil && !q.fits(lexicon.Pressure) {
				q.unit, q.bare, q.to = nil, true, q.numTo // the "in" is no inch
			}
		}
		p.put(a, first)
		p.put(b, second)
		p.mark(a.from, min(b.to+1, len(p.t)), counted)
		return
	}
}

// isSetting: the control is named before the "10" of "lp set 10 out 30 in".
func (p *parse) isSetting(q *quantity) bool {
	return p.is(q.to, "out") && p.anyOf("control_words", max(q.from-p.r.words.Reaches.Control, 0), q.from)
}

// sideOfControl: "10 out", "30 in", "out 10": what a setting of the control is.
func (p *parse) sideOfControl(q *quantity) vocab.Key {
	if q.used || q.idle || q.frac {
		return ""
	}
	k := q.numTo
	if q.unit != nil && q.fits(lexicon.Pressure) {
		k = q.to
	}
	if p.is(q.from-1, "at") && (p.is(q.from-2, "out") || q.from > 1 && p.t[q.from-2].Plain == "in") {
		k = q.from - 2 // "cuts in at 25 out at 10"
	}
	switch {
	case p.is(k, "out"):
		return vocab.CutOutPressure
	case k < len(p.t) && p.t[k].Plain == "in":
		return vocab.CutInPressure
	}
	return ""
}
