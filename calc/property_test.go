package calc

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/calc/pipe"
	"coldcase/calc/props"
	"coldcase/refdata/limits"
	"coldcase/refdata/tube"
	"coldcase/refdata/units"
)

// randomDuty is a suction line's: a refrigerant, an evaporating temperature, a
// superheat and a load anywhere that the trade works.
func randomDuty(t *testing.T, rng *rand.Rand) pipe.Duty {
	t.Helper()
	names := [...]string{"R404A", "R448A", "R134a", "R290", "R22", "R744", "R717"}
	fl, err := props.Lookup(names[rng.IntN(len(names))])
	require.NoError(t, err)
	evap := f(-25 + 60*rng.Float64())
	p, err := fl.DewPressure(evap)
	require.NoError(t, err)
	gas, err := fl.AtTP(evap.Add(units.DegreesF(3+40*rng.Float64())), p)
	require.NoError(t, err)
	return pipe.Duty{Fluid: fl, State: gas, Viscosity: pipe.GasViscosity(fl, gas), Flow: units.PoundsPerHour(30 + 3000*rng.Float64()), Least: units.Percent(10 + 90*rng.Float64())}
}

func TestLossesRiseWithFlowAndFallWithDiameter(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	sizes := tube.Sizes()
	for range 300 {
		d := randomDuty(t, rng)
		length := units.Feet(5 + 200*rng.Float64())
		i := rng.IntN(len(sizes) - 1)
		small, err := pipe.Friction(d.Flow, d.State.Rho, d.Viscosity, sizes[i], length)
		require.NoError(t, err)
		large, err := pipe.Friction(d.Flow, d.State.Rho, d.Viscosity, sizes[i+1], length)
		require.NoError(t, err)
		assert.Less(t, large, small, "%s to %s", sizes[i].Nominal, sizes[i+1].Nominal)
		more, err := pipe.Friction(units.MassFlow(float64(d.Flow)*1.1), d.State.Rho, d.Viscosity, sizes[i], length)
		require.NoError(t, err)
		assert.Greater(t, more, small)
	}
}

// The least velocity that lifts oil falls as the gas gets denser; the least mass
// flow rises with it, as the square root: m_min = A sqrt(… rho_g (rho_l - rho_g)).
// So the "oil-return minimum falls with density" holds for the velocity and
// not for the flow, up to half the film's density.
func TestOilMinimumWithDensity(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for range 300 {
		thin := units.KilogramsPerCubicMeter(2 + 200*rng.Float64())
		dense := units.Density(float64(thin) * 1.1)
		s := tube.Sizes()[rng.IntN(len(tube.Sizes()))]
		m1, err := pipe.LeastOilFlow(thin, pipe.OilFilm(), s)
		require.NoError(t, err)
		m2, err := pipe.LeastOilFlow(dense, pipe.OilFilm(), s)
		require.NoError(t, err)
		v1, err := pipe.Velocity(m1, thin, s)
		require.NoError(t, err)
		v2, err := pipe.Velocity(m2, dense, s)
		require.NoError(t, err)
		assert.Less(t, v2, v1, "velocity falls with density")
		assert.Greater(t, m2, m1, "mass flow rises with it")
	}
}

// A recommended riser meets loss, velocity and oil limits; where none does, no
// single size passes and the words say why.
func TestRisersMeetTheirLimitsOrSayWhyNot(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 9))
	picked, refused := 0, 0
	for range 300 {
		d := randomDuty(t, rng)
		length := units.Feet(5 + 100*rng.Float64())
		pick, err := pipe.SizeSuctionRiser(d, length)
		require.NoError(t, err)
		if pick.OK {
			picked++
			assert.LessOrEqual(t, pick.Penalty.DegreesF(), limits.Value("suction_penalty_dF"))
			assert.LessOrEqual(t, pick.Velocity.FeetPerMinute(), limits.Value("riser_max_fpm"))
			assert.GreaterOrEqual(t, pick.RatioMin, limits.Value("oil_return_least"))
			assert.Equal(t, pick.RatioMin < limits.Value("oil_return_reserve"), pick.Marginal)
			continue
		}
		refused++
		assert.NotEmpty(t, pick.Why)
		for _, fit := range pick.Tried {
			passes := fit.Penalty.DegreesF() <= limits.Value("suction_penalty_dF") && fit.Velocity.FeetPerMinute() <= limits.Value("riser_max_fpm") && fit.RatioMin >= limits.Value("oil_return_least")
			assert.False(t, passes, "%s passes and was not picked", fit.Tube.Nominal)
		}
		pair, err := pipe.DoubleRiser(d, length)
		require.NoError(t, err)
		if pair.OK {
			assert.LessOrEqual(t, pair.LossBoth.DegreesF(), limits.Value("suction_penalty_dF"))
			assert.GreaterOrEqual(t, min(pair.RatioSmall, pair.RatioLarge), limits.Value("oil_return_reserve"))
			assert.GreaterOrEqual(t, pair.SmallAlone.RatioMin, limits.Value("double_riser_reserve"))
		} else {
			assert.NotEmpty(t, pair.Why)
		}
	}
	t.Log("picked", picked, "refused with reason", refused)
	assert.Positive(t, picked)
	assert.Positive(t, refused)
}

func TestLiquidSizesMeetTheirLimitsOrSayWhyNot(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	fl, err := props.Lookup("R448A")
	require.NoError(t, err)
	for range 150 {
		p := units.PSIA(200 + 60*rng.Float64())
		bubble, err := fl.BubbleTemp(p)
		require.NoError(t, err)
		run := pipe.LiquidRun{Flow: units.PoundsPerHour(50 + 4000*rng.Float64()), Viscosity: units.PascalSeconds(140e-6), Equivalent: units.Feet(10 + 200*rng.Float64()), Lift: units.Feet(-20 + 60*rng.Float64()), Before: units.PSI(2), After: units.PSI(3)}
		pick, err := pipe.SizeLiquid(fl, p, bubble.Add(-units.DegreesF(15*rng.Float64())), run)
		require.NoError(t, err)
		if !pick.OK {
			assert.NotEmpty(t, pick.Why)
			continue
		}
		assert.GreaterOrEqual(t, pick.Losses.Margin.DegreesF(), limits.Value("flash_reserve_dF"))
		assert.LessOrEqual(t, pick.Losses.Velocity.FeetPerMinute(), limits.Value("liquid_solenoid_fpm"))
		assert.Empty(t, pick.Losses.Flash, "what has reserve does not flash")
	}
}
