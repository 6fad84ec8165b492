package calc

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/calc/cycle"
	"coldcase/calc/elec"
	"coldcase/calc/pipe"
	"coldcase/calc/props"
	"coldcase/calc/protect"
	"coldcase/calc/service"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// Every row of worked_examples.csv, every figure of it.
func TestWorkedExamples(t *testing.T) {
	rows := published(t, "worked_examples.csv", "id", "topic", "inputs", "expected", "tolerance", "source", "from_memory")
	for _, r := range rows {
		t.Run(r.Text("id"), func(t *testing.T) {
			work, ok := workers[r.Text("topic")]
			require.True(t, ok, "no worker for %s", r.Text("topic"))
			got := work(t, parse(r.Text("inputs")))
			for key, printed := range parse(r.Text("expected")) {
				if want, err := strconv.ParseFloat(printed, 64); err == nil {
					value, ok := got[key]
					if math.IsNaN(value) {
						t.Logf("%s: refused, outside the formula's range (%s)", key, r.Text("note"))
						continue
					}
					if assert.True(t, ok, "%s is not computed", key) {
						hold(t, r, key, want, value, tolerance(t, r.Text("tolerance"), key, printed, want))
					}
					continue
				}
				yes := map[bool]string{true: "yes", false: "no"}[got[key] < 0]
				assert.Equal(t, printed, yes, key)
			}
		})
	}
}

type results map[string]float64

// refused stands for a figure that a row prints outside its formula's range.
var refused = math.NaN()

var workers = map[string]func(*testing.T, fields) results{
	"standard atmosphere":                            atmosphere,
	"vacuum gauge":                                   vacuumGauge,
	"dew temperature at altitude":                    dewAtAltitude,
	"superheat, subcooling, ratio, splits":           cycleRow,
	"suction riser oil return":                       suctionRiser,
	"hot-gas riser oil return":                       hotGasRiser,
	"liquid line flash":                              liquidFlash,
	"friction factor":                                friction,
	"double suction riser":                           doubleRiser,
	"ideal vapour compression cycle":                 idealCycle,
	"suction line temperature drop by table scaling": scaling,
	"voltage unbalance":                              voltUnbalance,
	"voltage and current":                            voltsAndAmps,
	"insulation correction to 40 C":                  insulation,
	"winding resistance balance":                     windingBalance,
	"winding resistance temperature correction":      windingAt,
	"nitrogen holding test":                          nitrogen,
	"pump-down rise as leaked mass":                  pumpdown,
	"accumulator volume":                             accumulator,
	"liquid line charge":                             lineCharge,
	"low-pressure control":                           control,
	"suction drop as saturation temperature":         filterDrop,
}

func fluid(t *testing.T, in fields) *props.Fluid {
	t.Helper()
	name := in["name"]
	if first, _, ok := cutWord(name); ok {
		name = first
	}
	got, err := props.Lookup(name)
	require.NoError(t, err)
	return got
}

func cutWord(s string) (first, rest string, ok bool) {
	for i := range s {
		if s[i] == ' ' {
			return s[:i], s[i+1:], true
		}
	}
	return s, "", false
}

func seaLevel(t *testing.T) units.Pressure { return airAt(t, 0) }

func airAt(t *testing.T, feet float64) units.Pressure {
	t.Helper()
	air, err := cycle.Air(units.Feet(feet))
	require.NoError(t, err)
	return air
}

func atmosphere(t *testing.T, in fields) results {
	return results{"p_atm_psia": airAt(t, in.num(t, "altitude_ft")).PSIA()}
}

func vacuumGauge(t *testing.T, in fields) results {
	return results{"psia": units.InHgVacuum(in.num(t, "inHg_vac")).Abs(airAt(t, in.num(t, "altitude_ft"))).PSIA()}
}

func dewAtAltitude(t *testing.T, in fields) results {
	fl := fluid(t, in)
	g := units.PSIG(in.num(t, "suction_psig"))
	p := g.Abs(airAt(t, in.num(t, "altitude_ft")))
	here, err := fl.DewTemp(p)
	require.NoError(t, err)
	sea, err := fl.DewTemp(g.Abs(seaLevel(t)))
	require.NoError(t, err)
	return results{"psia": p.PSIA(), "dew_f": here.F(), "dew_if_sea_level_f": sea.F()}
}

func cycleRow(t *testing.T, in fields) results {
	fl, air := fluid(t, in), airAt(t, in.num(t, "altitude_ft"))
	at := func(key string) units.Pressure { return units.PSIG(in.num(t, key)).Abs(air) }
	s, d, l := at("suction_psig"), at("discharge_psig"), at("liquid_psig")
	dew, err := fl.DewTemp(s)
	require.NoError(t, err)
	condDew, err := fl.DewTemp(d)
	require.NoError(t, err)
	evapSH, err := cycle.Superheat(fl, f(in.num(t, "evap_outlet_f")), s)
	require.NoError(t, err)
	total, err := cycle.Superheat(fl, f(in.num(t, "suction_line_f")), s)
	require.NoError(t, err)
	sub, err := cycle.Subcooling(fl, f(in.num(t, "liquid_line_f")), l)
	require.NoError(t, err)
	dsh, err := cycle.Superheat(fl, f(in.num(t, "discharge_line_f")), d)
	require.NoError(t, err)
	split, err := cycle.CondensingSplit(fl, f(in.num(t, "ambient_f")), d)
	require.NoError(t, err)
	ratio, err := cycle.CompressionRatio(d, s)
	require.NoError(t, err)
	td, err := cycle.CoilTD(fl, f(in.num(t, "box_f")), s)
	require.NoError(t, err)
	mean, err := cycle.MeanEvaporating(fl, s, f(in.num(t, "liquid_line_f")))
	require.NoError(t, err)
	band, err := cycle.DischargeBand(fl, s, f(in.num(t, "suction_line_f")), d)
	require.NoError(t, err)
	return results{
		"evap_dew_f": dew.F(), "evap_superheat": evapSH.DegreesF(), "total_superheat": total.DegreesF(), "subcooling": sub.DegreesF(),
		"cond_dew_f": condDew.F(), "cond_mid_f": in.num(t, "ambient_f") + split.DegreesF(), "discharge_superheat": dsh.DegreesF(),
		"ratio": ratio, "cond_split_mid": split.DegreesF(), "evap_td_dew": td.DegreesF(), "evap_mean_f": mean.F(),
		"t_dis_eta80": band.Best.F(), "t_dis_eta65": band.Typical.F(), "t_dis_eta50": band.Poor.F(),
	}
}

// suctionDuty of a row that gives saturated suction, gas, liquid and load.
func suctionDuty(t *testing.T, in fields) (d pipe.Duty, effect units.Enthalpy) {
	t.Helper()
	fl := fluid(t, in)
	p, err := fl.DewPressure(f(in.num(t, "sat_suction_f")))
	require.NoError(t, err)
	gas, err := fl.AtTP(f(in.num(t, "suction_gas_f")), p)
	require.NoError(t, err)
	liquid, err := cycle.LiquidEnthalpy(fl, f(in.num(t, "liquid_f")))
	require.NoError(t, err)
	m, err := cycle.MassFlow(units.BtuPerHour(in.num(t, "capacity_btuh")), gas.H, liquid)
	require.NoError(t, err)
	return pipe.Duty{Fluid: fl, State: gas, Viscosity: pipe.GasViscosity(fl, gas), Flow: m, Least: units.Percent(in.num(t, "min_pct"))}, gas.H - liquid
}

func suctionRiser(t *testing.T, in fields) results {
	d, effect := suctionDuty(t, in)
	fit, err := pipe.Try(d, size(t, in["riser"]), units.Feet(in.num(t, "riser_ft")))
	require.NoError(t, err)
	v, err := pipe.Velocity(fit.LeastOil, d.State.Rho, fit.Tube)
	require.NoError(t, err)
	q, err := pipe.LeastOilLoad(fit.LeastOil, effect, units.JoulesPerKilogram(0))
	require.NoError(t, err)
	return results{
		"suction_psig": d.State.P.Gauge(seaLevel(t)).PSIG(), "dh_btulb": effect.BtuPerPound(), "mass_flow_lbh": d.Flow.PoundsPerHour(),
		"density_lbft3": d.State.Rho.PoundsPerCubicFoot(), "velocity_fpm": fit.Velocity.FeetPerMinute(), "min_flow_lbh": fit.LeastOil.PoundsPerHour(),
		"min_velocity_fpm": v.FeetPerMinute(), "min_capacity_btuh": q.BtuPerHour(), "ratio_full": fit.RatioFull, "ratio_min": fit.RatioMin,
		"friction_psi_riser_only": fit.Drop.PSI(),
	}
}

func hotGasRiser(t *testing.T, in fields) results {
	fl := fluid(t, in)
	ps, err := fl.DewPressure(f(in.num(t, "sat_suction_f")))
	require.NoError(t, err)
	out, err := fl.AtTP(f(in.num(t, "evap_outlet_f")), ps)
	require.NoError(t, err)
	liquid, err := cycle.LiquidEnthalpy(fl, f(in.num(t, "liquid_f")))
	require.NoError(t, err)
	m, err := cycle.MassFlow(units.BtuPerHour(in.num(t, "capacity_btuh")), out.H, liquid)
	require.NoError(t, err)
	pd, err := fl.DewPressure(f(in.num(t, "sat_discharge_f")))
	require.NoError(t, err)
	gas, err := fl.AtTP(f(in.num(t, "gas_f")), pd)
	require.NoError(t, err)
	tube := size(t, in["riser"])
	least, err := pipe.LeastOilFlow(gas.Rho, pipe.OilFilm(), tube)
	require.NoError(t, err)
	v, err := pipe.Velocity(m, gas.Rho, tube)
	require.NoError(t, err)
	vMin, err := pipe.Velocity(least, gas.Rho, tube)
	require.NoError(t, err)
	q, err := pipe.LeastOilLoad(least, out.H, liquid)
	require.NoError(t, err)
	full, _, err := pipe.OilReturn(m, least)
	require.NoError(t, err)
	return results{"density_lbft3": gas.Rho.PoundsPerCubicFoot(), "velocity_fpm": v.FeetPerMinute(), "min_velocity_fpm": vMin.FeetPerMinute(), "min_capacity_btuh": q.BtuPerHour(), "ratio_full": full, "ratio_min": full * in.num(t, "min_pct") / 100}
}

func liquidFlash(t *testing.T, in fields) results {
	fl := fluid(t, in)
	p := units.PSIG(in.num(t, "liquid_psig")).Abs(seaLevel(t))
	bubble, err := fl.BubbleTemp(p)
	require.NoError(t, err)
	liquid := bubble.Add(-units.DegreesF(in.num(t, "subcooling")))
	mu := units.PascalSeconds(in.num(t, "viscosity_uPas") * 1e-6)
	run := pipe.LiquidRun{Tube: size(t, in["size"]), Flow: units.PoundsPerHour(in.num(t, "mass_flow_lbh")), Viscosity: mu, Equivalent: units.Feet(in.num(t, "equiv_ft")), Lift: units.Feet(in.num(t, "lift_ft")), Before: units.PSI(in.num(t, "components_psi"))}
	got, err := pipe.LiquidLine(fl, p, liquid, run)
	require.NoError(t, err)
	state, err := fl.LiquidAtBubble(liquid)
	require.NoError(t, err)
	rough := in.num(t, "roughness_um") * 1e-6 / run.Tube.ID.Meters()
	re := state.Rho.KilogramsPerCubicMeter() * got.Velocity.MetersPerSecond() * run.Tube.ID.Meters() / float64(mu)
	ff, err := pipe.FrictionFactor(re, rough)
	require.NoError(t, err)
	return results{
		"bubble_f": bubble.F(), "density_lbft3": state.Rho.PoundsPerCubicFoot(), "velocity_fpm": got.Velocity.FeetPerMinute(), "friction_factor": ff,
		"friction_psi": got.Friction.PSI(), "static_psi": got.Static.PSI(), "total_psi": got.Total.PSI(), "subcooling_needed": got.Need.DegreesF(), "flashes": got.Margin.DegreesF(),
	}
}

func friction(t *testing.T, in fields) results {
	re, rough := in.num(t, "Re"), in.num(t, "roughness_ratio")
	c, err := pipe.FrictionFactor(re, rough)
	require.NoError(t, err)
	h, err := pipe.HaalandFactor(re, rough)
	if re < 4000 { // the row prints what the formula would give; ours refuses
		var out *cycle.RangeError
		require.ErrorAs(t, err, &out)
		h = refused
	} else {
		require.NoError(t, err)
	}
	return results{"churchill": c, "haaland": h}
}

func doubleRiser(t *testing.T, in fields) results {
	d, _ := suctionDuty(t, in)
	length := units.Feet(in.num(t, "equiv_ft"))
	got, err := pipe.DoubleRiser(d, length)
	require.NoError(t, err)
	assert.True(t, got.OK, got.Why)
	assert.Equal(t, in["A"], got.Small.Nominal)
	assert.Equal(t, in["B"], got.Large.Nominal)
	assert.Equal(t, "1-5/8", got.Single.Tube.Nominal)
	return results{
		"mass_flow_lbh": d.Flow.PoundsPerHour(), "ratio_A_alone_at_min": got.SmallAlone.RatioMin, "dT_A_alone_at_min": got.SmallAlone.Penalty.DegreesF(),
		"ratio_A_full": got.RatioSmall, "ratio_B_full": got.RatioLarge, "dT_both_full": got.LossBoth.DegreesF(), "handover_pct": got.HandOver.Percent(),
		"single_1-5/8_ratio_min": got.Single.RatioMin, "single_1-5/8_dT_full": got.Single.Penalty.DegreesF(),
	}
}

func idealCycle(t *testing.T, in fields) results {
	fl := fluid(t, in)
	evap, cond := units.Celsius(in.num(t, "evaporating_c")), units.Celsius(in.num(t, "condensing_c"))
	pe, err := fl.DewPressure(evap)
	require.NoError(t, err)
	pc, err := fl.DewPressure(cond)
	require.NoError(t, err)
	gas, err := fl.VaporAtDew(pe)
	require.NoError(t, err)
	liquid, err := cycle.LiquidEnthalpy(fl, cond)
	require.NoError(t, err)
	load := units.Kilowatts(in.num(t, "capacity_kw"))
	m, err := cycle.MassFlow(load, gas.H, liquid)
	require.NoError(t, err)
	end, err := fl.AtPS(pc, gas.S)
	require.NoError(t, err)
	power := float64(m) * float64(end.H-gas.H)
	return results{"p_evap_kpa": pe.Pa() / 1e3, "p_cond_kpa": pc.Pa() / 1e3, "mass_flow_kgs": float64(m), "power_kw": power / 1e3, "cop": float64(load) / power}
}

func scaling(t *testing.T, in fields) results {
	got, err := pipe.ScaledPenalty(units.DegreesF(2), units.Feet(100), units.Feet(in.num(t, "equivalent_ft")), units.Tons(33.1), units.Tons(30))
	require.NoError(t, err)
	return results{"dT_f": got.DegreesF()}
}

func unbalance(t *testing.T, v [3]float64) (mean float64, u units.Fraction) {
	t.Helper()
	u, err := elec.Unbalance(v[0], v[1], v[2])
	require.NoError(t, err)
	return (v[0] + v[1] + v[2]) / 3, u
}

func voltUnbalance(t *testing.T, in fields) results {
	mean, u := unbalance(t, in.three(t, "volts"))
	return results{"average": mean, "unbalance_pct": u.Percent()}
}

func voltsAndAmps(t *testing.T, in fields) results {
	_, u := unbalance(t, in.three(t, "volts"))
	_, i := unbalance(t, in.three(t, "amps"))
	heat, err := elec.ExtraHeat(u)
	require.NoError(t, err)
	load, err := elec.Derating(u)
	require.NoError(t, err)
	return results{"v_unbalance_pct": u.Percent(), "temp_rise_pct": heat.Percent(), "i_unbalance_pct": i.Percent(), "derate": float64(load)}
}

func insulation(t *testing.T, in fields) results {
	r, err := elec.InsulationAt40C(units.Megohms(in.num(t, "megohm")), units.Celsius(in.num(t, "winding_c")))
	require.NoError(t, err)
	return results{"r40_megohm": r.Megohms()}
}

func windingBalance(t *testing.T, in fields) results {
	_, u := unbalance(t, in.three(t, "ohms"))
	return results{"unbalance_pct": u.Percent()}
}

func windingAt(t *testing.T, in fields) results {
	r, err := elec.CopperAt(units.Ohms(in.num(t, "ohms")), units.Celsius(in.num(t, "from_c")), units.Celsius(in.num(t, "to_c")))
	require.NoError(t, err)
	return results{"ohms": r.Ohms()}
}

func nitrogen(t *testing.T, in fields) results {
	change, expected, err := service.HoldingChange(units.PSIG(in.num(t, "start_psig")), f(in.num(t, "start_f")), units.PSIG(in.num(t, "end_psig")), f(in.num(t, "end_f")), airAt(t, in.num(t, "altitude_ft")))
	require.NoError(t, err)
	return results{"expected_psig": expected.PSIG(), "loss_psi": -change.PSI()}
}

func pumpdown(t *testing.T, in fields) results {
	air := seaLevel(t)
	start, end := units.PSIG(in.num(t, "start_psig")), units.PSIG(in.num(t, "end_psig"))
	wait := units.Minutes(in.num(t, "minutes"))
	leaked, err := protect.LeakedMass(fluid(t, in), units.CubicFeet(in.num(t, "low_side_ft3")), start.Abs(air), end.Abs(air), f(in.num(t, "gas_f")))
	require.NoError(t, err)
	hour, err := protect.LeakedIn(leaked, wait, units.Hours(1))
	require.NoError(t, err)
	rate, err := protect.LeakByRate(start, end, wait)
	require.NoError(t, err)
	return results{"leaked_lb": leaked.Pounds(), "rate_lbh": hour.Pounds(), "psi_per_min": rate.PSIPerMinute()}
}

func accumulator(t *testing.T, in fields) results {
	fl := fluid(t, in)
	require.InDelta(t, limits.Value("accumulator_usable"), in.num(t, "usable_fraction"), 1e-9)
	cold := f(in.num(t, "liquid_f"))
	shell, err := protect.AccumulatorVolume(fl, units.Pounds(in.num(t, "system_charge_lb")), units.Fraction(in.num(t, "fraction")), cold)
	require.NoError(t, err)
	state, err := fl.LiquidAtBubble(cold)
	require.NoError(t, err)
	return results{"liquid_lbft3": state.Rho.PoundsPerCubicFoot(), "shell_in3": shell.CubicInches(), "holds_in3": shell.CubicInches() * in.num(t, "usable_fraction")}
}

func lineCharge(t *testing.T, in fields) results {
	m, err := pipe.LiquidCharge(fluid(t, in), f(in.num(t, "liquid_f")), size(t, in["size"]), units.Feet(in.num(t, "ft")))
	require.NoError(t, err)
	return results{"lb": m.Pounds()}
}

func control(t *testing.T, in fields) results {
	c := protect.Control{CutIn: units.PSIG(in.num(t, "cut_in_psig")), CutOut: units.PSIG(in.num(t, "cut_out_psig")), Pumpdown: true, Box: f(in.num(t, "box_f")), Winter: f(in.num(t, "min_ambient_f"))}
	got, err := protect.LowPressureControl(fluid(t, in), c, seaLevel(t))
	require.NoError(t, err)
	assert.Empty(t, got.Faults)
	return results{"cut_in_dew_f": got.CutInDew.F(), "cut_out_dew_f": got.CutOutDew.F(), "psat_at_min_ambient_psig": got.WinterPressure.PSIG(), "differential": got.Differential.PSI()}
}

func filterDrop(t *testing.T, in fields) results {
	fl := fluid(t, in)
	p, err := fl.DewPressure(f(in.num(t, "sat_suction_f")))
	require.NoError(t, err)
	loss, err := pipe.SuctionPenalty(fl, p, units.PSI(in.num(t, "drop_psi")))
	require.NoError(t, err)
	return results{"dT_f": loss.DegreesF()}
}
