package rules

import (
	"coldcase/refdata/units"
	"coldcase/refdata/vocab"
)

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
	case units.CodeFeetPerMinute:
		return v, units.FeetPerMinute(v).MetersPerSecond()
	case units.CodeMeterPerSec:
		return units.MetersPerSecond(v).FeetPerMinute(), v
	}
	return v, v
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
