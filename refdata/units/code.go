package units

// Code is a unit as it is written in records and on output (readings.md).
type Code string

// The unit codes of readings and numbers.
const (
	CodePSIG       Code = "psig"
	CodePSIA       Code = "psia"
	CodePSI        Code = "psi"
	CodeBar        Code = "bar" // gauge for a pressure, a difference for a drop
	CodeKPa        Code = "kPa" // gauge for a pressure, a difference for a drop
	CodeInHgVacuum Code = "inHg_vac"
	CodeF          Code = "F"
	CodeC          Code = "C"
	CodeDegreesF   Code = "dF"
	CodeDegreesC   Code = "dC"
	CodeFeet       Code = "ft"
	CodeInch       Code = "in"
	CodeMeter      Code = "m"
	CodeMillimeter Code = "mm"
	CodeBtuPerHour Code = "Btu/h"
	CodeKilowatt   Code = "kW"
	CodeTon        Code = "ton"
	CodeWatt       Code = "W"
	CodeVolt       Code = "V"
	CodeAmpere     Code = "A"
	CodeOhm        Code = "ohm"
	CodeMegohm     Code = "Mohm"
	CodeMicron     Code = "micron"
	CodeMinute     Code = "min"
	CodeHour       Code = "h"
	CodeDay        Code = "d"
	CodeYear       Code = "yr"
	CodePound      Code = "lb"
	CodeOunce      Code = "oz"
	CodeKilogram   Code = "kg"
	CodeCubicInch  Code = "in3"
	CodeLiter      Code = "L"
	CodePercent    Code = "pct"
	CodePerHour    Code = "1/h"

	CodeFeetPerMinute Code = "fpm"
	CodeMeterPerSec   Code = "m/s"
	CodeKgPerHour     Code = "kg/h"
	CodePoundPerHour  Code = "lb/h"
	CodeRatio         Code = "ratio"
	CodePSIPerMinute  Code = "psi/min"
	CodeBarPerMinute  Code = "bar/min"
)

// Metric reports whether a person who typed this unit works in metric units;
// units that both worlds share (V, min, pct …) answer false.
func (c Code) Metric() bool {
	switch c {
	case CodeBar, CodeKPa, CodeC, CodeDegreesC, CodeMeter, CodeMillimeter,
		CodeKilowatt, CodeKilogram, CodeLiter:
		return true
	}
	return false
}

// Shared reports whether people of both worlds type this unit.
func (c Code) Shared() bool {
	switch c {
	case CodeVolt, CodeAmpere, CodeOhm, CodeMegohm, CodeMicron, CodeMinute,
		CodeHour, CodeDay, CodeYear, CodePercent, CodePerHour, CodeWatt:
		return true
	}
	return false
}
