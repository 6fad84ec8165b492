package derive

import "coldcase/refdata/vocab"

// missing says what the numbers of a running machine still need, the most
// telling first.
func (g *group) missing(rec Record) {
	if g.state != vocab.Running {
		return
	}
	pressures := g.has(vocab.SuctionPressure) || g.has(vocab.DischargePressure)
	if rec.Facts[vocab.Refrigerant] == "" && pressures {
		g.miss(TotalSuperheat, vocab.Refrigerant, "Which refrigerant? Pressures mean nothing without it.")
		return
	}
	g.missOne(TotalSuperheat, "the suction line temp at the compressor and I can do superheat", vocab.SuctionPressure, vocab.SuctionLineTemp)
	g.missOne(TotalSuperheat, "the suction pressure and I can do superheat", vocab.SuctionLineTemp, vocab.SuctionPressure)
	g.missOne(EvapSuperheat, "the coil outlet temp and I can do coil superheat", vocab.SuctionPressure, vocab.EvapOutletTemp)
	g.missOne(Subcooling, "the liquid line temp and I can do subcooling", vocab.DischargePressure, vocab.LiquidLineTemp)
	g.missOne(CompressionRatio, "the head pressure and I can do the ratio", vocab.SuctionPressure, vocab.DischargePressure)
	g.missOne(CondensingSplit, "the air temp into the condenser and I can judge it", vocab.DischargePressure, vocab.AmbientTemp)
	g.missOne(RiserVelocity, "the load in Btu/h and I can judge the riser", vocab.RiserSize, vocab.Capacity)
	g.missOne(RiserVelocity, "the riser's size and I can judge it", vocab.RiserHeight, vocab.RiserSize)
}

func (g *group) missOne(name Name, why string, have, want vocab.Key) {
	if g.has(have) && !g.has(want) {
		g.out.Missing = append(g.out.Missing, Missing{Name: name, Keys: []vocab.Key{want}, Why: "Send " + why + "."})
	}
}

func (g *group) miss(name Name, fact vocab.Fact, why string) {
	g.out.Missing = append(g.out.Missing, Missing{Name: name, Fact: fact, Why: why})
}
