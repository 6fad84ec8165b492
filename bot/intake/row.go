package intake

import "coldcase/refdata/lexicon"

// rowMark is what stands between the numbers of a row.
type rowMark uint8

const (
	bySpace rowMark = iota
	byComma
	byAnd
	bySlash
)

// findRows finds numbers that stand in a row: "230/229/235", "398 401 396",
// "14.2, 13.9 and 14.5", "28 over 240". A row of three is the three legs, of two
// with a slash the gauges.
func (p *parse) findRows() {
	for i := 0; i < len(p.nums); {
		n, by := 1, bySpace
		for i+n < len(p.nums) {
			m, ok := p.rowStep(&p.nums[i+n-1], &p.nums[i+n], n)
			if !ok || n > 1 && m != by && m != byAnd {
				break
			}
			by = max(by, m)
			n++
		}
		p.nums[i].row, p.nums[i].rowBy = 1, by
		if n == 3 || n == 2 && by >= byAnd {
			p.nums[i].row = n
			for k := i; k < i+n; k++ {
				if p.nums[k].bare && p.nums[i+n-1].unit != nil {
					p.nums[k].unit, p.nums[k].bare, p.nums[k].lent = p.nums[i+n-1].unit, false, true
				}
			}
			i += n
			continue
		}
		if n > 3 && p.splitTriples(i, n) {
			i += n
			continue
		}
		if n == 2 {
			n = 1 // the second may begin a row of its own: "sc 6 118/341"
		}
		for k := i; k < i+n; k++ {
			p.nums[k].row = 1
		}
		i += n
	}
}

// breakRow lets the numbers of the row that number i stands in be alone again.
func (p *parse) breakRow(i int) {
	head := i
	for head > 0 && p.nums[head].row == 0 {
		head--
	}
	for k, n := head, max(p.nums[head].row, 1); k < head+n; k++ {
		p.nums[k].row, p.nums[k].rowBy = 1, bySpace
	}
}

// splitTriples reads six numbers in a row as two rows of three when each is even
// in itself.
func (p *parse) splitTriples(i, n int) bool {
	if n%3 != 0 {
		return false
	}
	for k := i; k < i+n; k += 3 {
		if !p.alike(p.nums[k : k+3]) {
			return false
		}
		p.nums[k].row = 3
	}
	return true
}

// alike holds that three numbers are of one size, as legs are.
func (p *parse) alike(row []quantity) bool {
	lo, hi := row[0].value, row[0].value
	for _, q := range row {
		lo, hi = min(lo, q.value), max(hi, q.value)
	}
	return lo >= 0 && hi <= 3*lo+1
}

// rowStep reports whether b follows a in a row, and by what mark.
func (p *parse) rowStep(a, b *quantity, have int) (rowMark, bool) {
	if a.frac || b.frac || a.idle || b.idle || a.signed || b.signed || a.approx || b.approx {
		return 0, false
	}
	if a.unit != nil && (b.unit == nil || b.unit != a.unit) {
		return 0, false
	}
	if b.unit != nil && b.fits(lexicon.Time) && p.is(a.to, "over") {
		return 0, false // "398 over twelve hours"
	}
	switch gap := b.core - a.to; {
	case gap == 0 && !p.t[b.core].Glued:
		return bySpace, a.unit == nil || b.unit == a.unit
	case gap == 1 && p.is(a.to, "/"), gap == 1 && p.is(a.to, "over"):
		return bySlash, true
	case gap == 1 && p.is(a.to, ",", "-"):
		return byComma, true
	case gap == 1 && p.is(a.to, "and", "y", "&"):
		return byAnd, true
	case gap == 2 && p.is(a.to, ",") && p.is(a.to+1, "and", "y"):
		return byComma, true
	}
	return 0, false
}

// numberIn reports a number between two tokens.
func (p *parse) numberIn(from, to int) bool {
	for k := from; k < to; k++ {
		if p.numOf[k] >= 0 && !p.nums[p.numOf[k]].idle {
			return true
		}
	}
	return false
}

// numberAt reports a number that begins at token i, at most one small word on.
func (p *parse) numberAt(i int) bool {
	begins := func(k int) bool { return k < len(p.t) && p.numOf[k] >= 0 && p.nums[p.numOf[k]].from == k }
	return begins(i) || p.isOne("links", i) && begins(i+1)
}
