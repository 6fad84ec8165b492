package intake

import (
	"slices"

	"coldcase/bot/intake/lex"
	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// leftOver deals with numbers that no name took: as the answer to what was
// asked, by their unit alone, or by asking.
func (p *parse) leftOver() {
	if p.answer() {
		return
	}
	p.updates()
	p.otherGauge()
	p.wonderPlainPairs()
	p.wonderGas()
	for i := range p.nums {
		if q := &p.nums[i]; q.row == 3 && !q.used && !q.idle {
			p.rowByUnit(i)
		}
	}
	for i := range p.nums {
		if q := &p.nums[i]; !q.used && !q.idle && q.row != 0 {
			p.byUnit(q)
		}
	}
}

// answer takes a lone number for what the helper asked last, or asks which
// reading it is.
func (p *parse) answer() bool {
	if len(p.nums) == 2 && p.pairAlone() {
		return true
	}
	if len(p.nums) != 1 {
		return false
	}
	q := &p.nums[0]
	if q.used || q.idle || !p.alone(q) {
		return false
	}
	if _, ok := vocab.Define(p.ctx.Asked); ok && q.fits(lexicon.KindOf(p.ctx.Asked)) {
		p.put(q, p.ctx.Asked)
		return true
	}
	if q.unit == nil && !q.frac {
		q.used = true
		p.mark(q.from, q.to, counted)
		p.ask(WhichReading, "Which reading is that?")
		return true
	}
	return false
}

// pairAlone asks about two bare numbers with nothing but small words: "28 240".
func (p *parse) pairAlone() bool {
	a, b := &p.nums[0], &p.nums[1]
	if a.used || b.used || a.idle || b.idle || a.unit != nil || b.unit != nil || a.frac || b.frac || b.from != a.to {
		return false
	}
	for k := range p.t {
		_, small := p.listed("small", k)
		if p.t[k].Kind == lex.Word && p.numOf[k] < 0 && p.use[k] == unused && !small {
			return false
		}
	}
	for _, q := range []*quantity{a, b} {
		p.wonder(q, vocab.SuctionPressure, vocab.DischargePressure)
	}
	return true
}

// updates reads "filter drop was 6, swapped it, now its 1": a number behind "now",
// "down to", with no name of its own, is the value of today of what was read last.
func (p *parse) updates() {
	for i := 1; i < len(p.nums); i++ {
		q := &p.nums[i]
		if q.used || q.idle || q.row != 1 || q.frac || p.acrossDrier() {
			continue
		}
		k := p.lastRead(q)
		if k < 0 || !p.isOfToday(q) && !(p.isTimed(q.to) && p.isTimed(p.nums[p.numOf[p.readAt[k]]].to)) {
			continue
		}
		if p.toldAsPast(k) && q.fits(lexicon.KindOf(p.m.Readings[k].Key)) {
			key := p.m.Readings[k].Key
			p.past = append(p.past, p.chunk[p.readAt[k]])
			if q.unit == nil {
				q.unit, q.bare = p.unitAt(p.readAt[k]), p.unitAt(p.readAt[k]) == nil
			}
			p.put(q, key)
		}
	}
}

// acrossDrier: "236 before drier 198 after" are two places, no two times.
func (p *parse) acrossDrier() bool {
	for k := range p.t {
		if p.is(k, "drier") && p.is(k-1, "before", "after", "into", "past") {
			return true
		}
	}
	return false
}

// isTimed: "at noon", "at 9 am" stand at token i.
func (p *parse) isTimed(i int) bool {
	if !p.is(i, "at", "by", "around", "a", "approximately") || i+1 >= len(p.t) {
		return false
	}
	if k := p.numOf[i+1]; k >= 0 {
		return p.nums[k].idle
	}
	return p.is(i+1, "noon", "midnight", "lunch", "lunchtime", "closing", "opening", "midday")
}

// otherGauge: "hd 241 lo 33": beside one gauge that is named, low or high is the other.
func (p *parse) otherGauge() {
	if q := p.behind("low", "lo"); q != nil && p.seen(vocab.DischargePressure) && !p.seen(vocab.SuctionPressure) {
		p.put(q, vocab.SuctionPressure)
	}
	if q := p.before("low", "lo"); q != nil && p.is(q.to, "on") && !p.seen(vocab.SuctionPressure) {
		p.put(q, vocab.SuctionPressure) // "28 on the low"
	}
	if q := p.before("high", "hi"); q != nil && p.is(q.to, "on") && !p.seen(vocab.DischargePressure) {
		p.put(q, vocab.DischargePressure)
	}
	if q := p.behind("high", "hi"); q != nil && p.seen(vocab.SuctionPressure) && !p.seen(vocab.DischargePressure) {
		p.put(q, vocab.DischargePressure)
	}
}

// wonderGas asks about "gas 22" beside a suction pressure: the gas's temperature, or what
// gas it is.
func (p *parse) wonderGas() {
	for i := range p.nums {
		q := &p.nums[i]
		if !q.used && !q.idle && q.bare && !q.frac && q.row == 1 && p.is(q.from-1, "gas") && (p.seen(vocab.SuctionPressure) || q.value == 22) {
			p.wonder(q, vocab.SuctionLineTemp)
		}
	}
}

// isOfToday: "now its 1", "down to 22 now": a word of today stands by the number.
func (p *parse) isOfToday(q *quantity) bool {
	if _, ok := p.listed("today", q.to); ok || p.is(q.to, "after") || p.is(q.from-1, "after") || p.is(q.from-1, ":") && p.is(q.from-2, "after", "now") {
		return true
	}
	for k := q.from - 1; k >= max(q.from-4, 0) && p.sentence[k] == p.sentence[q.core]; k-- {
		if _, ok := p.listed("today", k); ok && !p.is(k, "its") {
			return true
		}
		if p.nameOf[k] >= 0 || p.numOf[k] >= 0 {
			return false
		}
	}
	return false
}

// lastRead is the reading whose number stands last before q, at most a sentence back.
func (p *parse) lastRead(q *quantity) int {
	best := -1
	for k, at := range p.readAt {
		if at < q.core && p.sentence[at] >= p.sentence[q.core]-1 && (best < 0 || at > p.readAt[best]) {
			best = k
		}
	}
	return best
}

// toldAsPast: "was 6", "had 6", "started at 6".
func (p *parse) toldAsPast(k int) bool {
	at := p.readAt[k]
	for i := max(at-3, 0); i < at; i++ {
		if p.is(i, "was", "were", "had", "read", "started", "estaba", "from") && p.chunk[i] == p.chunk[at] {
			return true
		}
	}
	lo, hi := p.window(at)
	for i := lo; i < hi; i++ {
		if p.is(i, "before", "antes") {
			return true
		}
	}
	return false
}

func (p *parse) unitAt(token int) *lexicon.Unit {
	if i := p.numOf[token]; i >= 0 {
		return p.nums[i].unit
	}
	return nil
}

// alone holds that a sentence is a number and at most small words: "it's 31".
func (p *parse) alone(q *quantity) bool {
	for k := range p.t {
		if k >= q.from && k < q.to || p.t[k].Kind == lex.Mark || p.sentence[k] != p.sentence[q.core] {
			continue
		}
		_, small := p.listed("small", k)
		_, today := p.listed("today", k)
		_, seen := p.listed("seen_words", k)
		if !small && !today && !seen {
			return false
		}
	}
	return true
}

// rowByUnit reads three numbers that no name stands by: by their unit, or as
// volts by their size.
func (p *parse) rowByUnit(i int) {
	row := p.nums[i : i+3]
	rows := map[lexicon.Kind][]vocab.Key{
		lexicon.Volts: {vocab.VoltsAb, vocab.VoltsBc, vocab.VoltsCa},
		lexicon.Amps:  {vocab.AmpsA, vocab.AmpsB, vocab.AmpsC},
		lexicon.Ohms:  {vocab.OhmsAb, vocab.OhmsBc, vocab.OhmsCa},
	}
	if p.rowOfToday(i) {
		return
	}
	if row[2].unit != nil {
		for kind, keys := range rows {
			if row[2].fits(kind) {
				p.putRow(i, keys)
			}
		}
		return
	}
	switch {
	case p.supplyVolts(row):
		p.putRow(i, rows[lexicon.Volts])
	case p.seen(vocab.VoltsAb) && p.isRunningAmps(row):
		p.putRow(i, rows[lexicon.Amps])
	case p.saysSomething() && !row[0].frac:
		for k := range row {
			p.wonder(&row[k], vocab.AmpsA, vocab.OhmsAb)
		}
	}
}

// rowOfToday: "first it was 14 amps …, now 11.8 11.9 11.8": the row is of the kind that
// the number before it was.
func (p *parse) rowOfToday(i int) bool {
	if i == 0 || !p.isOfToday(&p.nums[i]) {
		return false
	}
	was := &p.nums[i-1]
	for _, n := range p.r.words.Readings {
		if was.unit != nil && len(n.Row) == 3 && was.fits(n.Only) && p.sentence[was.core] == p.sentence[p.nums[i].core] {
			p.m.Asks = slices.DeleteFunc(p.m.Asks, func(a Ask) bool { return a.Why == p.notSure(was) })
			was.idle = true
			p.putRow(i, n.Row)
			return true
		}
	}
	return false
}

// isRunningAmps: three numbers behind the volts, near the amps of the plate.
func (p *parse) isRunningAmps(row []quantity) bool {
	rated, ok := p.value(vocab.RatedAmps)
	if !ok || !p.alike(row) {
		return false
	}
	const least, most = 0.3, 1.3 // of the plate: unloaded to overloaded. common practice
	return row[0].value > least*rated && row[0].value < most*rated
}

// supplyVolts: three numbers within a tenth of each other and of a supply.
func (p *parse) supplyVolts(row []quantity) bool {
	if row[0].rowBy == byAnd {
		return false
	}
	for _, v := range nominalVolts[2:] {
		near := true
		for _, q := range row {
			near = near && q.value > 0.88*v && q.value < 1.12*v
		}
		if near {
			return true
		}
	}
	return false
}

// byUnit reads or asks about a number by its unit alone.
func (p *parse) byUnit(q *quantity) {
	if q.unit == nil {
		p.loneFraction(q)
		return
	}
	switch {
	case q.fits(lexicon.Heat) && !q.fits(lexicon.Delta):
		p.byHeat(q)
	case q.fits(lexicon.Insulation):
		p.put(q, vocab.InsulationMegohms)
	case q.fits(lexicon.Starts):
		p.put(q, vocab.StartsPerHour)
	case q.fits(lexicon.Volts):
		p.byPlate(q, vocab.RatedVolts, vocab.VoltsAb)
	case q.fits(lexicon.Amps):
		p.byPlate(q, vocab.RatedAmps, vocab.AmpsA)
	case q.fits(lexicon.Ohms):
		p.wonder(q, vocab.OhmsAb)
	case q.fits(lexicon.Vacuum):
		p.put(q, vocab.VacuumLevel)
	case q.code(lexicon.Pressure) == units.CodeInHgVacuum:
		p.put(q, vocab.SuctionPressure)
	case q.fits(lexicon.Pressure) && p.isOtherSide(q):
		p.put(q, vocab.SuctionPressure)
	case q.fits(lexicon.Pressure) && !q.fits(lexicon.Mass):
		p.wonder(q, vocab.SuctionPressure, vocab.DischargePressure)
	case q.fits(lexicon.Temp):
		p.wonder(q, vocab.BoxTemp, vocab.SuctionLineTemp, vocab.LiquidLineTemp)
	case q.fits(lexicon.Age) && p.isAge(q):
		p.put(q, vocab.CompressorAge)
	case q.fits(lexicon.Time), q.fits(lexicon.Age):
		q.idle = true
	case q.fits(lexicon.Volume) && p.says("accumulator"):
		p.put(q, vocab.AccumulatorVolume)
	case q.code(lexicon.Length) != "" && p.saysSize():
		p.wonder(q, vocab.SuctionRun, vocab.LiquidRun)
	case q.fits(lexicon.Mass) && q.fits(lexicon.Pressure) && (p.saysSomething() || p.alone(q)):
		p.wonder(q, vocab.SuctionPressure, vocab.DischargePressure, vocab.SystemCharge, vocab.ChargeAdded)
	case q.fits(lexicon.Mass) && q.unit != nil && p.m.Facts[vocab.Refrigerant] != "" && p.nextToRefrigerant(q):
		p.wonder(q, vocab.SystemCharge, vocab.ChargeAdded)
	}
}

// mountain in feet: no pipe is that long.
const mountain = 2000

// isMountain: "9000 ft up" is where the site lies.
func (q *quantity) isMountain() bool {
	switch q.code(lexicon.Length) {
	case units.CodeFeet:
		return q.value >= mountain
	case units.CodeMeter:
		return q.value >= mountain*0.3048
	}
	return false
}

// byHeat takes the first load for the full one.
func (p *parse) byHeat(q *quantity) {
	if !p.seen(vocab.Capacity) {
		p.put(q, vocab.Capacity)
	}
}

// onAllLegs: "460 volts on all three legs" is the value of each.
func (p *parse) onAllLegs(q *quantity, keys []vocab.Key) bool {
	lo, hi := p.window(q.core)
	for k := lo; k < hi; k++ {
		if _, ok := p.listed("legs_all", k); ok {
			for _, key := range keys {
				p.put(q, key)
			}
			return true
		}
	}
	return false
}

func (p *parse) byPlate(q *quantity, rated, single vocab.Key) {
	if p.plateIn(q) || rated == vocab.RatedVolts && (p.plateRead() || p.describes(q)) {
		p.put(q, rated)
		return
	}
	if rated == vocab.RatedVolts && p.seen(vocab.VoltsAb) {
		q.idle = true // "400 V supply" beside the three that were measured
		return
	}
	p.wonder(q, single)
}

// describes: "208v 3ph", "460 v semi": a nominal voltage beside what machine it is.
func (p *parse) describes(q *quantity) bool {
	if !slices.Contains(nominalVolts, q.value) || q.to >= len(p.t) {
		return false
	}
	for i := range p.nums {
		if n := &p.nums[i]; n.from == q.to && n.idle && p.is(n.to-1, "ph", "phase") {
			return true
		}
	}
	return p.is(q.to, "semi", "scroll", "hermetic", "screw", "compressor", "motor", "unit", "single", "three")
}

func (p *parse) plateRead() bool {
	return p.seen(vocab.RatedAmps) || p.seen(vocab.LockedRotorAmps)
}

// nextToRefrigerant: "4 lb 404A", "4 lbs of R22".
func (p *parse) nextToRefrigerant(q *quantity) bool {
	for k := q.to; k < len(p.t) && k < q.to+3; k++ {
		if p.use[k] == named && k >= q.to {
			return true
		}
	}
	return false
}

// loneFraction asks whose size "a 7/8 line" is.
func (p *parse) loneFraction(q *quantity) {
	if !q.frac || q.value >= 5 || p.anyOf("fetching", max(q.from-8, 0), q.from) {
		return
	}
	if p.sizeTold(q) || p.is(q.from-1, "its", "is", "it") {
		p.wonder(q, vocab.SuctionLineSize, vocab.LiquidLineSize, vocab.RiserSize)
	}
}

// isOtherSide: "3 psi at the comp, head 242": beside the head, and far below it, a
// pressure with no name is the suction.
func (p *parse) isOtherSide(q *quantity) bool {
	head, ok := p.value(vocab.DischargePressure)
	if !ok || p.seen(vocab.SuctionPressure) || p.says("oil", "drop", "drier", "filter", "liquid", "nitrogen", "test", "core", "cutin", "cutout", "cut") {
		return false
	}
	v, err := vocab.SI(p.readingOf(q, vocab.SuctionPressure), seaLevel)
	return err == nil && v < mostSuction*head
}

// mostSuction is the share of the head, absolute, that a suction stays under while it runs.
const mostSuction = 0.6

// isAge: "compressor semi, 16 yrs": years beside the machine, in the part or the one
// before; "third one in two years" is how often, not how old.
func (p *parse) isAge(q *quantity) bool {
	if p.is(q.from-1, "in", "within", "last", "past", "every") {
		return false
	}
	if !p.t[q.numTo].Is("years") && !p.is(q.from-1, "de") || p.is(q.to, "ago", "warranty", "experience", "garantia", "in") {
		return false
	}
	for k := max(q.from-6, 0); k < min(q.to+3, len(p.t)); k++ {
		if p.sentence[k] == p.sentence[q.core] && p.chunk[k] >= p.chunk[q.core]-1 && p.is(k, "compressor", "semi", "scroll", "hermetic", "screw", "comp") {
			return true
		}
	}
	return false
}

// saysSize: a tube's fraction stands in the message, read or asked about.
func (p *parse) saysSize() bool {
	for i := range p.nums {
		if q := &p.nums[i]; q.frac && q.used && !q.idle {
			return true
		}
	}
	return false
}

func (p *parse) sizeTold(q *quantity) bool {
	for k := max(q.from-3, 0); k < len(p.t) && k < q.to+4; k++ {
		if p.is(k, "line", "copper", "pipe") && p.sentence[k] == p.sentence[q.core] {
			return true
		}
	}
	return false
}

func (p *parse) says(words ...string) bool {
	if p.said == nil {
		p.said = make(map[string]struct{}, 2*len(p.t))
		for k := range p.t {
			if t := &p.t[k]; t.Kind != lex.Number {
				p.said[t.Word], p.said[t.Plain] = struct{}{}, struct{}{}
			}
		}
	}
	for _, w := range words {
		if _, ok := p.said[w]; ok {
			return true
		}
	}
	return false
}
