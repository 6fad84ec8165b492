package casepage

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coldcase/bot/talk"
	"coldcase/bot/watch"
	"coldcase/calc/derive"
	"coldcase/refdata/followup"
	"coldcase/refdata/limits"
	"coldcase/refdata/units"
)

// Strip is one number over the visits of a case, or several of one kind.
type Strip struct {
	Title string // in the trade's words, with the unit
	Unit  units.Code
	Lines []Course
	Limit *float64 // that the number runs towards, in Unit; nil without one
}

// Course is one number over the visits.
type Course struct {
	Name   string      // of one among several, else ""
	At     []time.Time // [visit], rising
	Values []float64   // [visit], in the Strip's unit
}

// strips are what is followed from visit to visit, by the keys of the watch.
var strips = []struct {
	title string
	keys  []string
	names []string
}{
	{"superheat at the compressor", []string{"total_superheat"}, []string{""}},
	{"suction filter drop", []string{"suction_filter_drop"}, []string{""}},
	{"amps", []string{"amps_a", "amps_b", "amps_c"}, []string{"1", "2", "3"}},
}

// Trends are the numbers that have two visits or more, in the reader's units.
func (s Story) Trends(zone *time.Location) []Strip {
	metric := s.Record.InMetric()
	var all []Strip
	for _, want := range strips {
		strip := Strip{}
		for i, key := range want.keys {
			at := slices.IndexFunc(s.watch.Creep, func(b followup.Band) bool { return b.Number == key })
			if at < 0 {
				continue
			}
			band := s.watch.Creep[at]
			points := derive.History(s.Record, s.Numbers.Numbers, band)
			if len(points) < 2 {
				continue
			}
			strip.add(want.names[i], points, band, metric, zone)
		}
		if len(strip.Lines) > 0 {
			strip.Title = want.title + ", " + talk.UnitWord(strip.Unit)
			all = append(all, strip)
		}
	}
	return all
}

func (s *Strip) add(name string, points []derive.Point, band followup.Band, metric bool, zone *time.Location) {
	line := Course{Name: name}
	for _, p := range points {
		v, unit := watch.InUnits(p.Value, units.Code(band.Unit), metric)
		s.Unit = unit
		line.At, line.Values = append(line.At, p.At.In(zone)), append(line.Values, v)
	}
	s.Lines = append(s.Lines, line)
	for _, name := range []string{band.FallsTo, band.RisesTo} {
		if falls := line.Values[len(line.Values)-1] < line.Values[0]; name != "" && falls == (name == band.FallsTo) {
			limit, _ := watch.InUnits(limits.Value(name), units.Code(band.Unit), metric)
			s.Limit = &limit
		}
	}
}

// stripHeight is that of one strip.
const stripHeight = vg.Length(118)

// DrawTrends draws each strip by itself, so that no two units share an axis. It
// answers nil without a trend.
func DrawTrends(all []Strip) (*Picture, error) {
	if len(all) == 0 {
		return nil, nil
	}
	pic := &Picture{width: wide}
	first, last := span(all)
	for _, s := range all {
		strip, err := s.draw()
		if err != nil {
			return nil, err
		}
		strip.X.Min, strip.X.Max = first, last+(last-first)*0.2 // room for the last values
		pic.plots, pic.height = append(pic.plots, strip), pic.height+stripHeight
	}
	return pic, nil
}

// span is from the first visit of any strip to the last.
func span(all []Strip) (first, last float64) {
	first, last = math.Inf(1), math.Inf(-1)
	for _, s := range all {
		for _, l := range s.Lines {
			first, last = min(first, float64(l.At[0].Unix())), max(last, float64(l.At[len(l.At)-1].Unix()))
		}
	}
	return first, last
}

// courseInks tell the lines of one strip apart; their names stand at their ends.
var courseInks = []color.Color{moss, frost, ember}

func (s Strip) draw() (*plot.Plot, error) {
	p := blank(s.Title, "", "")
	p.X.Tick.Marker, p.Y.Tick.Marker = visitDays(s.Lines[0].At), fewTicks{}
	for i, l := range s.Lines {
		if err := l.draw(p, courseInks[i%len(courseInks)]); err != nil {
			return nil, fmt.Errorf("the trend of %s: %w", s.Title, err)
		}
	}
	p.Y.Min, p.Y.Max = widen(p.Y.Min, p.Y.Max)
	if err := s.addLimit(p); err != nil {
		return nil, err
	}
	return p, nil
}

func (l Course) draw(p *plot.Plot, paint color.Color) error {
	xys := make(plotter.XYs, len(l.Values))
	for i, v := range l.Values {
		xys[i] = plotter.XY{X: float64(l.At[i].Unix()), Y: v}
	}
	line, dots, err := plotter.NewLinePoints(xys)
	if err != nil {
		return err
	}
	line.Color, line.Width = paint, vg.Points(2)
	dots.GlyphStyle = draw.GlyphStyle{Color: paint, Radius: vg.Points(2.8), Shape: draw.CircleGlyph{}}
	last := xys[len(xys)-1]
	said := strings.TrimSpace(figure(last.Y) + nameTag(l.Name))
	words, err := plotter.NewLabels(plotter.XYLabels{XYs: plotter.XYs{last}, Labels: []string{said}})
	if err != nil {
		return err
	}
	words.TextStyle[0].Font, words.TextStyle[0].Color, words.TextStyle[0].YAlign = sans(10.5), paint, draw.YCenter
	words.Offset = vg.Point{X: 6}
	p.Add(line, dots, words)
	return nil
}

func nameTag(name string) string {
	if name == "" {
		return ""
	}
	return " (" + name + ")"
}

func figure(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

// addLimit draws the limit that the number runs towards when it is in sight.
func (s Strip) addLimit(p *plot.Plot) error {
	if s.Limit == nil {
		return nil
	}
	reach := p.Y.Max - p.Y.Min
	if *s.Limit < p.Y.Min-reach || *s.Limit > p.Y.Max+reach {
		return nil
	}
	line, err := plotter.NewLine(plotter.XYs{{X: p.X.Min, Y: *s.Limit}, {X: p.X.Max, Y: *s.Limit}})
	if err != nil {
		return fmt.Errorf("the limit of %s: %w", s.Title, err)
	}
	line.Color, line.Width, line.Dashes = ember, vg.Points(1), []vg.Length{vg.Points(4), vg.Points(3)}
	p.Add(line)
	p.Y.Min, p.Y.Max = min(p.Y.Min, *s.Limit-reach/20), max(p.Y.Max, *s.Limit+reach/20)
	return nil
}

// widen keeps a flat line from being drawn as a mountain range.
func widen(low, high float64) (float64, float64) {
	const least = 1.0
	if room := least - (high - low); room > 0 {
		return low - room/2, high + room/2
	}
	return low, high
}

// visitDays marks the days of the visits, as many as have room.
type visitDays []time.Time

// Ticks leaves out a day too near to the one before it.
func (v visitDays) Ticks(low, high float64) []plot.Tick {
	const room = 0.2 // of the axis, for a day's words
	var ticks []plot.Tick
	for _, at := range v {
		x := float64(at.Unix())
		if n := len(ticks); n == 0 || x-ticks[n-1].Value >= room*(high-low) {
			ticks = append(ticks, plot.Tick{Value: x, Label: at.Format("2 Jan")})
		}
	}
	return ticks
}

// fewTicks are at round steps of 1, 2 or 5, few enough for a phone.
type fewTicks struct{}

// Ticks marks five values at most.
func (fewTicks) Ticks(low, high float64) []plot.Tick {
	const most = 5
	step := math.Pow(10, math.Floor(math.Log10((high-low)/most)))
	for _, k := range []float64{1, 2, 5, 10} {
		if (high-low)/(k*step) < most {
			step *= k
			break
		}
	}
	var all []plot.Tick
	for v := math.Ceil(low/step) * step; v <= high; v += step {
		all = append(all, plot.Tick{Value: v, Label: strconv.FormatFloat(v, 'g', 5, 64)})
	}
	return all
}

// trendText says the trends in words, and how high their picture is.
func (s Story) trendText() (text string, height int) {
	var parts []string
	strips := s.Trends(time.UTC)
	for _, strip := range strips {
		for _, l := range strip.Lines {
			title, _, _ := strings.Cut(strip.Title, ", ")
			parts = append(parts, fmt.Sprintf("%s%s from %s to %s %s over %d visits", title, nameTag(l.Name), figure(l.Values[0]), figure(l.Values[len(l.Values)-1]), talk.UnitWord(strip.Unit), len(l.Values)))
		}
	}
	if len(parts) == 0 {
		return "", 0
	}
	return upper(strings.Join(parts, ", ")) + ".", int(stripHeight.Points()) * len(strips)
}
