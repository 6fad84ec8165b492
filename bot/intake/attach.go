package intake

import (
	"math"
	"strings"

	"coldcase/refdata/lexicon"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// findPair reads 68/250: low then high, when no word says otherwise.
func (p *parse) findPair() {
	for i := 0; i+1 < len(p.nums); i++ {
		a, b := &p.nums[i], &p.nums[i+1]
		if a.size != 2 || a.place != 0 || a.used || a.fraction || !p.pressurePair(a, b) {
			continue
		}
		low, high := vocab.SuctionPressure, vocab.DischargePressure
		if p.highFirst(a, b) {
			low, high = high, low
		}
		if a.unit == nil {
			a.unit = b.unit
		}
		p.put(a, low)
		p.put(b, high)
	}
}

// pressurePair holds that two numbers side by side are the gauges: no slot of
// another kind wants them, and low stands before high.
func (p *parse) pressurePair(a, b *quantity) bool {
	if k := b.kind(); k != "" && k != lexicon.Pressure && k != lexicon.Pounds {
		return false
	}
	if b.value < 20 || a.spelled != b.spelled || word(p.t, a.from-1) == "between" || word(p.t, a.from-1) == "cyl" {
		return false
	}
	for _, s := range p.slots {
		before := s.to <= a.from && a.from-s.to <= 2
		after := s.from >= b.to && s.from-b.to <= 1 && !p.numberFollows(s.to)
		near := p.sentence[s.from] == p.sentence[a.from] && (before || after)
		if !near || s.Loose {
			continue
		}
		switch s.Name {
		case "suction", "head":
		default:
			return false
		}
	}
	return a.value < b.value || p.highFirst(a, b)
}

// numberFollows reports a number right behind a slot's words: the slot is its.
func (p *parse) numberFollows(i int) bool {
	for _, q := range p.nums {
		if q.from == i {
			return true
		}
	}
	return false
}

// highFirst reads "175/26 head/suct".
func (p *parse) highFirst(a, b *quantity) bool {
	var order []string
	for _, s := range p.slots {
		if (s.Name == "suction" || s.Name == "head") && p.sentence[s.from] == p.sentence[a.from] && (s.from >= b.to && s.from-b.to <= 4 || s.to <= a.from && a.from-s.to <= 4) {
			order = append(order, s.Name)
		}
	}
	return len(order) == 2 && order[0] == "head" && a.value > b.value
}

// attach gives each number to the slot that it belongs to.
func (p *parse) attach() {
	for i := range p.nums {
		q := &p.nums[i]
		if q.used || q.ignored {
			continue
		}
		if q.place == 0 && q.size >= 3 && p.triple(i) {
			continue
		}
		best, key, cost := -1, vocab.Key(""), math.Inf(1)
		for s := range p.slots {
			k, ok := p.accepts(&p.slots[s], q)
			if !ok || p.slots[s].taken[k] {
				continue
			}
			if c, ok := p.distance(&p.slots[s], q); ok && c < cost {
				best, key, cost = s, k, c
			}
		}
		if best < 0 {
			continue
		}
		s := &p.slots[best]
		s.taken[key] = true
		p.give(q, s, key)
	}
}

// noKey stands for a number that a slot takes without making it a reading.
const noKey vocab.Key = "-"

// give makes the number a reading of the slot, or asks what it is.
func (p *parse) give(q *quantity, s *slotAt, key vocab.Key) {
	q.used = true
	p.take(q.from, q.to)
	p.take(s.from, s.to)
	switch {
	case key == noKey:
	case strings.HasPrefix(string(key), "ask:"):
		for k := range strings.SplitSeq(string(key)[4:], " ") {
			p.ask(k, "Not sure what "+p.textOf(q.from, q.to)+" is.")
		}
	case q.doubtful:
		p.ask(string(key), "Which is it, for sure?")
	default:
		p.put(q, key)
	}
}

const (
	reach       = 7   // tokens a slot may stand before its number
	reachAfter  = 4   // and after it
	afterCost   = 0.6 // a slot before its number is likelier than one after
	looseCost   = 2
	lastResort  = 8 // "psi drop" says nothing of where
	commaCost   = 3
	betweenCost = 4 // another number stands between
)

// distance is how far a slot is from a number; ok is false when it can't be its.
func (p *parse) distance(s *slotAt, q *quantity) (cost float64, ok bool) {
	from, to, after := s.to, q.from, false
	switch {
	case s.to <= q.from:
	case s.from >= q.to:
		from, to, after = q.to, s.from, true
	case s.from > q.core && s.Name != "drop":
		return 0, true // the unit is part of the slot: 14 amps, 12 yrs old
	case s.from > q.core:
		from, to = 0, 0
	default:
		return 0, false
	}
	if p.sentence[s.from] != p.sentence[q.from] {
		return 0, false
	}
	limit := reach
	if after {
		limit, cost = reachAfter, afterCost
	}
	if to-from > limit {
		return 0, false
	}
	for k := from; k < to; k++ {
		switch {
		case p.t[k].Text == ",":
			cost += commaCost
		case p.isNumber(k):
			cost += betweenCost
		case p.inSlot(k, s):
			cost += 1.5
		}
		cost += p.fillerCost(k, after)
	}
	if s.Loose {
		cost += looseCost
	}
	switch s.Name {
	case "nothing":
		cost -= 0.3
	case "drop":
		cost += lastResort
	}
	return cost, cost < 18
}

// fillerCost is what a word between a slot and its number costs: little for the
// words that tie them, more for an "and" that starts the next pair.
func (p *parse) fillerCost(k int, after bool) float64 {
	switch p.t[k].Text {
	case "is", "at", "was", "of", "the", "reads", "reading", "=", ":", "now", "to", "about", "says", "on", "a", "es", "de", "shows", "its", "pressure", "temp", "are", "around":
		return 0.3
	case "and", "y", "but", "with":
		if after {
			return 3
		}
	}
	return 1
}

func (p *parse) isNumber(k int) bool {
	for i := range p.nums {
		if p.nums[i].core == k && !p.nums[i].ignored {
			return true
		}
	}
	return false
}

// inSlot reports whether token k names another reading.
func (p *parse) inSlot(k int, not *slotAt) bool {
	for i := range p.slots {
		if s := &p.slots[i]; s.from <= k && k < s.to && s != not && !s.Loose {
			return true
		}
	}
	return false
}

// accepts says which key a slot would make of the number.
func (p *parse) accepts(s *slotAt, q *quantity) (vocab.Key, bool) {
	if s.Name == "saturation" {
		return p.askKeys(s.Ask), q.unit == nil || q.kind() == lexicon.Temp
	}
	if s.Name == "nothing" || s.Name == "drier_temps" {
		if s.Name == "nothing" && s.to > q.from {
			return "", false
		}
		return noKey, q.unit == nil || q.kind() == lexicon.Temp || q.kind() == lexicon.None
	}
	if s.Legs != "" {
		return p.leg(s, q)
	}
	kind := q.kind()
	switch {
	case q.unit != nil && len(q.unit.Only) > 0:
		for _, k := range q.unit.Only {
			if s.Bare == k {
				return k, true
			}
		}
		return "", false
	case kind == lexicon.Pounds:
		for _, k := range []lexicon.Kind{lexicon.Pressure, lexicon.Drop, lexicon.Mass} {
			if key, ok := s.Takes[k]; ok {
				return p.inContext(s, key, q)
			}
		}
		if s.Name == "rise" {
			return p.inContext(s, "", q)
		}
		return "", false
	case kind == lexicon.Temp && s.Takes[lexicon.Temp] == "" && s.Takes[lexicon.TempDelta] != "":
		return s.Takes[lexicon.TempDelta], true
	case kind == lexicon.Size && q.unit != nil && q.unit.Code == units.CodeInch && s.Takes[lexicon.Size] == "" && s.Takes[lexicon.Pressure] != "" && !q.fraction:
		return "", false
	}
	if kind == "" {
		return p.acceptsBare(s, q)
	}
	if key, ok := s.Takes[kind]; ok {
		return p.inContext(s, key, q)
	}
	switch s.Name {
	case "rise", "hold", "starts":
		return p.inContext(s, "", q)
	case "line":
		if kind == lexicon.Size {
			return "ask:riser_size suction_line_size liquid_line_size", true
		}
	case "run", "lift":
		if kind == lexicon.Length {
			return p.runOrLift(s), true
		}
	case "drop":
		if kind == lexicon.Pressure || kind == lexicon.Pounds {
			return p.askKeys(s.Ask), true
		}
	case "oil_pressure":
		if kind == lexicon.Pressure || kind == lexicon.Pounds {
			return p.askKeys(s.Ask), true
		}
	case "temp", "evap_temp":
		if kind == lexicon.Temp && p.testAt(q.from) != holdingTest {
			return p.askKeys(s.Ask), true
		}
	}
	return "", false
}

func (p *parse) askKeys(keys []vocab.Key) vocab.Key {
	var names []string
	for _, k := range keys {
		names = append(names, string(k))
	}
	return vocab.Key("ask:" + strings.Join(names, " "))
}

// acceptsBare decides on a number without a unit.
func (p *parse) acceptsBare(s *slotAt, q *quantity) (vocab.Key, bool) {
	if q.spelled && q.value < 5 && s.Bare == "" {
		return "", false
	}
	switch s.Name {
	case "run", "lift":
		return p.runOrLift(s), true
	case "temp", "evap_temp":
		if p.testAt(q.from) == holdingTest {
			return "", false
		}
	case "line":
		if p.hasSuction(s) {
			return vocab.SuctionLineTemp, true
		}
		return p.askKeys(s.Ask), true
	case "suction":
		if p.seen(vocab.PumpdownPressure) && p.testAt(q.from) == pumpdownTest && !p.seen(vocab.PumpdownRisePressure) {
			return vocab.PumpdownRisePressure, true
		}
	case "discharge":
		return p.bareDischarge(s, q), true
	case "liquid":
		return p.bareLiquid(s, q), true
	case "vacuum":
		if q.value >= 50 {
			return vocab.VacuumLevel, true
		}
		return p.askKeys(s.Ask), true
	case "test", "rise", "hold", "pumpdown":
		return p.inContext(s, s.Bare, q)
	case "riser_rise":
		return "", false
	case "volts", "amps", "ohms":
		if p.plateNear(q) && s.Name != "ohms" {
			return map[string]vocab.Key{"volts": vocab.RatedVolts, "amps": vocab.RatedAmps}[s.Name], true
		}
		if q.size > 1 {
			return s.Triple[min(q.place, 2)], true
		}
		return p.askKeys(s.Ask), true
	case "plate":
		return p.barePlate(q), true
	case "capacity":
		return p.bareHeat(vocab.Capacity, q)
	case "min_capacity":
		return p.bareHeat(vocab.MinCapacity, q)
	case "starts":
		return vocab.StartsPerHour, p.t[s.from].Text != "starts" || s.to-s.from > 1
	case "altitude":
		return vocab.Altitude, true
	case "charge", "system_charge":
		return p.askKeys(s.Ask), len(s.Words) > 0 && p.t[s.from].Text != "holds"
	case "added", "accumulator", "age":
		return "", false
	case "box":
		if strings.Contains(p.textOf(s.from, s.to), "box") && q.spelled && q.value < 4 {
			return "", false
		}
	}
	if s.Bare != "" {
		return s.Bare, !(q.spelled && q.value == 1)
	}
	if len(s.Ask) > 0 && !(q.spelled && q.value < 5) {
		return p.askKeys(s.Ask), true
	}
	return "", false
}

// runOrLift tells whose run or lift it is by the line that the message is about.
func (p *parse) runOrLift(s *slotAt) vocab.Key {
	liquid, suction := false, false
	for _, o := range p.slots {
		switch {
		case strings.HasPrefix(o.Name, "liquid"):
			liquid = true
		case strings.HasPrefix(o.Name, "suction"), o.Name == "riser":
			suction = true
		}
	}
	switch {
	case liquid && !suction && s.Name == "run":
		return vocab.LiquidRun
	case suction && !liquid && s.Name == "run":
		return vocab.SuctionRun
	case liquid && !suction:
		return vocab.LiquidLift
	}
	return p.askKeys(s.Ask)
}

// hasSuction reports a suction pressure in the same breath, which makes a bare
// "line" the suction line.
func (p *parse) hasSuction(line *slotAt) bool {
	for _, s := range p.slots {
		if s.Name == "suction" {
			return true
		}
		if s.Name == "suction_line" && s.from == line.to {
			return true
		}
	}
	for _, r := range p.m.Readings {
		if r.Key == vocab.SuctionPressure {
			return true
		}
	}
	return false
}

// bareDischarge: next to a suction pressure it is a pressure, beside a head
// pressure it is the line's temperature, alone it is asked about.
func (p *parse) bareDischarge(s *slotAt, q *quantity) vocab.Key {
	head, suction := p.ctx.known(vocab.DischargePressure), false
	for _, o := range p.slots {
		head = head || o.Name == "head"
		suction = suction || o.Name == "suction"
	}
	for _, r := range p.m.Readings {
		head = head || r.Key == vocab.DischargePressure
	}
	switch {
	case head:
		return vocab.DischargeLineTemp
	case suction:
		return vocab.DischargePressure
	}
	return p.askKeys(s.Ask)
}

// bareLiquid is a temperature where the head pressure shows that it can't be the
// liquid's pressure.
func (p *parse) bareLiquid(s *slotAt, q *quantity) vocab.Key {
	head := 0.0
	if r, ok := p.ctx.Last[vocab.DischargePressure]; ok && r.Unit == units.CodePSIG {
		head = r.Value
	}
	for _, r := range p.m.Readings {
		if r.Key == vocab.DischargePressure && r.Unit == units.CodePSIG {
			head = r.Value
		}
	}
	sizes := 0
	for _, o := range p.nums {
		if o.fraction {
			sizes++
		}
	}
	switch {
	case head > 0 && q.value < head-60 && q.value < 130:
		return vocab.LiquidLineTemp
	case head > 0 && math.Abs(q.value-head) <= 25 && q.value > 135:
		return vocab.LiquidPressure
	}
	return p.askKeys(s.Ask)
}

func (p *parse) plateNear(q *quantity) bool {
	for _, s := range p.slots {
		if s.Plate && p.sentence[s.from] == p.sentence[q.from] && p.chunk[s.from] == p.chunk[q.from] {
			return true
		}
	}
	return false
}

// nominal volts of supplies; common practice.
var nominal = []float64{115, 120, 200, 208, 220, 230, 240, 277, 380, 400, 415, 440, 460, 480, 575, 600}

func (p *parse) barePlate(q *quantity) vocab.Key {
	for _, v := range nominal {
		if q.value == v {
			return vocab.RatedVolts
		}
	}
	if q.value < 100 {
		return vocab.RatedAmps
	}
	return "ask:rated_amps rated_volts"
}

// bareHeat reads a load without a unit as Btu/h when it is large enough to be one.
func (p *parse) bareHeat(key vocab.Key, q *quantity) (vocab.Key, bool) {
	switch {
	case q.value >= 2000:
		return key, true
	case key == vocab.Capacity && p.wordIs("capacity", "cap", "capacidad"):
		return "ask:capacity", true
	}
	return "", false
}

func (p *parse) wordIs(words ...string) bool {
	for _, t := range p.t {
		for _, w := range words {
			if t.Text == w {
				return true
			}
		}
	}
	return false
}

// leg reads L1-L2 462, T1-T2 1.4, leg A 31.
func (p *parse) leg(s *slotAt, q *quantity) (vocab.Key, bool) {
	what := q.kind()
	if what == "" {
		switch first := p.t[s.from].Text; {
		case strings.HasPrefix(first, "l") && len(s.Legs) == 2:
			what = lexicon.Volt
		case strings.HasPrefix(first, "t") && len(s.Legs) == 2:
			what = lexicon.Ohm
		case len(s.Legs) == 1:
			what = lexicon.Amp
		case p.unitInSentence(q, lexicon.Ohm) || q.value < 50:
			what = lexicon.Ohm
		default:
			what = lexicon.Volt
		}
		if p.unitInSentence(q, lexicon.Amp) && len(s.Legs) == 1 {
			what = lexicon.Amp
		}
	}
	name := map[lexicon.Kind]string{lexicon.Volt: "volts_", lexicon.Ohm: "ohms_", lexicon.Amp: "amps_"}[what]
	if name == "" || what == lexicon.Amp && len(s.Legs) != 1 || what != lexicon.Amp && len(s.Legs) != 2 {
		return "", false
	}
	if s.to > q.from {
		return "", false // a leg stands before its number
	}
	return vocab.Key(name + s.Legs), true
}

func (p *parse) unitInSentence(q *quantity, kind lexicon.Kind) bool {
	for _, s := range p.slots {
		if p.sentence[s.from] == p.sentence[q.from] && s.Takes[kind] != "" && s.Legs == "" {
			return true
		}
	}
	for _, o := range p.nums {
		if o.kind() == kind && p.sentence[o.from] == p.sentence[q.from] {
			return true
		}
	}
	return false
}

// triple gives three numbers in a row to the legs.
func (p *parse) triple(i int) bool {
	row := p.nums[i : i+3]
	slot := p.tripleSlot(row)
	if slot == nil {
		return false
	}
	for k := range row {
		row[k].used = true
		if row[k].unit == nil {
			row[k].unit = row[2].unit
		}
		p.take(row[k].from, row[k].to)
		if other := (row[0].value + row[1].value + row[2].value - row[k].value) / 2; row[k].value < 0.25*other || row[k].value > 4*other {
			p.ask(string(slot.Triple[k]), p.textOf(row[k].from, row[k].to)+" is far off the other two legs.")
			continue
		}
		p.put(&row[k], slot.Triple[k])
	}
	return true
}

// tripleSlot finds what three numbers are: by their unit, a slot near, or as volts
// by their size.
func (p *parse) tripleSlot(row []quantity) *lexicon.Slot {
	kind := row[2].kind()
	var best *lexicon.Slot
	least := math.Inf(1)
	for i := range p.slots {
		s := &p.slots[i]
		if len(s.Triple) == 0 || kind != "" && s.Takes[kind] == "" || p.sentence[s.from] != p.sentence[row[0].from] {
			continue
		}
		for _, q := range []*quantity{&row[0], &row[2]} {
			if c, ok := p.distance(s, q); ok && c < least && !s.taken["triple"] {
				best, least = s.Slot, c
			}
		}
	}
	if best != nil {
		for i := range p.slots {
			if p.slots[i].Slot == best {
				p.take(p.slots[i].from, p.slots[i].to)
			}
		}
		return best
	}
	for i := range p.r.words.Slots {
		s := &p.r.words.Slots[i]
		if len(s.Triple) > 0 && kind != "" && s.Takes[kind] != "" {
			return s
		}
		if s.Name == "volts" && kind == "" && row[0].value >= 100 && row[0].value < 650 && row[0].kindred(&row[2]) && row[0].kindred(&row[1]) && max(row[0].value, row[1].value, row[2].value) < 1.2*min(row[0].value, row[1].value, row[2].value) {
			return s
		}
	}
	return nil
}
