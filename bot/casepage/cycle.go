package casepage

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coldcase/calc/props"
	"coldcase/refdata/units"
)

// Cycle is what a pressure–enthalpy diagram shows; a point that is not known
// is left nil and its lines with it. Nothing is guessed to close the loop.
type Cycle struct {
	Fluid     *props.Fluid
	Metric    bool
	Air       units.Pressure // gauges read from here
	Visit     int
	Suction   units.Pressure // low side, 0 when unknown
	Head      units.Pressure // high side, 0 when unknown
	CoilOut   *props.State   // suction line at the coil outlet
	Inlet     *props.State   // suction line at the compressor
	Discharge *props.State   // discharge line
	Liquid    *props.State   // liquid line
}

// states are the points that were read, nil where they were not.
func (c Cycle) states() []*props.State {
	return []*props.State{c.CoilOut, c.Inlet, c.Discharge, c.Liquid}
}

// Draw draws the dome of the refrigerant and the points that are known.
func (c Cycle) Draw() (*Picture, error) {
	d, err := DomeOf(c.Fluid)
	if err != nil {
		return nil, err
	}
	p := blank(fmt.Sprintf("%s, visit %d", c.Fluid.Name(), c.Visit), c.enthalpyLabel(), c.pressureLabel())
	p.Y.Scale, p.Y.Tick.Marker, p.X.Tick.Marker = plot.LogScale{}, gaugeTicks{c.pressure(c.Air)}, fewTicks{}
	top, bottom := max(d.Top, c.Head), c.floor(d)
	for _, add := range []func(*plot.Plot) error{
		func(p *plot.Plot) error { return c.addDome(p, d, bottom) },
		func(p *plot.Plot) error { return c.addLevels(p, d) },
		c.addLoop,
		func(p *plot.Plot) error { return c.addMarks(p, d) },
	} {
		if err := add(p); err != nil {
			return nil, err
		}
	}
	p.Y.Min, p.Y.Max = c.pressure(bottom), c.pressure(top)*1.15
	room := (p.X.Max - p.X.Min) * 0.22 // for the words at the right end of the loop
	p.X.Max += room
	return &Picture{plots: []*plot.Plot{p}, width: wide, height: vg.Points(270)}, nil
}

// shownBelow is how far below the low side the picture goes, as a share of it.
const shownBelow = 0.4

// floor is the lowest pressure shown: some way below the low side, so that the
// loop fills the picture.
func (c Cycle) floor(d Dome) units.Pressure {
	low := d.bottom()
	if level := min(nonZero(c.Suction, c.Head), nonZero(c.Head, c.Suction)); level > 0 {
		low = max(low, units.Pressure(float64(level)*shownBelow))
	}
	return low
}

func nonZero(p, q units.Pressure) units.Pressure {
	if p <= 0 {
		return q
	}
	return p
}

func (c Cycle) addDome(p *plot.Plot, d Dome, bottom units.Pressure) error {
	var round plotter.XYs
	for _, s := range d.Bubble {
		if s.P >= bottom {
			round = append(round, c.at(s))
		}
	}
	for _, s := range d.crown() {
		round = append(round, c.at(s))
	}
	for _, s := range slices.Backward(d.Dew) {
		if s.P >= bottom {
			round = append(round, c.at(s))
		}
	}
	fill, err := plotter.NewPolygon(round)
	if err != nil {
		return fmt.Errorf("fill the dome: %w", err)
	}
	fill.Color, fill.LineStyle.Width = wash, 0
	p.Add(fill)
	return addLine(p, round, ink, 1.3)
}

// addLevels draws both pressures across the dome, with the temperatures of each.
func (c Cycle) addLevels(p *plot.Plot, d Dome) error {
	for _, l := range []struct {
		at    units.Pressure
		name  string
		where side
		paint color.Color
	}{{c.Head, "cond ", below, ember}, {c.Suction, "evap ", above, frost}} {
		if l.at <= 0 || c.aboveDome(l.at) {
			continue
		}
		words, err := c.saturation(l.at)
		if err != nil {
			continue // nearer to the top than saturation is solved for
		}
		from, to := d.across(l.at)
		line, err := plotter.NewLine(plotter.XYs{c.xy(from, l.at), c.xy(to, l.at)})
		if err != nil {
			return fmt.Errorf("draw a pressure: %w", err)
		}
		line.Color, line.Width, line.Dashes = l.paint, vg.Points(0.8), []vg.Length{vg.Points(3), vg.Points(2.5)}
		p.Add(line)
		if c.Liquid != nil && c.Liquid.H > from && c.Liquid.H < to {
			from = c.Liquid.H // the words stand clear of the line to the valve
		}
		p.Add(tag{c.xy(midway(from, to), l.at), l.name + words, l.where, l.paint})
	}
	if c.aboveDome(c.Head) && c.Discharge != nil && c.Liquid != nil {
		p.Add(tag{c.xy(midway(c.Liquid.H, c.Discharge.H), c.Head), "above critical", below, ember})
	}
	return nil
}

func midway(from, to units.Enthalpy) units.Enthalpy {
	return from + units.Enthalpy(float64(to-from)/2)
}

// aboveDome: nothing condenses at such a pressure, so it has no temperature of its own.
func (c Cycle) aboveDome(p units.Pressure) bool {
	_, top := c.Fluid.Critical()
	return p > top
}

// aGlide is from when on dew and bubble are worth telling apart.
const aGlide = 1.0 // K

// saturation says the temperature at which the refrigerant boils or condenses: both
// ends of it for a blend with a glide.
func (c Cycle) saturation(p units.Pressure) (string, error) {
	dew, err := c.Fluid.DewTemp(p)
	if err != nil {
		return "", err
	}
	bubble, err := c.Fluid.BubbleTemp(p)
	if err != nil || float64(dew.Sub(bubble)) < aGlide {
		return c.degrees(dew), err
	}
	return "dew " + c.degrees(dew) + "\nbubble " + c.degrees(bubble), nil
}

// addLoop draws the way of the refrigerant as far as both ends of a step are known.
func (c Cycle) addLoop(p *plot.Plot) error {
	valve := c.afterValve()
	steps := []struct {
		from, to *plotter.XY
		ink      color.Color
	}{
		{c.point(c.Inlet), c.point(c.Discharge), ember},
		{c.point(c.Discharge), c.point(c.Liquid), ember},
		{c.point(c.Liquid), valve, frost},
		{valve, c.point(firstKnown(c.CoilOut, c.Inlet)), frost},
		{c.point(c.CoilOut), c.point(c.Inlet), frost},
	}
	for _, s := range steps {
		if s.from == nil || s.to == nil {
			continue
		}
		if err := addLine(p, plotter.XYs{*s.from, *s.to}, s.ink, 2.4); err != nil {
			return err
		}
	}
	return nil
}

// addMarks names the points, each with the temperature that was read there.
func (c Cycle) addMarks(p *plot.Plot, d Dome) error {
	liquid := "liquid"
	if c.aboveDome(c.Head) {
		liquid = "cooler out"
	}
	coil, coilSide := c.point(c.CoilOut), lowerLeft
	if coil != nil && c.Inlet != nil && c.dry(c.CoilOut, d) {
		coil, coilSide = c.point(c.Inlet), lowerRight // under its neighbour's words, clear of the dome
	}
	var dots []plot.Plotter
	for _, m := range []struct {
		at, words *plotter.XY
		name      string
		where     side
		paint     color.Color
	}{
		{c.afterValve(), nil, "after the valve", belowRight, frost},
		{c.point(c.CoilOut), coil, "coil outlet" + c.reading(c.CoilOut), coilSide, frost},
		{c.point(c.Inlet), nil, "suction" + c.reading(c.Inlet), belowRight, frost},
		{c.point(c.Discharge), nil, "discharge" + c.reading(c.Discharge), above, ember},
		{c.point(c.Liquid), nil, liquid + c.reading(c.Liquid), aboveLeft, ember},
	} {
		if m.at == nil {
			continue
		}
		dot, err := plotter.NewScatter(plotter.XYs{*m.at})
		if err != nil {
			return fmt.Errorf("mark the cycle: %w", err)
		}
		dot.GlyphStyle = draw.GlyphStyle{Color: m.paint, Radius: vg.Points(3.4), Shape: draw.CircleGlyph{}}
		if m.words == nil {
			m.words = m.at
		}
		dots = append(dots, dot)
		p.Add(tag{*m.words, m.name, m.where, m.paint})
	}
	p.Add(dots...) // over all words
	return nil
}

// dry: the state is right of the dome.
func (c Cycle) dry(s *props.State, d Dome) bool {
	_, dew := d.across(s.P)
	return s.H > dew
}

// afterValve is the liquid's enthalpy at the low-side pressure.
func (c Cycle) afterValve() *plotter.XY {
	if c.Liquid == nil || c.Suction <= 0 {
		return nil
	}
	s := *c.Liquid
	s.P = c.Suction
	return c.point(&s)
}

func firstKnown(states ...*props.State) *props.State {
	for _, s := range states {
		if s != nil {
			return s
		}
	}
	return nil
}

func (c Cycle) point(s *props.State) *plotter.XY {
	if s == nil {
		return nil
	}
	xy := c.at(*s)
	return &xy
}

func (c Cycle) at(s props.State) plotter.XY { return c.xy(s.H, s.P) }

func (c Cycle) xy(h units.Enthalpy, p units.Pressure) plotter.XY {
	if c.Metric {
		return plotter.XY{X: h.JoulesPerKilogram() / 1e3, Y: c.pressure(p)}
	}
	return plotter.XY{X: h.BtuPerPound(), Y: c.pressure(p)}
}

func (c Cycle) pressure(p units.Pressure) float64 {
	if c.Metric {
		return p.Pa() / 1e5
	}
	return p.PSIA()
}

func (c Cycle) reading(s *props.State) string {
	if s == nil {
		return ""
	}
	return " " + c.degrees(s.T)
}

func (c Cycle) degrees(t units.Temperature) string {
	if c.Metric {
		return strconv.FormatFloat(t.C(), 'f', 0, 64) + " °C"
	}
	return strconv.FormatFloat(t.F(), 'f', 0, 64) + " °F"
}

func (c Cycle) enthalpyLabel() string {
	if c.Metric {
		return "enthalpy, kJ/kg"
	}
	return "enthalpy, Btu/lb"
}

func (c Cycle) pressureLabel() string {
	if c.Metric {
		return "pressure, bar gauge"
	}
	return "pressure, psig"
}

func addLine(p *plot.Plot, xys plotter.XYs, c color.Color, width vg.Length) error {
	l, err := plotter.NewLine(xys)
	if err != nil {
		return fmt.Errorf("draw a line: %w", err)
	}
	l.Color, l.Width = c, width
	p.Add(l)
	return nil
}

// gaugeTicks mark what a gauge reads, on an axis of absolute pressures: 0 and 1, 2 and
// 5 of each decade.
type gaugeTicks struct{ air float64 }

// Ticks leaves out a mark too near to the one before it.
func (g gaugeTicks) Ticks(low, high float64) []plot.Tick {
	const room = 0.09 // of the axis, for a figure
	var ticks []plot.Tick
	add := func(gauge float64) {
		at := gauge + g.air
		if at < low || at > high {
			return
		}
		if n := len(ticks); n > 0 && math.Log(at/ticks[n-1].Value) < room*math.Log(high/low) {
			return
		}
		ticks = append(ticks, plot.Tick{Value: at, Label: strconv.FormatFloat(gauge, 'g', 6, 64)})
	}
	add(0)
	for decade := 0.1; decade <= high; decade *= 10 {
		for _, k := range []float64{1, 2, 5} {
			add(k * decade)
		}
	}
	return ticks
}
