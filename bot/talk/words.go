package talk

import (
	"coldcase/calc/derive"
	"coldcase/refdata/vocab"
)

// shortNames are readings as techs say them.
var shortNames = map[vocab.Key]string{
	vocab.SuctionPressure: "suction", vocab.DischargePressure: "head", vocab.LiquidPressure: "liquid pressure",
	vocab.NetOilPressure: "net oil", vocab.SuctionFilterDrop: "suction filter drop", vocab.LiquidDrierDrop: "drier drop",
	vocab.CutInPressure: "cut-in", vocab.CutOutPressure: "cut-out", vocab.TestPressureStart: "test start", vocab.TestPressureEnd: "test end",
	vocab.SuctionLineTemp: "suction line", vocab.EvapOutletTemp: "coil outlet", vocab.LiquidLineTemp: "liquid line",
	vocab.DischargeLineTemp: "discharge line", vocab.SumpTemp: "sump", vocab.BoxTemp: "box", vocab.AmbientTemp: "ambient",
	vocab.TestTempStart: "test start temp", vocab.TestTempEnd: "test end temp", vocab.Superheat: "superheat (stated)", vocab.Subcooling: "subcooling (stated)",
	vocab.RiserHeight: "riser height", vocab.RiserSize: "riser", vocab.SuctionLineSize: "suction line size", vocab.LiquidLineSize: "liquid line size",
	vocab.DischargeLineSize: "discharge line size", vocab.SuctionRun: "suction run", vocab.LiquidRun: "liquid run", vocab.LiquidLift: "liquid lift",
	vocab.Capacity: "capacity", vocab.MinCapacity: "lowest load", vocab.SystemCharge: "charge", vocab.ChargeAdded: "added",
	vocab.AccumulatorVolume: "accumulator", vocab.Altitude: "altitude", vocab.VoltsAb: "L1-L2", vocab.VoltsBc: "L2-L3", vocab.VoltsCa: "L3-L1",
	vocab.AmpsA: "amps L1", vocab.AmpsB: "amps L2", vocab.AmpsC: "amps L3", vocab.RatedVolts: "plate volts", vocab.RatedAmps: "RLA",
	vocab.LockedRotorAmps: "LRA", vocab.OhmsAb: "ohms 1-2", vocab.OhmsBc: "ohms 2-3", vocab.OhmsCa: "ohms 3-1", vocab.InsulationMegohms: "insulation",
	vocab.VacuumLevel: "vacuum", vocab.VacuumRiseLevel: "vacuum after hold", vocab.VacuumHoldTime: "hold", vocab.PumpdownPressure: "pumped down to",
	vocab.PumpdownRisePressure: "rose to", vocab.PumpdownWaitTime: "wait", vocab.StartsPerHour: "starts", vocab.CompressorAge: "compressor age",
}

// numberTitles are the computed numbers in words.
var numberTitles = map[derive.Name]string{
	derive.SatSuctionTemp: "dew at suction", derive.SatDischargeTemp: "dew at head", derive.SatLiquidTemp: "bubble at head",
	derive.EvapSuperheat: "coil superheat", derive.TotalSuperheat: "superheat at the compressor", derive.Subcooling: "subcooling",
	derive.CompressionRatio: "ratio", derive.DischargeSuperheat: "discharge superheat", derive.ExpectedDischargeTemp: "expected discharge",
	derive.CondensingSplit: "condensing split", derive.EvapTD: "coil TD", derive.MassFlow: "mass flow", derive.SuctionVelocity: "suction velocity",
	derive.RiserVelocity: "riser velocity", derive.RiserMinCapacity: "oil needs at least", derive.RiserPressureDrop: "riser friction",
	derive.LiquidStaticLoss: "lift costs", derive.FlashMargin: "margin against flash", derive.VoltageUnbalance: "voltage unbalance",
	derive.CurrentUnbalance: "current unbalance", derive.ResistanceUnbalance: "winding unbalance", derive.SumpSuperheat: "sump above saturation",
	derive.PumpdownLeakRate: "leak-by", derive.VacuumRise: "vacuum rise", derive.HoldingTestChange: "test change beyond temperature",
	derive.LeakRate: "leak rate a year", derive.AccumulatorNeeded: "accumulator needed",
}

// supportFirst is the order in which numbers are told.
var supportFirst = []derive.Name{
	derive.SatSuctionTemp, derive.TotalSuperheat, derive.EvapSuperheat, derive.Subcooling, derive.CompressionRatio, derive.DischargeSuperheat,
	derive.CondensingSplit, derive.RiserVelocity, derive.RiserMinCapacity, derive.FlashMargin, derive.LiquidStaticLoss, derive.SumpSuperheat,
	derive.PumpdownLeakRate, derive.VoltageUnbalance, derive.CurrentUnbalance, derive.ResistanceUnbalance, derive.HoldingTestChange,
	derive.VacuumRise, derive.AccumulatorNeeded, derive.LeakRate, derive.EvapTD, derive.ExpectedDischargeTemp, derive.SatDischargeTemp,
	derive.MassFlow, derive.SuctionVelocity, derive.RiserPressureDrop, derive.SatLiquidTemp,
}

// How is the answer to the help word.
func howAnswer() Answer {
	return Answer{
		Notice: []string{"Text me readings and what you see; I keep them under a case number. Example: R404A suct 18 head 235 line 40 liq line 88, oil dark, grounded."},
		Sections: []Section{{Title: "Words", Lines: []string{
			"more: rest of the last reply", "new: next readings start a new case", "case N: go to that case", "undo: take back your last message",
			"why: evidence for and against", "plan: what to fit, clean and check", "watch: follow-up visits", "close CAUSE: close it with the confirmed cause",
			"us, metric: units of the replies",
		}}},
		Hint: "Advice for qualified people. Local codes, licence rules and the equipment maker's data come first and override this.",
	}
}
