package record

import (
	"slices"

	"coldcase/bot/intake"
	"coldcase/refdata/vocab"
)

// loose is a number of which it is not known which reading it is.
type loose struct {
	could []vocab.Reading
	visit int
}

// settleAsks keeps the message-level questions that no later message answered. What
// was known before the value that was asked about answers nothing.
func (b *Builder) settleAsks(m intake.Message) {
	b.loose = slices.DeleteFunc(b.loose, func(l loose) bool {
		settled := slices.ContainsFunc(l.could, func(r vocab.Reading) bool { return gives(m, string(r.Key)) })
		if settled || l.visit < b.visit {
			b.drop(l.could)
		}
		return settled || l.visit < b.visit
	})
	b.asks = slices.DeleteFunc(b.asks, func(a intake.Ask) bool { return gives(m, a.Key) })
	b.which = b.which && len(m.Readings) == 0
	for _, a := range m.Asks {
		if a.Key == intake.WhichReading {
			b.which = true
			continue
		}
		b.asks = append(b.asks, a)
	}
	for _, could := range m.Loose {
		b.loose = append(b.loose, loose{could, b.visit})
	}
	b.rec.Loose, b.rec.InQuestion = b.stillLoose(), b.inQuestion()
}

// drop takes out what was asked of a number that is settled.
func (b *Builder) drop(could []vocab.Reading) {
	b.asks = slices.DeleteFunc(b.asks, func(a intake.Ask) bool {
		return slices.ContainsFunc(could, func(r vocab.Reading) bool { return string(r.Key) == a.Key })
	})
}

// gives reports a message that tells a key.
func gives(m intake.Message, key string) bool {
	_, fact := m.Facts[vocab.Fact(key)]
	_, finding := m.Findings[vocab.Finding(key)]
	return fact || finding || slices.ContainsFunc(m.Readings, func(r intake.Reading) bool { return string(r.Key) == key })
}

// stillLoose are the open numbers as what they could be: not what this visit knows
// already by another number.
func (b *Builder) stillLoose() (out [][]vocab.Reading) {
	for _, l := range b.loose {
		could := slices.DeleteFunc(slices.Clone(l.could), func(r vocab.Reading) bool { return b.measured(r.Key) })
		if len(could) > 0 {
			out = append(out, could)
		}
	}
	return out
}

// measured: this visit has a value of a key.
func (b *Builder) measured(k vocab.Key) bool {
	for _, o := range b.rec.Observations {
		if o.Key == k && o.Visit == b.visit {
			return true
		}
	}
	return false
}

// inQuestion are the open questions about what was measured or seen: not those about
// what the machine is or where it stands, nor those of loose numbers.
func (b *Builder) inQuestion() (keys []vocab.Key) {
	for _, a := range b.asks {
		isLoose := slices.ContainsFunc(b.loose, func(l loose) bool {
			return slices.ContainsFunc(l.could, func(r vocab.Reading) bool { return string(r.Key) == a.Key })
		})
		if !isLoose && (!vocab.IsFact(a.Key) || a.Key == string(vocab.Refrigerant)) {
			keys = append(keys, vocab.Key(a.Key))
		}
	}
	if b.which {
		keys = append(keys, intake.WhichReading)
	}
	return keys
}
