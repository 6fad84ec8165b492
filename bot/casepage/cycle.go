package casepage

import (
	"fmt"
	"image/color"
	"math"
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
	CoilOut   *props.State // suction line at the coil outlet
	Inlet     *props.State // suction line at the compressor
	Discharge *props.State // discharge line
	Liquid    *props.State // liquid line
	// Suction is the low-side pressure, 0 when unknown.
	Suction units.Pressure
}

const domeSteps = 60

// Draw draws the dome of the refrigerant and the points that are known.
func (c Cycle) Draw() (*Picture, error) {
	p := blank("", c.enthalpyLabel(), c.pressureLabel())
	p.Y.Scale, p.Y.Tick.Marker = plot.LogScale{}, wholeTicks{}
	if err := c.addDome(p); err != nil {
		return nil, err
	}
	if err := c.addLoop(p); err != nil {
		return nil, err
	}
	return &Picture{plots: []*plot.Plot{p}, width: vg.Points(520), height: vg.Points(340)}, nil
}

func (c Cycle) addDome(p *plot.Plot) error {
	low, high := c.Fluid.Span()
	bubble, dew := make(plotter.XYs, 0, domeSteps+1), make(plotter.XYs, 0, domeSteps+1)
	for i := range domeSteps + 1 {
		t := low.Add(units.TempDelta(float64(high-low) * float64(i) / domeSteps))
		if s, err := c.Fluid.Bubble(t); err == nil {
			bubble = append(bubble, c.at(s))
		}
		if s, err := c.Fluid.Dew(t); err == nil {
			dew = append(dew, c.at(s))
		}
	}
	if len(bubble) == 0 || len(dew) == 0 {
		return fmt.Errorf("no saturation dome for %s", c.Fluid.Name())
	}
	if err := addLine(p, bubble, ink, 1.2); err != nil {
		return err
	}
	return addLine(p, dew, ink, 1.2)
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
		if err := addLine(p, plotter.XYs{*s.from, *s.to}, s.ink, 2); err != nil {
			return err
		}
	}
	return c.addMarks(p, valve)
}

func (c Cycle) addMarks(p *plot.Plot, valve *plotter.XY) error {
	var marks plotter.XYLabels
	for _, m := range []struct {
		at   *plotter.XY
		name string
	}{{c.point(c.CoilOut), "coil outlet"}, {c.point(c.Inlet), "suction"}, {c.point(c.Discharge), "discharge"}, {c.point(c.Liquid), "liquid"}, {valve, "after the valve"}} {
		if m.at != nil {
			marks.XYs, marks.Labels = append(marks.XYs, *m.at), append(marks.Labels, m.name)
		}
	}
	if len(marks.XYs) == 0 {
		return nil
	}
	dots, err := plotter.NewScatter(marks.XYs)
	if err != nil {
		return fmt.Errorf("mark the cycle: %w", err)
	}
	dots.GlyphStyle = draw.GlyphStyle{Color: ink, Radius: vg.Points(3), Shape: draw.CircleGlyph{}}
	names, err := plotter.NewLabels(marks)
	if err != nil {
		return fmt.Errorf("name the cycle's points: %w", err)
	}
	names.Offset = vg.Point{X: vg.Points(5), Y: vg.Points(4)}
	for i := range names.TextStyle {
		names.TextStyle[i].Font, names.TextStyle[i].Color = sans(9), ink
	}
	p.Add(dots, names)
	return nil
}

// afterValve is the liquid's enthalpy at the low-side pressure.
func (c Cycle) afterValve() *plotter.XY {
	if c.Liquid == nil || c.Suction == 0 {
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

func (c Cycle) at(s props.State) plotter.XY {
	if c.Metric {
		return plotter.XY{X: s.H.JoulesPerKilogram() / 1e3, Y: s.P.Pa() / 1e5}
	}
	return plotter.XY{X: s.H.BtuPerPound(), Y: s.P.PSIA()}
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
	l.LineStyle.Color, l.LineStyle.Width = c, width
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
