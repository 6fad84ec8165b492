package record

import (
	"coldcase/bot/intake"
	"coldcase/refdata/vocab"
)

// replace leaves what was told so far of the compressor to the one that is out.
func (b *Builder) replace() {
	for i := range b.rec.Observations {
		o := &b.rec.Observations[i]
		o.Replaced = o.Replaced || vocab.KeyOfMachine(o.Key)
	}
	for f := range b.rec.Findings {
		if vocab.FindingOfMachine(f) {
			b.rec.Replaced.Findings[f] = true
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
	changed := b.rec.Circumstances[vocab.CompressorChanged]
	for f := range m.Findings {
		if changed && (vocab.SeenInside(f) || m.Circumstances[vocab.OpenedUp] && vocab.FindingOfMachine(f)) {
			b.rec.Replaced.Findings[f] = true
		} else {
			delete(b.rec.Replaced.Findings, f)
		}
	}
	for c := range m.Circumstances {
		if changed && c == vocab.OpenedUp {
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
