package talk

import (
	"fmt"
	"math"

	"coldcase/refdata/units"
)

// Said writes a computed value rounded to what the instruments could tell: 0.1 of
// a degree or psi, 10 fpm, 0.05 m/s, loads to three figures.
func Said(v float64, u units.Code) string {
	switch u {
	case units.CodeFeetPerMinute:
		return fmt.Sprintf("%.0f fpm", to(10, v))
	case units.CodeMeterPerSec:
		return fmt.Sprintf("%.2f m/s", to(0.05, v))
	case units.CodeBtuPerHour:
		return fmt.Sprintf("%.0f Btu/h", to(100, v))
	case units.CodeBar, units.CodeBarPerMinute:
		return fmt.Sprintf("%.2f %s", to(0.01, v), UnitWord(u))
	case units.CodePoundPerHour, units.CodeKgPerHour, units.CodeMicron, units.CodeCubicInch:
		return fmt.Sprintf("%.0f %s", to(1, v), UnitWord(u))
	case units.CodeRatio:
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.1f %s", to(0.1, v), UnitWord(u))
}

// to rounds to a step, and never says -0.
func to(step, v float64) float64 { return math.Round(v/step)*step + 0 }

// UnitWord writes a unit as people of the trade do.
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
		return "an hour"
	case units.CodeInHgVacuum:
		return "in Hg vac"
	case units.CodeCubicInch:
		return "cu in"
	}
	return string(u)
}
