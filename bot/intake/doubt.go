package intake

// eitherOr doubts "28 or 82", and numbers whose part says that the sender can't
// tell.
func (p *parse) eitherOr(i int) {
	q := &p.nums[i]
	if i+1 < len(p.nums) {
		b := &p.nums[i+1]
		gap := b.from - q.to
		if gap == 0 && p.is(b.from, "maybe") && p.is(q.from, "maybe") && !b.idle && !q.idle {
			q.doubtful, b.doubtful = true, true // "maybe 20 maybe 30"
		}
		if gap >= 1 && gap <= 3 && p.is(q.to, "or", "o") && !b.idle && !q.idle && b.frac == q.frac {
			if p.is(q.to+1, "so") {
				return
			}
			q.doubtful, b.doubtful = true, true
			b.said = "second"
		}
		if p.isSwing(q, b) {
			q.doubtful, b.doubtful = true, true
			b.said = "second"
		}
	}
	if p.is(q.to, "something") {
		q.doubtful = true // "20 something"
	}
	if !p.doubts {
		return
	}
	if p.is(q.to, "?") {
		if _, ok := p.listed("doubtful", q.to+1); ok {
			q.doubtful = true // "net oil 22? or was that the suction"
		}
	}
	lo, hi := p.window(q.core)
	for k := lo; k < min(hi+farOff, len(p.t)) && p.chunk[k] <= p.chunk[q.core]+1; k++ {
		if p.chunk[k] != p.chunk[q.core] && !(p.sentence[k] == p.sentence[q.core] && p.chunk[k] == p.chunk[q.core]+1 && p.nearestNumber(k, k, p.chunk[k]) < 0) {
			continue
		}
		if _, ok := p.listed("doubtful", k); ok && !p.is(k+2, "which") && p.doubtsNumber(k) {
			q.doubtful = true
		}
	}
}

// isSwing: "superheat 2 to 25", too wide for one number in the middle.
func (p *parse) isSwing(a, b *quantity) bool {
	plain := !a.used && !b.used && !a.idle && !b.idle && !a.frac && !b.frac && a.unit == nil && b.unit == nil
	_, swings := p.listedBefore("swings", a.from)
	return plain && b.from == a.to+1 && p.is(a.to, "to", "-", "a") && (swings || p.nameEndsAt(a.from))
}

// doubtsNumber: the words of doubt stand in a part with no finding of their own.
func (p *parse) doubtsNumber(k int) bool {
	lo, hi := p.window(k)
	for i := lo; i < hi; i++ {
		{
			if f := p.r.parts.At(p.t, i); f.To > i && !p.namedPlain(i) && !p.is(i, "it") {
				return false
			}
			if f := p.r.direct.At(p.t, i); f.To > i {
				return false
			}
		}
	}
	return true
}
