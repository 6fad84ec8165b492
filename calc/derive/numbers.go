package derive

import (
	"coldcase/calc/cycle"
	"coldcase/calc/props"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// The numbers of interfaces.md.
const (
	SatSuctionTemp        Name = "sat_suction_temp"
	SatDischargeTemp      Name = "sat_discharge_temp"
	SatLiquidTemp         Name = "sat_liquid_temp"
	EvapSuperheat         Name = "evap_superheat"
	TotalSuperheat        Name = "total_superheat"
	Subcooling            Name = "subcooling"
	CompressionRatio      Name = "compression_ratio"
	DischargeSuperheat    Name = "discharge_superheat"
	ExpectedDischargeTemp Name = "expected_discharge_temp"
	CondensingSplit       Name = "condensing_split"
	EvapTD                Name = "evap_td"
	MassFlow              Name = "mass_flow"
	SuctionVelocity       Name = "suction_velocity"
	RiserVelocity         Name = "riser_velocity"
	RiserMinCapacity      Name = "riser_min_capacity"
	RiserPressureDrop     Name = "riser_pressure_drop"
	LiquidStaticLoss      Name = "liquid_static_loss"
	FlashMargin           Name = "flash_margin"
	VoltageUnbalance      Name = "voltage_unbalance"
	CurrentUnbalance      Name = "current_unbalance"
	ResistanceUnbalance   Name = "resistance_unbalance"
	SumpSuperheat         Name = "sump_superheat"
	PumpdownLeakRate      Name = "pumpdown_leak_rate"
	VacuumRise            Name = "vacuum_rise"
	HoldingTestChange     Name = "holding_test_change"
	LeakRate              Name = "leak_rate_pct_per_year"
	AccumulatorNeeded     Name = "accumulator_needed"
)

// Numbers computes everything that the record gives. A number that can't be had
// is absent, never 0; Missing says what it needs. A value in doubt is not used.
func Numbers(rec Record) Result {
	var out Result
	air := rec.air(&out)
	fluid := rec.fluid(&out)
	list := groups(&rec, fluid, air, &out)
	for _, g := range list {
		g.heating = rec.Circumstances[vocab.HeatingMode]
		g.findDoubts(rec)
		g.atRest()
		g.settings()
		g.cycleNumbers()
		g.pipeNumbers(rec)
		g.electricNumbers(rec)
		g.sumpNumbers()
	}
	if len(list) > 0 {
		last := list[len(list)-1]
		last.testNumbers()
		last.protectionNumbers(rec)
		last.leakNumbers(rec)
		last.missing(rec)
	}
	return out
}

// air is the pressure around the gauges; the altitude of an unknown site is
// taken as sea level, which the numbers that rest on it say.
func (rec *Record) air(out *Result) units.Pressure {
	z := units.Feet(0)
	for _, o := range rec.Observations {
		if o.Key == vocab.Altitude {
			if si, err := vocab.SI(o.Reading, 0); err == nil {
				z = units.Length(si)
			}
		}
	}
	air, err := cycle.Air(z)
	if err != nil {
		out.Doubts = append(out.Doubts, Doubt{Key: vocab.Altitude, Why: "That altitude can't be right."})
		air, _ = cycle.Air(0)
	}
	return air
}

func (rec *Record) fluid(out *Result) *props.Fluid {
	name := rec.Facts[vocab.Refrigerant]
	if name == "" {
		return nil
	}
	if rec.Circumstances[vocab.MixedGas] {
		out.Doubts = append(out.Doubts, Doubt{Fact: vocab.Refrigerant, Fault: WrongRefrigerant, Why: "Topped with something else: no table fits a mix. What is in it?"})
		return nil
	}
	if rec.Circumstances[vocab.GasUnsure] {
		out.Doubts = append(out.Doubts, Doubt{Fact: vocab.Refrigerant, Fault: WrongRefrigerant, Why: "Nobody is sure it is " + name + ". What is in it?"})
		return nil
	}
	f, err := props.Lookup(name)
	if err != nil {
		out.Doubts = append(out.Doubts, Doubt{Fact: vocab.Refrigerant, Why: name + " is not a refrigerant I have numbers for."})
		return nil
	}
	return f
}
