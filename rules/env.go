package rules

import (
	"math"

	"github.com/expr-lang/expr/vm"

	"coldcase/calc/cycle"
	"coldcase/calc/derive"
	"coldcase/calc/props"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// env is a case as expressions see it: plain numbers whose names end in the unit,
// and nothing at all under a name that is not known.
type env struct {
	values  map[string]any
	machine *vm.VM
	within  map[string]float64 // half width of a number in its trade unit
	last    map[string]derive.Number
}

// newEnv lays a case out for the expressions.
func newEnv(rec derive.Record, res derive.Result) *env {
	e := &env{values: map[string]any{}, machine: &vm.VM{MemoryBudget: memoryBudget}, within: map[string]float64{}, last: map[string]derive.Number{}}
	e.numbers(res)
	e.readings(rec, res)
	for k, v := range rec.Facts {
		if vocab.IsYesNo(k) {
			e.values[string(k)] = v == vocab.Yes
		} else {
			e.values[string(k)] = v
		}
	}
	seen := map[string]bool{}
	for _, f := range vocab.AllFindings() {
		seen[string(f)] = rec.Findings[f]
	}
	for f, v := range rec.Findings {
		e.values[string(f)] = v
	}
	if m, ok := e.number("insulation_megohms_Mohm"); ok && m < limitTable["insulation_grounded_Mohm"] {
		seen[string(vocab.Grounded)], e.values[string(vocab.Grounded)] = true, true
	}
	told := map[string]bool{}
	for _, c := range vocab.AllCircumstances() {
		told[string(c)] = rec.Circumstances[c]
	}
	e.values["seen"], e.values["told"], e.values["limits"] = seen, told, limitTable
	e.worked(rec)
	e.creep(rec, res)
	known := map[string]bool{}
	for name := range e.values {
		known[name] = true
	}
	e.values["isknown"] = known
	return e
}

var limitTable = limitValues()

func (e *env) set(name string, v float64) {
	if units.Finite(v) {
		e.values[name] = v
	}
}

func (e *env) number(name string) (float64, bool) {
	v, ok := e.values[name].(float64)
	return v, ok
}

// numbers takes the last value of each name that is not of a settling machine.
func (e *env) numbers(res derive.Result) {
	for _, n := range res.Numbers {
		if n.Settling {
			continue
		}
		key := string(n.Name)
		if n.Load != "" {
			key += "_" + string(n.Load)
		}
		e.last[key] = n
		e.put(n)
	}
}

// put writes a number in both its units.
func (e *env) put(n derive.Number) {
	base := string(n.Name)
	switch n.Name {
	case derive.RiserVelocity, derive.SuctionVelocity:
		base += "_" + string(n.Load)
		us, si := n.Value, n.Value
		if n.Unit == units.CodeMeterPerSec {
			us = units.MetersPerSecond(n.Value).FeetPerMinute()
		} else {
			si = units.FeetPerMinute(n.Value).MetersPerSecond()
		}
		e.set(base+"_fpm", us)
		e.set(base+"_m_s", si)
		return
	}
	names := numberUnits[n.Name]
	us, si := bothUnits(n.Value, n.Unit)
	e.set(suffixed(base, names[0]), us)
	if names[1] != "" {
		e.set(suffixed(base, names[1]), si)
	}
	wide := n.PlusMinus
	if n.Unit == units.CodeDegreesC || n.Unit == units.CodeC {
		wide *= 1.8
	}
	e.within[base] = wide
}

// bothUnits gives a computed value in trade and SI units.
func bothUnits(v float64, c units.Code) (us, si float64) {
	switch c {
	case units.CodeF:
		return v, units.Fahrenheit(v).C()
	case units.CodeC:
		return units.Celsius(v).F(), v
	case units.CodeDegreesF:
		return v, v / 1.8
	case units.CodeDegreesC:
		return v * 1.8, v
	case units.CodePSI:
		return v, units.PSI(v).KPa()
	case units.CodeKPa:
		return units.KPa(v).PSI(), v
	case units.CodeBar:
		return units.Bar(v).PSI(), v
	case units.CodeBtuPerHour:
		return v, units.BtuPerHour(v).Kilowatts()
	case units.CodeKilowatt:
		return units.Kilowatts(v).BtuPerHour(), v
	case units.CodePoundPerHour:
		return v, units.PoundsPerHour(v).KilogramsPerHour()
	case units.CodeKgPerHour:
		return units.KilogramsPerHour(v).PoundsPerHour(), v
	case units.CodePSIPerMinute:
		return v, v * units.PaPerPSI / 1e5
	case units.CodeBarPerMinute:
		return v * 1e5 / units.PaPerPSI, v
	case units.CodeCubicInch:
		return v, units.CubicInches(v).Liters()
	case units.CodeLiter:
		return units.Liters(v).CubicInches(), v
	case units.CodeMicron:
		return v, v * units.PaPerMicron
	}
	return v, v
}

// readings takes the last value of each key; the low side at rest has a name of
// its own, so that nothing pairs it with a running machine.
func (e *env) readings(rec derive.Record, res derive.Result) {
	doubted := map[vocab.Key]bool{}
	for _, d := range res.Doubts {
		doubted[d.Key] = true
	}
	for _, o := range rec.Observations {
		if doubted[o.Key] || o.Settling {
			continue
		}
		def, ok := vocab.Define(o.Key)
		if !ok {
			continue
		}
		if o.Unit == units.CodePercent {
			e.set(string(o.Key)+"_pct", o.Value)
			continue
		}
		si, err := vocab.SI(o.Reading, units.Pascal(101325))
		if err != nil {
			continue
		}
		if o.Key == vocab.SuctionPressure && o.State == vocab.Standing {
			e.set("rest_suction_pressure_psig", units.Gauge(si).PSIG())
			continue
		}
		us, metric := readingUnits(def.Quantity, si)
		names := suffixes[def.Quantity]
		e.set(suffixed(string(o.Key), names[0]), us)
		if names[1] != "" {
			e.set(suffixed(string(o.Key), names[1]), metric)
		}
	}
}

func readingUnits(q vocab.Quantity, si float64) (us, metric float64) {
	switch q {
	case vocab.GaugePressure:
		return units.Gauge(si).PSIG(), units.Gauge(si).BarG()
	case vocab.PressureDrop:
		return units.PressureDelta(si).PSI(), units.PressureDelta(si).Bar()
	case vocab.Temperature:
		return units.Temperature(si).F(), units.Temperature(si).C()
	case vocab.TempDifference:
		return units.TempDelta(si).DegreesF(), si
	case vocab.TubeSize:
		return units.Length(si).Inches(), si * 1e3
	case vocab.Length:
		return units.Length(si).Feet(), si
	case vocab.HeatFlow:
		return units.Power(si).BtuPerHour(), units.Power(si).Kilowatts()
	case vocab.Mass:
		return units.Mass(si).Pounds(), si
	case vocab.Volume:
		return units.Volume(si).CubicInches(), units.Volume(si).Liters()
	case vocab.Insulation:
		return units.Resistance(si).Megohms(), si
	case vocab.DeepVacuum:
		return units.Pressure(si).Micron(), si
	case vocab.ShortTime:
		return units.Duration(si).Minutes(), si
	case vocab.Age:
		return units.Duration(si).Days() / 365, si
	case vocab.StartsFrequency:
		return si * 3600, si
	}
	return si, si
}

// worked are the numbers that only rules use.
func (e *env) worked(rec derive.Record) {
	e.oilReturn()
	e.electrics()
	if rise, ok := e.difference("pumpdown_rise_pressure_psig", "pumpdown_pressure_psig"); ok {
		e.set("pumpdown_rise_psi", rise)
	}
	if diff, ok := e.difference("cut_in_pressure_psig", "cut_out_pressure_psig"); ok {
		e.set("control_differential_psi", diff)
	}
	if have, ok := e.number("accumulator_volume_in3"); ok {
		if need, ok := e.number("accumulator_needed_in3"); ok && need > 0 {
			e.set("accumulator_share", have/need)
		}
	}
	if split, ok := e.number("condensing_split_dF"); ok {
		if air, ok := e.number("ambient_temp_F"); ok {
			e.set("condensing_temp_F", air+split)
			e.set("condensing_temp_C", units.Fahrenheit(air+split).C())
		}
	}
	e.dischargeBand(rec)
	if last := len(rec.Observations); last > 0 {
		e.set("visits", float64(rec.Observations[last-1].Visit))
	}
}

func (e *env) difference(a, b string) (float64, bool) {
	x, ok1 := e.number(a)
	y, ok2 := e.number(b)
	return x - y, ok1 && ok2
}

func (e *env) oilReturn() {
	least, ok1 := e.number("riser_min_capacity_btuh")
	full, ok2 := e.number("capacity_btuh")
	if !ok1 || !ok2 || least <= 0 {
		return
	}
	e.set("oil_return_full", full/least)
	if low, ok := e.number("min_capacity_btuh"); ok {
		e.set("oil_return_min", low/least)
	} else if pct, ok := e.number("min_capacity_pct"); ok {
		e.set("oil_return_min", full*pct/100/least)
	}
}

func (e *env) electrics() {
	lowest := math.Inf(1)
	for _, legs := range [][3]string{{"volts_ab_V", "volts_bc_V", "volts_ca_V"}, {"amps_a_A", "amps_b_A", "amps_c_A"}} {
		a, ok1 := e.number(legs[0])
		b, ok2 := e.number(legs[1])
		c, ok3 := e.number(legs[2])
		if !ok1 || !ok2 || !ok3 {
			continue
		}
		least, sum := min(a, b, c), a+b+c
		if others := (sum - least) / 2; others > 0 {
			lowest = min(lowest, 100*least/others)
		}
		if legs[0] == "volts_ab_V" {
			if plate, ok := e.number("rated_volts_V"); ok && plate > 0 {
				e.set("volts_off_rated_pct", 100*(sum/3/plate-1))
			}
		} else if plate, ok := e.number("rated_amps_A"); ok && plate > 0 {
			e.set("amps_of_rated_pct", 100*max(a, b, c)/plate)
		}
	}
	e.set("lowest_leg_pct", lowest)
}

// dischargeBand holds the discharge line against what dry compression gives.
func (e *env) dischargeBand(rec derive.Record) {
	line, ok1 := e.number("discharge_line_temp_F")
	gas, ok2 := e.number("suction_line_temp_F")
	s, ok3 := e.number("suction_pressure_psig")
	d, ok4 := e.number("discharge_pressure_psig")
	f, err := props.Lookup(rec.Facts[vocab.Refrigerant])
	if !ok1 || !ok2 || !ok3 || !ok4 || err != nil || e.doubtfulFluid() {
		return
	}
	feet, _ := e.number("altitude_ft")
	air, err := cycle.Air(units.Feet(feet))
	if err != nil {
		return
	}
	best, poor, ok := derive.DischargeBand(f, units.PSIG(s).Abs(air), units.Fahrenheit(gas), units.PSIG(d).Abs(air))
	if !ok {
		return
	}
	e.set("discharge_under_dry_dF", best.F()-line)
	e.set("discharge_over_poor_dF", line-poor.F())
}

func (e *env) doubtfulFluid() bool {
	_, has := e.values["sat_suction_temp_F"]
	return !has
}

// creep compares the visits of a watch: the last value of a number with its first.
func (e *env) creep(rec derive.Record, res derive.Result) {
	first := map[derive.Name]derive.Number{}
	for _, n := range res.Numbers {
		if _, ok := first[n.Name]; !ok && !n.Settling {
			first[n.Name] = n
		}
	}
	for name, target := range map[derive.Name]string{derive.TotalSuperheat: "total_superheat_change_dF", derive.Subcooling: "subcooling_change_dF"} {
		last, ok := e.last[string(name)]
		if f := first[name]; ok && last.Visit > f.Visit {
			a, _ := bothUnits(f.Value, f.Unit)
			b, _ := bothUnits(last.Value, last.Unit)
			e.set(target, b-a)
		}
	}
	for key, target := range map[vocab.Key]string{vocab.SuctionFilterDrop: "suction_filter_drop_change_psi", vocab.AmpsA: "amps_change_pct"} {
		var f, l *derive.Observation
		for i := range rec.Observations {
			if o := &rec.Observations[i]; o.Key == key {
				if f == nil {
					f = o
				}
				l = o
			}
		}
		if f == nil || l.Visit <= f.Visit || f.Value == 0 {
			continue
		}
		if key == vocab.AmpsA {
			e.set(target, 100*(l.Value/f.Value-1))
		} else {
			e.set(target, l.Value-f.Value)
		}
	}
}
