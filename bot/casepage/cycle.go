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
	p := blank("", c.enthalpyLabel(), c.pressureLabel())
	p.Y.Scale, p.Y.Tick.Marker, p.X.Tick.Marker = plot.LogScale{}, wholeTicks{}, fewTicks{}
	top, bottom := max(d.Top, c.Head), c.floor(d)
	for _, add := range []func(*plot.Plot) error{
		func(p *plot.Plot) error { return c.addDome(p, d, bottom) },
		func(p *plot.Plot) error { return c.addLevels(p, d) },
		c.addLoop, c.addMarks,
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

// addLevels draws both pressures across the dome, with the dew temperature of each.
func (c Cycle) addLevels(p *plot.Plot, d Dome) error {
	for _, l := range []struct {
		at    units.Pressure
		name  string
		where side
		paint color.Color
	}{{c.Head, "cond ", below, ember}, {c.Suction, "evap ", above, frost}} {
		if l.at <= 0 || l.at > d.Top {
			continue
		}
		t, err := c.Fluid.DewTemp(l.at)
		if err != nil {
			continue // above the dome there is no such temperature
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
		middle := from + units.Enthalpy(float64(to-from)/2)
		if err := c.write(p, c.xy(middle, l.at), l.name+c.degrees(t), l.where, l.paint); err != nil {
			return err
		}
	}
	return nil
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
func (c Cycle) addMarks(p *plot.Plot) error {
	for _, m := range []struct {
		at    *plotter.XY
		name  string
		where side
		paint color.Color
	}{
		{c.afterValve(), "after the valve", belowRight, frost},
		{c.point(c.CoilOut), "coil outlet" + c.reading(c.CoilOut), lowerLeft, frost},
		{c.point(c.Inlet), "suction" + c.reading(c.Inlet), belowRight, frost},
		{c.point(c.Discharge), "discharge" + c.reading(c.Discharge), above, ember},
		{c.point(c.Liquid), "liquid" + c.reading(c.Liquid), aboveLeft, ember},
	} {
		if m.at == nil {
			continue
		}
		dot, err := plotter.NewScatter(plotter.XYs{*m.at})
		if err != nil {
			return fmt.Errorf("mark the cycle: %w", err)
		}
		dot.GlyphStyle = draw.GlyphStyle{Color: m.paint, Radius: vg.Points(3.4), Shape: draw.CircleGlyph{}}
		p.Add(dot)
		if err := c.write(p, *m.at, m.name, m.where, m.paint); err != nil {
			return err
		}
	}
	return nil
}

func (c Cycle) write(p *plot.Plot, at plotter.XY, words string, where side, paint color.Color) error {
	l, err := plotter.NewLabels(plotter.XYLabels{XYs: plotter.XYs{at}, Labels: []string{words}})
	if err != nil {
		return fmt.Errorf("write in a diagram: %w", err)
	}
	style := &l.TextStyle[0]
	style.Font, style.Color, style.XAlign, style.YAlign = sans(10.5), paint, where.x, where.y
	l.Offset = where.move
	p.Add(l)
	return nil
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
		return "pressure, bar absolute"
	}
	return "pressure, psia"
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

// wholeTicks marks 1, 2 and 5 of each decade in plain figures.
type wholeTicks struct{}

func (wholeTicks) Ticks(low, high float64) []plot.Tick {
	var ticks []plot.Tick
	for decade := math.Pow(10, math.Floor(math.Log10(low))); decade <= high; decade *= 10 {
		for _, k := range []float64{1, 2, 5} {
			if v := k * decade; v >= low && v <= high {
				ticks = append(ticks, plot.Tick{Value: v, Label: strconv.FormatFloat(v, 'g', 6, 64)})
			}
		}
	}
	return ticks
}
