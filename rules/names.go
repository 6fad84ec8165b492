package rules

import (
	"fmt"
	"sort"

	"github.com/expr-lang/expr/types"

	"coldcase/calc/derive"
	"coldcase/refdata/limits"
	"coldcase/refdata/phrases"
	"coldcase/refdata/vocab"
)

// NameInfo is one name that an expression may use.
type NameInfo struct {
	Name string
	Unit string
	What string
	Ask  string // what to ask for when it is missing: a key of readings.md
	bare bool   // a bool
	text bool
}

// suffixes of the quantities, trade and SI.
var suffixes = map[vocab.Quantity][2]string{
	vocab.GaugePressure:   {"psig", "barg"},
	vocab.PressureDrop:    {"psi", "bar"},
	vocab.Temperature:     {"F", "C"},
	vocab.TempDifference:  {"dF", "dK"},
	vocab.TubeSize:        {"in", "mm"},
	vocab.Length:          {"ft", "m"},
	vocab.HeatFlow:        {"btuh", "kW"},
	vocab.Mass:            {"lb", "kg"},
	vocab.Volume:          {"in3", "L"},
	vocab.Voltage:         {"V", ""},
	vocab.Current:         {"A", ""},
	vocab.Resistance:      {"ohm", ""},
	vocab.Insulation:      {"Mohm", ""},
	vocab.DeepVacuum:      {"micron", "Pa"},
	vocab.ShortTime:       {"min", "s"},
	vocab.Age:             {"yr", ""},
	vocab.StartsFrequency: {"per_h", ""},
}

// numberUnits are the suffixes of the computed numbers.
var numberUnits = map[derive.Name][2]string{
	derive.SatSuctionTemp: {"F", "C"}, derive.SatDischargeTemp: {"F", "C"}, derive.SatLiquidTemp: {"F", "C"},
	derive.EvapSuperheat: {"dF", "dK"}, derive.TotalSuperheat: {"dF", "dK"}, derive.Subcooling: {"dF", "dK"},
	derive.CompressionRatio: {"", ""}, derive.DischargeSuperheat: {"dF", "dK"}, derive.ExpectedDischargeTemp: {"F", "C"},
	derive.CondensingSplit: {"dF", "dK"}, derive.EvapTD: {"dF", "dK"},
	derive.MassFlow: {"lb_h", "kg_h"}, derive.RiserMinCapacity: {"btuh", "kW"},
	derive.RiserPressureDrop: {"psi", "kPa"}, derive.LiquidStaticLoss: {"psi", "kPa"}, derive.FlashMargin: {"dF", "dK"},
	derive.VoltageUnbalance: {"pct", ""}, derive.CurrentUnbalance: {"pct", ""}, derive.ResistanceUnbalance: {"pct", ""},
	derive.SumpSuperheat: {"dF", "dK"}, derive.PumpdownLeakRate: {"psi_per_min", "bar_per_min"},
	derive.VacuumRise: {"micron", "Pa"}, derive.HoldingTestChange: {"psi", "bar"}, derive.LeakRate: {"pct", ""},
	derive.AccumulatorNeeded: {"in3", "L"},
}

// extras are numbers that only rules use, worked out from the others.
var extras = []NameInfo{
	{Name: "riser_velocity_full_fpm", Unit: "fpm", What: "velocity in the riser at full load", Ask: "capacity"},
	{Name: "riser_velocity_full_m_s", Unit: "m/s", What: "velocity in the riser at full load", Ask: "capacity"},
	{Name: "riser_velocity_min_fpm", Unit: "fpm", What: "velocity in the riser at the lowest load", Ask: "min_capacity"},
	{Name: "riser_velocity_min_m_s", Unit: "m/s", What: "velocity in the riser at the lowest load", Ask: "min_capacity"},
	{Name: "suction_velocity_full_fpm", Unit: "fpm", What: "velocity in the suction line at full load", Ask: "capacity"},
	{Name: "oil_return_full", Unit: "ratio", What: "flow at full load over the least that lifts oil up the riser", Ask: "capacity"},
	{Name: "oil_return_min", Unit: "ratio", What: "flow at the lowest load over the least that lifts oil up the riser", Ask: "min_capacity"},
	{Name: "volts_off_rated_pct", Unit: "pct", What: "mean of the three voltages off the plate", Ask: "volts_ab"},
	{Name: "lowest_leg_pct", Unit: "pct", What: "lowest of volts or amps over the mean of the other two legs", Ask: "volts_ab"},
	{Name: "amps_of_rated_pct", Unit: "pct", What: "highest leg over the plate", Ask: "amps_a"},
	{Name: "condensing_temp_F", Unit: "F", What: "middle condensing temperature", Ask: "discharge_pressure"},
	{Name: "condensing_temp_C", Unit: "C", What: "middle condensing temperature", Ask: "discharge_pressure"},
	{Name: "pumpdown_rise_psi", Unit: "psi", What: "rise of the low side after a pump-down", Ask: "pumpdown_rise_pressure"},
	{Name: "accumulator_share", Unit: "ratio", What: "accumulator volume over what the charge asks for", Ask: "accumulator_volume"},
	{Name: "control_differential_psi", Unit: "psi", What: "cut-in less cut-out", Ask: "cut_in_pressure"},
	{Name: "total_superheat_change_dF", Unit: "dF", What: "change of total superheat since the first visit", Ask: "suction_line_temp"},
	{Name: "suction_filter_drop_change_psi", Unit: "psi", What: "change of the suction filter's drop since the first visit", Ask: "suction_filter_drop"},
	{Name: "subcooling_change_dF", Unit: "dF", What: "change of subcooling since the first visit", Ask: "liquid_line_temp"},
	{Name: "amps_change_pct", Unit: "pct", What: "change of the amps since the first visit", Ask: "amps_a"},
	{Name: "discharge_line_change_dF", Unit: "dF", What: "change of the discharge line since the first visit", Ask: "discharge_line_temp"},
	{Name: "insulation_change_pct", Unit: "pct", What: "change of the insulation since the first visit", Ask: "insulation_megohms"},
	{Name: "visits", Unit: "", What: "number of the visit that is going on"},
	{Name: "discharge_under_dry_dF", Unit: "dF", What: "how far the discharge line is under any dry compression", Ask: "discharge_line_temp"},
	{Name: "discharge_over_poor_dF", Unit: "dF", What: "how far the discharge line is over a poor compressor's", Ask: "discharge_line_temp"},
	{Name: "rest_over_saturation_psi", Unit: "psi", What: "pressure at rest over the gas's own at the air's temperature", Ask: "ambient_temp"},
	{Name: "cut_in_dew_F", Unit: "F", What: "dew temperature at the cut-in", Ask: "cut_in_pressure"},
	{Name: "cut_out_dew_F", Unit: "F", What: "dew temperature at the cut-out", Ask: "cut_out_pressure"},
	{Name: "cut_in_over_air_psi", Unit: "psi", What: "cut-in less the gas's pressure at the air around", Ask: "cut_in_pressure"},
	{Name: "rest_suction_pressure_psig", Unit: "psig", What: "low side with the machine at rest", Ask: "suction_pressure"},
}

// Names lists every name an expression may use: numbers and readings (missing
// until read), facts, findings (missing until said); and the groups seen, told,
// isknown and limits, whose members are never missing.
func Names() []NameInfo {
	var all []NameInfo
	for n, u := range numberUnits {
		for _, s := range u {
			if s != "" || n == derive.CompressionRatio && u[0] == "" {
				all = append(all, NameInfo{Name: suffixed(string(n), s), Unit: s, What: phrases.Label(string(n)) + ", computed", Ask: askFor[n]})
			}
			if n == derive.CompressionRatio {
				break
			}
		}
	}
	for _, d := range vocab.Definitions() {
		for _, s := range suffixes[d.Quantity] {
			if s != "" {
				all = append(all, NameInfo{Name: suffixed(string(d.Key), s), Unit: s, What: d.What, Ask: string(d.Key)})
			}
		}
	}
	all = append(all, NameInfo{Name: "min_capacity_pct", Unit: "pct", What: "lowest load as a share of full load", Ask: "min_capacity"})
	all = append(all, extras...)
	for _, f := range vocab.AllFacts() {
		all = append(all, NameInfo{Name: string(f), What: "fact: " + phrases.Label(string(f)), Ask: string(f), bare: vocab.IsYesNo(f), text: !vocab.IsYesNo(f)})
	}
	for _, f := range vocab.AllFindings() {
		all = append(all, NameInfo{Name: string(f), What: "finding: " + phrases.Label(string(f)), Ask: string(f), bare: true})
	}
	for _, b := range judgedNames {
		all = append(all, NameInfo{Name: b, What: "where the judgement stands so far", bare: true})
	}
	sort.Slice(all, func(i, j int) bool { return all[i].Name < all[j].Name })
	return all
}

// judgedNames are known from the start and set as the judgement goes on.
var judgedNames = []string{"burnout", "complaint", "dead", "healthy", "opened", "refrigerant_in_doubt", "refills"}

// askFor says which reading gives a computed number.
var askFor = map[derive.Name]string{
	derive.SatSuctionTemp: "suction_pressure", derive.SatDischargeTemp: "discharge_pressure", derive.SatLiquidTemp: "liquid_pressure",
	derive.EvapSuperheat: "evap_outlet_temp", derive.TotalSuperheat: "suction_line_temp", derive.Subcooling: "liquid_line_temp",
	derive.CompressionRatio: "discharge_pressure", derive.DischargeSuperheat: "discharge_line_temp", derive.ExpectedDischargeTemp: "discharge_pressure",
	derive.CondensingSplit: "ambient_temp", derive.EvapTD: "box_temp", derive.MassFlow: "capacity", derive.RiserMinCapacity: "riser_size",
	derive.RiserPressureDrop: "riser_height", derive.LiquidStaticLoss: "liquid_lift", derive.FlashMargin: "liquid_lift",
	derive.VoltageUnbalance: "volts_ab", derive.CurrentUnbalance: "amps_a", derive.ResistanceUnbalance: "ohms_ab", derive.SumpSuperheat: "sump_temp",
	derive.PumpdownLeakRate: "pumpdown_rise_pressure", derive.VacuumRise: "vacuum_rise_level", derive.HoldingTestChange: "test_pressure_end",
	derive.LeakRate: "charge_added", derive.AccumulatorNeeded: "system_charge",
}

func suffixed(name, suffix string) string {
	if suffix == "" {
		return name
	}
	return name + "_" + suffix
}

// allNames lists every name, and where each circumstance and limit is found.
func allNames() []string {
	var all []string
	for _, n := range Names() {
		all = append(all, n.Name)
	}
	for _, c := range circumstanceNames() {
		all = append(all, "told."+c)
	}
	for _, l := range sorted(limitValues()) {
		all = append(all, "limits."+l)
	}
	return all
}

func circumstanceNames() []string {
	var names []string
	for _, c := range vocab.AllCircumstances() {
		names = append(names, string(c))
	}
	return names
}

// Members lists what may stand behind told. and limits.; seen takes the findings,
// isknown any name.
func Members() ([]NameInfo, error) {
	all, err := limits.All()
	if err != nil {
		return nil, err
	}
	var out []NameInfo
	for _, name := range sorted(all) {
		l := all[name]
		out = append(out, NameInfo{Name: "limits." + name, Unit: l.Unit(), What: fmt.Sprintf("%s: %g (%s)", l.What, l.Value, l.Source)})
	}
	for _, f := range findingNames() {
		out = append(out, NameInfo{Name: "seen." + f, What: "finding seen; false when nothing was said"})
	}
	for _, c := range circumstanceNames() {
		out = append(out, NameInfo{Name: "told." + c, What: "told in a message; false when nothing was said"})
	}
	return out, nil
}

// schema is the typed environment that expressions are compiled against.
func schema() types.Map {
	m := types.Map{}
	for _, n := range Names() {
		switch {
		case n.bare:
			m[n.Name] = types.Bool
		case n.text:
			m[n.Name] = types.String
		default:
			m[n.Name] = types.Float64
		}
	}
	seen, told, known := types.Map{}, types.Map{}, types.Map{}
	for _, f := range vocab.AllFindings() {
		seen[string(f)] = types.Bool
	}
	for _, c := range vocab.AllCircumstances() {
		told[string(c)] = types.Bool
	}
	for _, n := range Names() {
		known[n.Name] = types.Bool
	}
	thresholds := types.Map{}
	for name := range limitValues() {
		thresholds[name] = types.Float64
	}
	m["seen"], m["told"], m["isknown"], m["limits"] = seen, told, known, thresholds
	return m
}
