package answer

import (
	"fmt"
	"math"

	"coldcase/refdata/units"
)

// put adds a figure in the sender's units.
func (a *asked) put(name string, us float64, usUnit units.Code, si float64, siUnit units.Code) {
	if a.metric {
		a.r.Numbers = append(a.r.Numbers, Number{name, si, siUnit})
		return
	}
	a.r.Numbers = append(a.r.Numbers, Number{name, us, usUnit})
}

func (a *asked) plain(name string, v float64, unit units.Code) { a.put(name, v, unit, v, unit) }

func (a *asked) putVelocity(name string, v units.Velocity) {
	a.put(name, v.FeetPerMinute(), units.CodeFeetPerMinute, v.MetersPerSecond(), units.CodeMeterPerSec)
}

func (a *asked) putDelta(name string, d units.TempDelta) {
	a.put(name, d.DegreesF(), units.CodeDegreesF, d.DegreesC(), units.CodeDegreesC)
}

func (a *asked) putDrop(name string, d units.PressureDelta) {
	if a.kPa {
		a.put(name, d.PSI(), units.CodePSI, d.KPa(), units.CodeKPa)
		return
	}
	a.put(name, d.PSI(), units.CodePSI, d.Bar(), units.CodeBar)
}

func (a *asked) putTemp(name string, t units.Temperature) {
	a.put(name, t.F(), units.CodeF, t.C(), units.CodeC)
}

func (a *asked) putGauge(name string, g units.Gauge) {
	if a.kPa {
		a.put(name, g.PSIG(), units.CodePSIG, 100*g.BarG(), units.CodeKPa)
		return
	}
	a.put(name, g.PSIG(), units.CodePSIG, g.BarG(), units.CodeBar)
}

func (a *asked) putVolume(name string, v units.Volume) {
	a.put(name, v.CubicInches(), units.CodeCubicInch, v.Liters(), units.CodeLiter)
}

func (a *asked) putMass(name string, m units.Mass) {
	a.put(name, m.Pounds(), units.CodePound, m.Kilograms(), units.CodeKilogram)
}

func (a *asked) putFlow(name string, m units.MassFlow) {
	a.put(name, m.PoundsPerHour(), units.CodePoundPerHour, m.KilogramsPerHour(), units.CodeKgPerHour)
}

func (a *asked) putLoad(name string, q units.Power) {
	a.put(name, q.BtuPerHour(), units.CodeBtuPerHour, q.Kilowatts(), units.CodeKilowatt)
}

func (a *asked) sayTemp(t units.Temperature) string {
	if a.metric {
		return whole(t.C()) + " C"
	}
	return whole(t.F()) + " F"
}

// whole rounds to a whole number, and never says -0.
func whole(v float64) string { return fmt.Sprintf("%.0f", math.Round(v)+0) }

func (a *asked) sayDelta(d units.TempDelta) string {
	if a.metric {
		return fmt.Sprintf("%.1f C", d.DegreesC())
	}
	return fmt.Sprintf("%.1f F", d.DegreesF())
}

// sayWhole says a difference that is a round figure.
func (a *asked) sayWhole(d units.TempDelta) string {
	if a.metric {
		return fmt.Sprintf("%.0f C", d.DegreesC())
	}
	return fmt.Sprintf("%.0f F", d.DegreesF())
}

func (a *asked) sayVelocity(v units.Velocity) string {
	if a.metric {
		return fmt.Sprintf("%.1f m/s", v.MetersPerSecond())
	}
	return fmt.Sprintf("%.0f fpm", v.FeetPerMinute())
}

func (a *asked) sayDrop(d units.PressureDelta) string {
	switch {
	case a.metric && a.kPa:
		return fmt.Sprintf("%.1f kPa", d.KPa())
	case a.metric:
		return fmt.Sprintf("%.2f bar", d.Bar())
	}
	return fmt.Sprintf("%.1f psi", d.PSI())
}

func (a *asked) sayGauge(g units.Gauge) string {
	switch {
	case a.metric && a.kPa:
		return fmt.Sprintf("%.0f kPa", 100*g.BarG())
	case a.metric:
		return fmt.Sprintf("%.2f bar", g.BarG())
	}
	return fmt.Sprintf("%.0f psig", g.PSIG())
}

func (a *asked) sayVolume(v units.Volume) string {
	if a.metric {
		return fmt.Sprintf("%.1f L", v.Liters())
	}
	return fmt.Sprintf("%.0f in3", v.CubicInches())
}

func (a *asked) sayMass(m units.Mass) string {
	if a.metric {
		return fmt.Sprintf("%.1f kg", m.Kilograms())
	}
	return fmt.Sprintf("%.1f lb", m.Pounds())
}

func (a *asked) sayUnitMass() string {
	if a.metric {
		return "kg"
	}
	return "lb"
}

func (a *asked) sayEnthalpy(h units.Enthalpy) string {
	if a.metric {
		return fmt.Sprintf("%.0f kJ", float64(h)/1e3)
	}
	return fmt.Sprintf("%.1f Btu", h.BtuPerPound())
}

// sayLittle says a mass of which the second place counts.
func (a *asked) sayLittle(m units.Mass) string {
	if a.metric {
		return fmt.Sprintf("%.2f kg", m.Kilograms())
	}
	return fmt.Sprintf("%.2f lb", m.Pounds())
}

func (a *asked) sayLoad(q units.Power) string {
	if a.metric {
		return fmt.Sprintf("%.1f kW", q.Kilowatts())
	}
	return fmt.Sprintf("%.0f Btu/h", math.Round(q.BtuPerHour()/10)*10)
}

func (a *asked) sayFlow(m units.MassFlow) string {
	if a.metric {
		return fmt.Sprintf("%.0f kg/h", m.KilogramsPerHour())
	}
	return fmt.Sprintf("%.0f lb/h", m.PoundsPerHour())
}

func (a *asked) sayRate(r units.PressureRate) string {
	switch {
	case a.metric && a.kPa:
		return fmt.Sprintf("%.1f kPa/min", 100*r.BarPerMinute())
	case a.metric:
		return fmt.Sprintf("%.3f bar/min", r.BarPerMinute())
	}
	return fmt.Sprintf("%.2f psi/min", r.PSIPerMinute())
}

func (a *asked) sayLength(l units.Length) string {
	if a.metric {
		return fmt.Sprintf("%.1f m", l.Meters())
	}
	return fmt.Sprintf("%.0f ft", l.Feet())
}
