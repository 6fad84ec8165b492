package vocab

import (
	"fmt"

	"coldcase/refdata/units"
)

// UnitError says that a unit does not fit the reading.
type UnitError struct {
	Key  Key
	Unit units.Code
}

func (e *UnitError) Error() string { return fmt.Sprintf("%s can't be in %s", e.Key, e.Unit) }

// SI converts a reading as it was typed to SI: gauge pressures to pascal above
// the air, psia to pascal absolute less that air, the rest to its base unit.
// A percentage stays a fraction.
func SI(r Reading, air units.Pressure) (float64, error) {
	v := r.Value
	switch r.Unit {
	case units.CodePSIG, units.CodePSI:
		return float64(units.PSIG(v)), nil
	case units.CodePSIA:
		return float64(units.PSIA(v).Gauge(air)), nil
	case units.CodeBar:
		return float64(units.BarG(v)), nil
	case units.CodeKPa:
		return float64(units.KPaG(v)), nil
	case units.CodeInHgVacuum:
		return float64(units.InHgVacuum(v)), nil
	case units.CodeF:
		return float64(units.Fahrenheit(v)), nil
	case units.CodeC:
		return float64(units.Celsius(v)), nil
	case units.CodeDegreesF:
		return float64(units.DegreesF(v)), nil
	case units.CodeFeet:
		return float64(units.Feet(v)), nil
	case units.CodeInch:
		return float64(units.Inches(v)), nil
	case units.CodeMillimeter:
		return float64(units.Millimeters(v)), nil
	case units.CodeBtuPerHour:
		return float64(units.BtuPerHour(v)), nil
	case units.CodeKilowatt:
		return float64(units.Kilowatts(v)), nil
	case units.CodeWatt:
		return v, nil
	case units.CodeTon:
		return float64(units.Tons(v)), nil
	case units.CodeMegohm:
		return float64(units.Megohms(v)), nil
	case units.CodeMicron:
		return float64(units.Micron(v)), nil
	case units.CodeMinute:
		return float64(units.Minutes(v)), nil
	case units.CodeHour:
		return float64(units.Hours(v)), nil
	case units.CodeDay:
		return float64(units.Days(v)), nil
	case units.CodeYear:
		return float64(units.Years(v)), nil
	case units.CodePound:
		return float64(units.Pounds(v)), nil
	case units.CodeOunce:
		return float64(units.Ounces(v)), nil
	case units.CodeCubicInch:
		return float64(units.CubicInches(v)), nil
	case units.CodeLiter:
		return float64(units.Liters(v)), nil
	case units.CodePercent:
		return float64(units.Percent(v)), nil
	case units.CodePerHour:
		return v / 3600, nil
	case units.CodeDegreesC, units.CodeMeter, units.CodeVolt, units.CodeAmpere, units.CodeOhm, units.CodeKilogram:
		return v, nil
	}
	return 0, &UnitError{Key: r.Key, Unit: r.Unit}
}
