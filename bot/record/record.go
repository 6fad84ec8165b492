// Package record gathers the messages of a case into the record that numbers and
// rules are worked out from. Pure: it holds no clock and no store.
package record

import (
	"maps"
	"time"

	"coldcase/bot/intake"
	"coldcase/calc/derive"
	"coldcase/refdata/vocab"
)

// quiet is how long nothing may be said before the next message is a new visit.
const quiet = 2 * time.Hour

// Builder gathers messages in order.
type Builder struct {
	rec    derive.Record
	last   time.Time
	visit  int
	asked  string
	asks   []intake.Ask            // still open
	which  bool                    // a number is still open of which nothing is known
	now    point                   // where the case stands in its course
	seenAt map[vocab.Finding]point // where each finding was told
	loose  []loose                 // numbers that could be several readings
	open   string                  // the number that the last message left without a name
}

// New starts an empty record.
func New() *Builder {
	return &Builder{rec: derive.Record{Facts: vocab.Facts{}, Findings: map[vocab.Finding]bool{}, Circumstances: map[vocab.Circumstance]bool{}, Replaced: derive.Replaced{Findings: map[vocab.Finding]bool{}, Circumstances: map[vocab.Circumstance]bool{}}}, visit: 1, seenAt: map[vocab.Finding]point{}}
}

// Add files a message that was sent at a time.
func (b *Builder) Add(m intake.Message, at time.Time) {
	if !b.last.IsZero() && (at.Sub(b.last) > quiet || m.NewVisit) && b.hasReadings() {
		b.visit++
	}
	b.last = at
	if m.Circumstances[vocab.CompressorChanged] && !b.rec.Circumstances[vocab.CompressorChanged] {
		b.replace()
	}
	b.setAside(m)
	for _, r := range b.ofTheMachine(m) {
		b.rec.Observations = append(b.rec.Observations, derive.Observation{Reading: r.Reading, At: at, Visit: b.visit, State: r.State, Settling: r.Settling})
	}
	maps.Copy(b.rec.Facts, m.Facts)
	maps.Copy(b.rec.Findings, m.Findings)
	for c, yes := range m.Circumstances {
		if yes || b.rec.Circumstances[c] {
			b.rec.Circumstances[c] = yes
		}
	}
	if b.rec.Circumstances[vocab.CompressorChanged] && saysDead(m) {
		delete(b.rec.Circumstances, vocab.CompressorChanged) // the replacement is dead as well
	}
	b.tellOf(m)
	b.now.visit = b.visit
	b.passed(m)
	if gaugesRight(m) {
		delete(b.rec.Circumstances, vocab.SwappedGauges)
	}
	b.rec.Visit, b.open = b.visit, m.Pending
	b.settleAsks(m)
}

// ofTheMachine are the readings of a message without what is measured elsewhere:
// volts of the feed beside those of the running machine are not its own, and the
// suction behind a shut service valve is no running suction.
func (b *Builder) ofTheMachine(m intake.Message) []intake.Reading {
	var out []intake.Reading
	for _, r := range m.Readings {
		switch {
		case m.Circumstances[vocab.SupplyVolts] && isVolts(r.Key) && b.knows(string(r.Key)):
			continue
		case m.Circumstances[vocab.NoPullDownClosed] && r.Key == vocab.SuctionPressure && b.knows(string(r.Key)):
			r.State = vocab.Standing
		}
		out = append(out, r)
	}
	return out
}

func isVolts(k vocab.Key) bool {
	return k == vocab.VoltsAb || k == vocab.VoltsBc || k == vocab.VoltsCa
}

// saysDead: the machine that is in now won't run. What is seen in one that was
// taken apart is told of the old one.
func saysDead(m intake.Message) bool {
	c, f := m.Circumstances, m.Findings
	if c[vocab.CompressorChanged] || c[vocab.OpenedUp] || c[vocab.EarlierBurnout] {
		return false
	}
	return c[vocab.Dead] || c[vocab.TripsAtOnce] || f[vocab.Grounded] || f[vocab.LockedRotor] || f[vocab.OpenWinding]
}

// gaugesRight: both pressures were read the right way round.
func gaugesRight(m intake.Message) bool {
	suction, discharge := false, false
	for _, r := range m.Readings {
		suction = suction || r.Key == vocab.SuctionPressure
		discharge = discharge || r.Key == vocab.DischargePressure
	}
	return suction && discharge
}

func (b *Builder) hasReadings() bool { return len(b.rec.Observations) > 0 }

func (b *Builder) knows(key string) bool {
	for _, o := range b.rec.Observations {
		if string(o.Key) == key {
			return true
		}
	}
	if _, ok := b.rec.Facts[vocab.Fact(key)]; ok {
		return true
	}
	_, ok := b.rec.Findings[vocab.Finding(key)]
	return ok
}

// Asked notes what the helper asked for, so that a bare number answers it.
func (b *Builder) Asked(key string) { b.asked = key }

// OpenAsks are the message-level questions that are still open.
func (b *Builder) OpenAsks() []intake.Ask { return b.asks }

// SetMetric notes the sender's choice of units.
func (b *Builder) SetMetric(metric bool) { b.rec.Metric = &metric }

// Record is the case so far.
func (b *Builder) Record() derive.Record { return b.rec }

// Context is what the next message is read by.
func (b *Builder) Context() intake.Context {
	c := intake.Context{Asked: vocab.Key(b.asked), AskedFact: vocab.Fact(b.asked), Refrigerant: b.rec.Facts[vocab.Refrigerant], Last: map[vocab.Key]vocab.Reading{}, Pending: b.open}
	for _, o := range b.rec.Observations {
		c.Last[o.Key] = o.Reading
	}
	return c
}
