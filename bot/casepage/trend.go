package casepage

import (
	"fmt"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Series is one number over the visits of a case.
type Series struct {
	Name   string // in the trade's words
	Unit   string
	At     []time.Time // [visit], rising
	Values []float64   // [visit], in Unit
}

// DrawTrends draws each series of two visits or more in a strip of its own, so
// that no two units share an axis. It answers nil when no series has a trend.
func DrawTrends(all []Series) (*Picture, error) {
	pic := &Picture{width: vg.Points(520)}
	for _, s := range all {
		if len(s.Values) < 2 {
			continue
		}
		strip, err := s.draw()
		if err != nil {
			return nil, err
		}
		pic.plots, pic.height = append(pic.plots, strip), pic.height+vg.Points(130)
	}
	if len(pic.plots) == 0 {
		return nil, nil
	}
	return pic, nil
}

func (s Series) draw() (*plot.Plot, error) {
	p := blank(s.Name, "days since the first visit", s.Unit)
	p.Title.Padding = vg.Points(2)
	xys := make(plotter.XYs, len(s.Values))
	for i, v := range s.Values {
		xys[i] = plotter.XY{X: s.At[i].Sub(s.At[0]).Hours() / 24, Y: v}
	}
	line, dots, err := plotter.NewLinePoints(xys)
	if err != nil {
		return nil, fmt.Errorf("draw the trend of %s: %w", s.Name, err)
	}
	line.LineStyle.Color, line.LineStyle.Width = moss, vg.Points(1.6)
	dots.GlyphStyle = draw.GlyphStyle{Color: moss, Radius: vg.Points(2.6), Shape: draw.CircleGlyph{}}
	p.Add(line, dots)
	p.Y.Min, p.Y.Max = widen(p.Y.Min, p.Y.Max)
	return p, nil
}

// widen keeps a flat line from being drawn as a mountain range.
func widen(low, high float64) (float64, float64) {
	const least = 1.0
	if room := least - (high - low); room > 0 {
		return low - room/2, high + room/2
	}
	return low, high
}
