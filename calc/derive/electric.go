package derive

import (
	"coldcase/calc/elec"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// electricNumbers are the unbalances of volts, amps and windings. The three readings
// of a single-phase motor are not meant to be alike.
func (g *group) electricNumbers(rec Record) {
	g.unbalance(VoltageUnbalance, vocab.VoltsAb, vocab.VoltsBc, vocab.VoltsCa)
	g.unbalance(CurrentUnbalance, vocab.AmpsA, vocab.AmpsB, vocab.AmpsC)
	if !rec.Circumstances[vocab.SinglePhaseSupply] {
		g.unbalance(ResistanceUnbalance, vocab.OhmsAb, vocab.OhmsBc, vocab.OhmsCa)
	}
}

func (g *group) unbalance(name Name, a, b, c vocab.Key) {
	if !g.has(a, b, c) {
		return
	}
	u, err := elec.Unbalance(g.si(a), g.si(b), g.si(c))
	if err != nil {
		return
	}
	us, si := same(u.Percent(), units.CodePercent, 0)
	g.put(name, "", us, si, "", a, b, c)
}
