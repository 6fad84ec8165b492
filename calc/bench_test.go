package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/calc/cycle"
	"coldcase/calc/elec"
	"coldcase/calc/pipe"
	"coldcase/calc/props"
	"coldcase/calc/protect"
	"coldcase/calc/service"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
)

// message is what one full text gives: pressures, temperatures, pipe, load, volts.
type message struct {
	fluid                        *props.Fluid
	air, suction, head, liquidP  units.Pressure
	line, coil, liquid, box, amb units.Temperature
	riser, liquidTube            tube.Tube
}

func fullMessage(tb testing.TB, name string) message {
	fl, err := props.Lookup(name)
	require.NoError(tb, err)
	air, err := cycle.Air(0)
	require.NoError(tb, err)
	riser, err := tube.ACR(units.Inches(1.125))
	require.NoError(tb, err)
	liquid, err := tube.ACR(units.Inches(0.625))
	require.NoError(tb, err)
	suction, err := fl.DewPressure(f(-20))
	require.NoError(tb, err)
	head, err := fl.DewPressure(f(97))
	require.NoError(tb, err)
	return message{fl, air, suction, head, head.Add(-units.PSI(2)), f(38), f(-14), f(75), f(-6), f(81), riser, liquid}
}

// everything that one full message suffices for; it reports the first error.
func (m *message) everything() (err error) {
	keep := func(e error) {
		if e != nil && err == nil {
			err = e
		}
	}
	for _, of := range [...]struct {
		pipe units.Temperature
		at   units.Pressure
	}{{m.line, m.suction}, {m.coil, m.suction}, {f(214), m.head}} {
		_, e := cycle.Superheat(m.fluid, of.pipe, of.at)
		keep(e)
	}
	_, e := cycle.Subcooling(m.fluid, m.liquid, m.liquidP)
	keep(e)
	_, e = cycle.CondensingSplit(m.fluid, m.amb, m.head)
	keep(e)
	_, e = cycle.CompressionRatio(m.head, m.suction)
	keep(e)
	_, e = cycle.DischargeTemp(m.fluid, m.suction, m.line, m.head, units.Percent(65))
	keep(e)
	gas, e := m.fluid.AtTP(m.line, m.suction)
	keep(e)
	out, e := m.fluid.AtTP(m.coil, m.suction)
	keep(e)
	h, e := cycle.LiquidEnthalpy(m.fluid, m.liquid)
	keep(e)
	flow, e := cycle.MassFlow(units.BtuPerHour(31500), out.H, h)
	keep(e)
	d := pipe.Duty{Fluid: m.fluid, State: gas, Viscosity: pipe.GasViscosity(m.fluid, gas), Flow: flow, Least: units.Percent(33)}
	_, e = pipe.Try(d, m.riser, units.Feet(26))
	keep(e)
	liquid, e := m.fluid.LiquidAtBubble(m.liquid)
	keep(e)
	run := pipe.LiquidRun{Tube: m.liquidTube, Flow: flow, Viscosity: pipe.LiquidViscosity(m.fluid, liquid), Equivalent: units.Feet(140), Lift: units.Feet(10), Before: units.PSI(2), After: units.PSI(3)}
	_, e = pipe.LiquidLine(m.fluid, m.liquidP, m.liquid, run)
	keep(e)
	_, _, e = protect.SumpMargin(m.fluid, f(60), m.suction)
	keep(e)
	_, e = protect.AccumulatorVolume(m.fluid, units.Pounds(46), units.Percent(50), f(40))
	keep(e)
	u, e := elec.Unbalance(units.Volts(471), units.Volts(462), units.Volts(449))
	keep(e)
	_, e = elec.Derating(u)
	keep(e)
	_, e = elec.InsulationAt40C(units.Megohms(38), units.Celsius(22))
	keep(e)
	_, _, e = service.HoldingChange(units.PSIG(305), f(91), units.PSIG(284.5), f(58), m.air)
	keep(e)
	_, e = service.AnnualizedLeakRate(units.Pounds(44), units.Pounds(310), units.Days(141))
	keep(e)
	return err
}

// The full set on one message: 100 us or less.
func BenchmarkFullMessage(b *testing.B) {
	for _, name := range []string{"R404A", "R448A", "R134a"} {
		b.Run(name, func(b *testing.B) {
			m := fullMessage(b, name)
			require.NoError(b, m.everything()) // the first message opens the tables
			b.ReportAllocs()
			for b.Loop() {
				if err := m.everything(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkSizeSuctionRiser(b *testing.B) {
	m := fullMessage(b, "R404A")
	gas, err := m.fluid.AtTP(m.line, m.suction)
	require.NoError(b, err)
	d := pipe.Duty{Fluid: m.fluid, State: gas, Viscosity: pipe.GasViscosity(m.fluid, gas), Flow: units.PoundsPerHour(610), Least: units.Percent(33)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := pipe.SizeSuctionRiser(d, units.Feet(30)); err != nil {
			b.Fatal(err)
		}
	}
}

// The inner functions allocate nothing. The race detector empties pools at random,
// so the count is taken in the run without it.
func TestFormulasAllocateNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("counted in the full run")
	}
	for _, name := range []string{"R404A", "R448A", "R134a"} {
		m := fullMessage(t, name)
		require.NoError(t, m.everything())
		assert.Zero(t, testing.AllocsPerRun(20, func() { _ = m.everything() }), name)
	}
}
