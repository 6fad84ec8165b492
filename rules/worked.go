package rules

import (
	"math"

	"coldcase/calc/derive"
	"coldcase/refdata/followup"
	"coldcase/refdata/units"
)

// worked are the numbers that only rules use.
func (e *env) worked(rec derive.Record, res derive.Result) {
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
	if c := res.Compression; c != nil {
		e.set("discharge_under_dry_dF", c.UnderDry.DegreesF())
		e.set("discharge_over_poor_dF", c.OverPoor.DegreesF())
	}
	if r := res.AtRest; r != nil {
		e.set("rest_over_saturation_psi", r.Over.PSI())
	}
	e.settings(res.Settings)
	if last := len(rec.Observations); last > 0 {
		e.set("visits", float64(rec.Observations[last-1].Visit))
	}
}

func (e *env) settings(s *derive.Settings) {
	if s == nil {
		return
	}
	if s.CutInDew != nil {
		e.set("cut_in_dew_F", s.CutInDew.F())
	}
	if s.CutOutDew != nil {
		e.set("cut_out_dew_F", s.CutOutDew.F())
	}
	if s.CutInOverAir != nil {
		e.set("cut_in_over_air_psi", s.CutInOverAir.PSI())
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

// changes are the names that the numbers of a watch have when they moved.
var changes = map[string]string{
	"total_superheat": "total_superheat_change_dF", "subcooling": "subcooling_change_dF",
	"suction_filter_drop": "suction_filter_drop_change_psi", "amps_a": "amps_change_pct",
	"discharge_line_temp": "discharge_line_change_dF", "insulation_megohms": "insulation_change_pct",
}

// creep compares the visits at like conditions, as a watch does: the last value of
// a number with its first.
func (e *env) creep(rec derive.Record, res derive.Result) {
	if rec.Visit < 2 {
		return
	}
	setting, err := followup.BuiltIn()
	if err != nil {
		return // a test holds that the embedded table reads
	}
	for _, band := range setting.Creep {
		points := derive.Alike(derive.History(rec, res.Numbers, band), rec, setting.Like)
		if name := changes[band.Number]; name != "" && len(points) > 1 {
			moved := points[len(points)-1].Value - points[0].Value
			if band.Share && points[0].Value != 0 {
				moved *= 100 / points[0].Value
			}
			e.set(name, moved)
		}
	}
}
