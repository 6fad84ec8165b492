// Package units holds the physical quantities that the house passes around and
// the unit codes that people type.
//
// Every quantity is a defined float64 in SI, so that two swapped arguments do
// not compile. Constructors and getters are named for the unit. An offset makes
// another type: a gauge pressure is no Pressure until the air around it is
// known, and a temperature difference is no Temperature.
package units

import "math"

// Quantities, all SI inside.
type (
	Pressure      float64 // Pa, absolute
	Gauge         float64 // Pa above the air around it
	PressureDelta float64 // Pa of difference
	Temperature   float64 // K
	TempDelta     float64 // K of difference
	Length        float64 // m
	Area          float64 // m2
	Volume        float64 // m3
	Mass          float64 // kg
	MassFlow      float64 // kg/s
	MassFlux      float64 // kg/(m2 s)
	Density       float64 // kg/m3
	Velocity      float64 // m/s
	Power         float64 // W
	Enthalpy      float64 // J/kg, 200 kJ/kg at saturated liquid, 273.15 K
	Entropy       float64 // J/(kg K), 1 kJ/(kg K) at saturated liquid, 273.15 K
	HeatCapacity  float64 // J/(kg K)
	Viscosity     float64 // Pa s
	Conductivity  float64 // W/(m K)
	Voltage       float64 // V
	Current       float64 // A
	Resistance    float64 // ohm
	Fraction      float64 // 1, not percent
	Duration      float64 // s
	PressureRate  float64 // Pa/s
)

// Conversion factors. Exact by definition unless noted.
const (
	PaPerPSI       = 6894.757293168         // lbf/in2; NIST SP 811 (2008) app. B.8, from memory
	PaPerInHg      = 3386.389               // conventional inch of mercury; NIST SP 811 app. B.8, from memory
	PaPerMicron    = 0.1333224              // 0.001 mm of mercury; NIST SP 811 app. B.8, from memory
	mPerInch       = 0.0254                 // exact
	mPerFoot       = 0.3048                 // exact
	kgPerPound     = 0.45359237             // exact
	kgPerOunce     = kgPerPound / 16        // exact
	wPerBtuPerHour = 0.29307107017          // Btu (IT) per hour; NIST SP 811 app. B.8, from memory
	wPerTon        = 12000 * wPerBtuPerHour // ton of refrigeration, 12000 Btu/h
	m3PerCubicInch = mPerInch * mPerInch * mPerInch
	jPerKgPerBtuLb = 2326            // Btu (IT) per pound, exact
	secondsPerYear = 365 * 24 * 3600 // the 365-day year of the leak-rate rules
)

// Abs adds the air around the gauge.
func (g Gauge) Abs(air Pressure) Pressure { return Pressure(float64(g) + float64(air)) }

// Gauge takes the air around the gauge off.
func (p Pressure) Gauge(air Pressure) Gauge { return Gauge(float64(p) - float64(air)) }

// Sub is the only road from two pressures to a difference.
func (p Pressure) Sub(q Pressure) PressureDelta { return PressureDelta(p - q) }

// Add moves a pressure by a difference.
func (p Pressure) Add(d PressureDelta) Pressure { return p + Pressure(d) }

// Sub is the difference of two gauge readings under the same air.
func (g Gauge) Sub(h Gauge) PressureDelta { return PressureDelta(g - h) }

// Sub is the only road from two temperatures to a difference.
func (t Temperature) Sub(u Temperature) TempDelta { return TempDelta(t - u) }

// Add moves a temperature by a difference.
func (t Temperature) Add(d TempDelta) Temperature { return t + Temperature(d) }

// Constructors for what the trade types.
func PSIA(v float64) Pressure             { return Pressure(v * PaPerPSI) }
func Pascal(v float64) Pressure           { return Pressure(v) }
func PSIG(v float64) Gauge                { return Gauge(v * PaPerPSI) }
func BarG(v float64) Gauge                { return Gauge(v * 1e5) }
func KPaG(v float64) Gauge                { return Gauge(v * 1e3) }
func InHgVacuum(v float64) Gauge          { return Gauge(-v * PaPerInHg) }
func PSI(v float64) PressureDelta         { return PressureDelta(v * PaPerPSI) }
func Bar(v float64) PressureDelta         { return PressureDelta(v * 1e5) }
func KPa(v float64) PressureDelta         { return PressureDelta(v * 1e3) }
func Micron(v float64) Pressure           { return Pressure(v * PaPerMicron) }
func Kelvin(v float64) Temperature        { return Temperature(v) }
func Celsius(v float64) Temperature       { return Temperature(v + 273.15) }
func Fahrenheit(v float64) Temperature    { return Temperature((v + 459.67) / 1.8) }
func DegreesF(v float64) TempDelta        { return TempDelta(v / 1.8) }
func DegreesC(v float64) TempDelta        { return TempDelta(v) }
func Inches(v float64) Length             { return Length(v * mPerInch) }
func Feet(v float64) Length               { return Length(v * mPerFoot) }
func Meters(v float64) Length             { return Length(v) }
func Millimeters(v float64) Length        { return Length(v * 1e-3) }
func SquareInches(v float64) Area         { return Area(v * mPerInch * mPerInch) }
func CubicInches(v float64) Volume        { return Volume(v * m3PerCubicInch) }
func CubicFeet(v float64) Volume          { return Volume(v * mPerFoot * mPerFoot * mPerFoot) }
func Liters(v float64) Volume             { return Volume(v * 1e-3) }
func Pounds(v float64) Mass               { return Mass(v * kgPerPound) }
func Ounces(v float64) Mass               { return Mass(v * kgPerOunce) }
func Kilograms(v float64) Mass            { return Mass(v) }
func PoundsPerHour(v float64) MassFlow    { return MassFlow(v * kgPerPound / 3600) }
func KilogramsPerHour(v float64) MassFlow { return MassFlow(v / 3600) }
func PoundsPerCubicFoot(v float64) Density {
	return Density(v * kgPerPound / (mPerFoot * mPerFoot * mPerFoot))
}
func KilogramsPerCubicMeter(v float64) Density  { return Density(v) }
func FeetPerMinute(v float64) Velocity          { return Velocity(v * mPerFoot / 60) }
func MetersPerSecond(v float64) Velocity        { return Velocity(v) }
func BtuPerHour(v float64) Power                { return Power(v * wPerBtuPerHour) }
func Kilowatts(v float64) Power                 { return Power(v * 1e3) }
func Watts(v float64) Power                     { return Power(v) }
func Tons(v float64) Power                      { return Power(v * wPerTon) }
func JoulesPerKilogram(v float64) Enthalpy      { return Enthalpy(v) }
func BtuPerPound(v float64) Enthalpy            { return Enthalpy(v * jPerKgPerBtuLb) }
func JoulesPerKilogramKelvin(v float64) Entropy { return Entropy(v) }
func PascalSeconds(v float64) Viscosity         { return Viscosity(v) }
func Volts(v float64) Voltage                   { return Voltage(v) }
func Amperes(v float64) Current                 { return Current(v) }
func Ohms(v float64) Resistance                 { return Resistance(v) }
func Megohms(v float64) Resistance              { return Resistance(v * 1e6) }
func Percent(v float64) Fraction                { return Fraction(v / 100) }
func Seconds(v float64) Duration                { return Duration(v) }
func Minutes(v float64) Duration                { return Duration(v * 60) }
func Hours(v float64) Duration                  { return Duration(v * 3600) }
func Days(v float64) Duration                   { return Duration(v * 86400) }
func Years(v float64) Duration                  { return Duration(v * secondsPerYear) }

// Getters, named for the unit they answer in.
func (p Pressure) Pa() float64               { return float64(p) }
func (p Pressure) PSIA() float64             { return float64(p) / PaPerPSI }
func (p Pressure) Micron() float64           { return float64(p) / PaPerMicron }
func (g Gauge) PSIG() float64                { return float64(g) / PaPerPSI }
func (g Gauge) BarG() float64                { return float64(g) / 1e5 }
func (g Gauge) KPaG() float64                { return float64(g) / 1e3 }
func (g Gauge) InHgVacuum() float64          { return -float64(g) / PaPerInHg }
func (d PressureDelta) PSI() float64         { return float64(d) / PaPerPSI }
func (d PressureDelta) Bar() float64         { return float64(d) / 1e5 }
func (d PressureDelta) KPa() float64         { return float64(d) / 1e3 }
func (t Temperature) K() float64             { return float64(t) }
func (t Temperature) C() float64             { return float64(t) - 273.15 }
func (t Temperature) F() float64             { return float64(t)*1.8 - 459.67 }
func (d TempDelta) DegreesF() float64        { return float64(d) * 1.8 }
func (d TempDelta) DegreesC() float64        { return float64(d) }
func (l Length) Inches() float64             { return float64(l) / mPerInch }
func (l Length) Feet() float64               { return float64(l) / mPerFoot }
func (l Length) Meters() float64             { return float64(l) }
func (a Area) SquareInches() float64         { return float64(a) / (mPerInch * mPerInch) }
func (v Volume) CubicInches() float64        { return float64(v) / m3PerCubicInch }
func (v Volume) CubicFeet() float64          { return float64(v) / (mPerFoot * mPerFoot * mPerFoot) }
func (v Volume) Liters() float64             { return float64(v) * 1e3 }
func (m Mass) Pounds() float64               { return float64(m) / kgPerPound }
func (m Mass) Kilograms() float64            { return float64(m) }
func (m MassFlow) PoundsPerHour() float64    { return float64(m) / kgPerPound * 3600 }
func (m MassFlow) KilogramsPerHour() float64 { return float64(m) * 3600 }
func (r Density) PoundsPerCubicFoot() float64 {
	return float64(r) / kgPerPound * (mPerFoot * mPerFoot * mPerFoot)
}
func (r Density) KilogramsPerCubicMeter() float64 { return float64(r) }
func (v Velocity) FeetPerMinute() float64         { return float64(v) / mPerFoot * 60 }
func (v Velocity) MetersPerSecond() float64       { return float64(v) }
func (w Power) BtuPerHour() float64               { return float64(w) / wPerBtuPerHour }
func (w Power) Kilowatts() float64                { return float64(w) / 1e3 }
func (w Power) Tons() float64                     { return float64(w) / wPerTon }
func (h Enthalpy) BtuPerPound() float64           { return float64(h) / jPerKgPerBtuLb }
func (h Enthalpy) JoulesPerKilogram() float64     { return float64(h) }
func (r Resistance) Ohms() float64                { return float64(r) }
func (r Resistance) Megohms() float64             { return float64(r) / 1e6 }
func (f Fraction) Percent() float64               { return float64(f) * 100 }
func (d Duration) Seconds() float64               { return float64(d) }
func (d Duration) Minutes() float64               { return float64(d) / 60 }
func (d Duration) Hours() float64                 { return float64(d) / 3600 }
func (d Duration) Days() float64                  { return float64(d) / 86400 }
func (r PressureRate) PSIPerMinute() float64      { return float64(r) / PaPerPSI * 60 }
func (r PressureRate) BarPerMinute() float64      { return float64(r) / 1e5 * 60 }

// Finite reports whether v is a number that can be used.
func Finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
