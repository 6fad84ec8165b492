package record

import (
	"slices"

	"coldcase/bot/intake"
	"coldcase/refdata/vocab"
)

// replace leaves what was told so far of the compressor to the one that is out.
func (b *Builder) replace() {
	for i := range b.rec.Observations {
		o := &b.rec.Observations[i]
		o.Replaced = o.Replaced || vocab.KeyOfMachine(o.Key)
	}
	for f, seen := range b.rec.Findings {
		if vocab.FindingOfMachine(f) {
			b.rec.Replaced.Findings[f] = seen
		}
	}
	for c := range b.rec.Circumstances {
		if vocab.CircumstanceOfMachine(c) {
			b.rec.Replaced.Circumstances[c] = true
		}
	}
}

// tellOf notes of which machine the findings and circumstances of a message are. What
// is seen inside after a change is seen in the one that is out; anything else that is
// told anew is of the one that is in.
func (b *Builder) tellOf(m intake.Message) {
	changed, justNow := b.rec.Circumstances[vocab.CompressorChanged], m.Circumstances[vocab.CompressorChanged]
	for f, seen := range m.Findings {
		if changed && (vocab.SeenInside(f) || justNow && vocab.EndsMachine(f) || m.Circumstances[vocab.OpenedUp] && vocab.FindingOfMachine(f)) {
			b.rec.Replaced.Findings[f] = seen
		} else {
			delete(b.rec.Replaced.Findings, f)
		}
	}
	for c := range m.Circumstances {
		if changed && (c == vocab.OpenedUp || justNow && vocab.TellsOfEnd(c)) {
			b.rec.Replaced.Circumstances[c] = true
		} else {
			delete(b.rec.Replaced.Circumstances, c)
		}
	}
	for c, done := range m.Circumstances {
		if done {
			b.mend(c)
		}
	}
}

// setAside leaves what was measured before a repair to the machine as it was, where the
// repair moves it.
func (b *Builder) setAside(m intake.Message) {
	for c, done := range m.Circumstances {
		for i := range b.rec.Observations {
			if o := &b.rec.Observations[i]; done && c.Moves(o.Key) {
				o.Replaced = true
			}
		}
	}
}

// point is a place in the course of a case.
type point struct{ visit, repairs int }

// passed leaves what was seen of a wet machine on an earlier visit, or before a repair,
// to the machine as it was, once the suction was measured anew. Until then the liquid
// may still be there, whatever was put right.
func (b *Builder) passed(m intake.Message) {
	for f := range m.Findings {
		b.seenAt[f] = b.now
	}
	for c, done := range m.Circumstances {
		if done && c.Repairs() {
			b.now.repairs++
		}
	}
	if !slices.ContainsFunc(m.Readings, func(r intake.Reading) bool {
		return (r.Key == vocab.SuctionLineTemp || r.Key == vocab.Superheat) && r.State != vocab.Standing && !r.Settling
	}) {
		return
	}
	for _, f := range []vocab.Finding{vocab.FrostOnShell, vocab.ShellColdOrSweating, vocab.OilFoaming, vocab.NoisyStart} {
		if b.rec.Findings[f] && b.seenAt[f] != b.now {
			b.rec.Replaced.Findings[f] = true
		}
	}
}

// mend leaves what a repair ends to the machine as it was. Told anew later, it is back.
func (b *Builder) mend(repair vocab.Circumstance) {
	for f, seen := range b.rec.Findings {
		if seen && repair.MendsFinding(f) {
			b.rec.Replaced.Findings[f] = true
		}
	}
	for c, told := range b.rec.Circumstances {
		if told && repair.Mends(c) {
			b.rec.Replaced.Circumstances[c] = true
		}
	}
}
