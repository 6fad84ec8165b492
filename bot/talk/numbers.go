package talk

import (
	"fmt"

	"coldcase/calc/derive"
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

// numberLines are the last values of the numbers of the latest visit, in the
// order they are told, each with how it stands where that fits a few words.
func numberLines(res derive.Result, rec derive.Record) []NumberLine {
	latest := map[derive.Name]map[derive.Load]derive.Number{}
	for _, n := range res.Numbers {
		if latest[n.Name] == nil {
			latest[n.Name] = map[derive.Load]derive.Number{}
		}
		latest[n.Name][n.Load] = n
	}
	var out []NumberLine
	for _, name := range supportFirst {
		for _, load := range []derive.Load{"", derive.FullLoad, derive.MinLoad} {
			n, ok := latest[name][load]
			if !ok || n.Visit != rec.Visit {
				continue
			}
			line := NumberLine{Number: n, Title: numberTitles[name]}
			if load != "" && name != derive.MassFlow {
				line.Title += ", " + map[derive.Load]string{derive.FullLoad: "full load", derive.MinLoad: "lowest load"}[load]
			}
			if name == derive.RiserVelocity {
				line.Judge = riserWords(n, latest, rec)
			}
			out = append(out, line)
		}
	}
	return out
}

// mainNumbers leaves out what only "more" shows.
func mainNumbers(all []NumberLine) []NumberLine {
	var out []NumberLine
	for _, n := range all {
		switch n.Name {
		case derive.MassFlow, derive.SatDischargeTemp, derive.SatLiquidTemp, derive.RiserPressureDrop, derive.ExpectedDischargeTemp, derive.SuctionVelocity, derive.RiserMinCapacity:
		default:
			out = append(out, n)
		}
	}
	return out
}

// riserWords holds a riser's velocity against what carries oil.
func riserWords(n derive.Number, latest map[derive.Name]map[derive.Load]derive.Number, rec derive.Record) string {
	least, ok := latest[derive.RiserMinCapacity][""]
	full, okFull := latest[derive.RiserVelocity][derive.FullLoad]
	if !ok || !okFull {
		return ""
	}
	load := 0.0
	for _, o := range rec.Observations {
		if o.Key == vocab.Capacity {
			if w, err := vocab.SI(o.Reading, 0); err == nil {
				load = w
			}
		}
	}
	need := units.BtuPerHour(least.Value)
	if least.Unit == units.CodeKilowatt {
		need = units.Kilowatts(least.Value)
	}
	if load <= 0 {
		return ""
	}
	vMin := full.Value * float64(need) / load
	ratio := n.Value / vMin
	verdict := "oil comes back"
	switch {
	case ratio < 1:
		verdict = "TOO SLOW for oil"
	case ratio < 1.25:
		verdict = "no reserve"
	}
	return fmt.Sprintf("oil needs %s: %s", FormatValue(vMin, n.Unit), verdict)
}

// FormatValue rounds to what the instrument could tell: pressures and temperatures
// to 0.1, velocities to 10 fpm or 0.05 m/s, loads to a hundred.
func FormatValue(v float64, u units.Code) string {
	switch u {
	case units.CodeFeetPerMinute:
		return fmt.Sprintf("%.0f fpm", 10*float64(int(v/10+0.5)))
	case units.CodeMeterPerSec:
		return fmt.Sprintf("%.2f m/s", 0.05*float64(int(v/0.05+0.5)))
	case units.CodeBtuPerHour:
		return fmt.Sprintf("%.0f Btu/h", 100*float64(int(v/100+0.5)))
	case units.CodePoundPerHour, units.CodeKgPerHour, units.CodeMicron, units.CodeCubicInch:
		return fmt.Sprintf("%.0f %s", v, UnitWord(u))
	case units.CodeRatio:
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.1f %s", v, UnitWord(u))
}

// UnitWord writes a unit code as people read it.
func UnitWord(u units.Code) string {
	switch u {
	case units.CodeF, units.CodeDegreesF:
		return "°F"
	case units.CodeC:
		return "°C"
	case units.CodeDegreesC:
		return "K"
	case units.CodePercent:
		return "%"
	case units.CodePerHour:
		return "per hour"
	case units.CodeInHgVacuum:
		return "in Hg vac"
	case units.CodeCubicInch:
		return "cu in"
	case units.CodeMegohm:
		return "Mohm"
	}
	return string(u)
}
