package casepage

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"io"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// Picture is a drawing that can be had as SVG for the page and as PNG for a
// picture message; both come from one plot.
type Picture struct {
	plots         []*plot.Plot // drawn one above the other
	width, height vg.Length
}

// wide is the width of every picture: its letters stay readable when a phone of
// 360 pixels shows all of it.
const wide = vg.Length(300)

// The page's own inks, dark enough on white for WCAG 2.2 AA.
var (
	ink     = color.RGBA{0x11, 0x14, 0x18, 0xff}
	quiet   = color.RGBA{0x5a, 0x63, 0x6b, 0xff}
	wash    = color.RGBA{0xe9, 0xee, 0xf3, 0xff}
	frost   = color.RGBA{0x12, 0x3f, 0x7d, 0xff}  // low side
	ember   = color.RGBA{0x8f, 0x1d, 0x0c, 0xff}  // high side
	moss    = color.RGBA{0x14, 0x53, 0x2b, 0xff}  // trends
	paper   = color.NRGBA{0xff, 0xff, 0xff, 0xb0} // pales what is under it
	noPaint = color.RGBA{}
)

// SVG writes the picture without XML prolog, ready to stand inside a page.
func (p *Picture) SVG() ([]byte, error) {
	c := vgsvg.New(p.width, p.height)
	p.draw(draw.New(c))
	var b bytes.Buffer
	if _, err := c.WriteTo(&b); err != nil {
		return nil, fmt.Errorf("draw svg: %w", err)
	}
	_, svg, found := bytes.Cut(b.Bytes(), []byte("<svg"))
	if !found {
		return nil, fmt.Errorf("draw svg: no svg element in %d bytes", b.Len())
	}
	return append([]byte("<svg"), svg...), nil
}

// pngDPI gives a picture message 667 pixels across.
const pngDPI = 160

// PNG writes the picture for a phone or a chat.
func (p *Picture) PNG(w io.Writer) error {
	c := vgimg.NewWith(vgimg.UseWH(p.width, p.height), vgimg.UseDPI(pngDPI), vgimg.UseBackgroundColor(color.White))
	p.draw(draw.New(c))
	quick := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := quick.Encode(w, c.Image()); err != nil {
		return fmt.Errorf("draw png: %w", err)
	}
	return nil
}

func (p *Picture) draw(c draw.Canvas) {
	rows := make([][]*plot.Plot, len(p.plots))
	for i, each := range p.plots {
		rows[i] = []*plot.Plot{each}
	}
	const edge = vg.Length(4)
	tiles := draw.Tiles{Rows: len(rows), Cols: 1, PadTop: edge, PadBottom: edge, PadLeft: edge, PadRight: edge, PadY: 3 * edge}
	for i, row := range plot.Align(rows, tiles, c) {
		p.plots[i].Draw(row[0])
	}
}

// blank is a plot in the page's hand: no frame, thin axes, letters for a phone.
func blank(title, x, y string) *plot.Plot {
	p := plot.New()
	p.BackgroundColor = noPaint
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, x, y
	p.Title.TextStyle.Font, p.Title.TextStyle.Color, p.Title.Padding = sans(11.5), ink, vg.Points(4)
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Color, a.Label.TextStyle.Color, a.Tick.Label.Color = quiet, ink, ink
		a.Label.TextStyle.Font, a.Tick.Label.Font = sans(10.5), sans(10.5)
		a.LineStyle.Width, a.Tick.LineStyle.Width, a.LineStyle.Color, a.Tick.LineStyle.Color = vg.Points(0.8), vg.Points(0.8), quiet, quiet
	}
	return p
}

func sans(size vg.Length) font.Font {
	f := plot.DefaultFont
	f.Variant, f.Size = "Sans", size
	return f
}

// side is where the words of a label stand beside their point.
type side struct {
	x    text.XAlignment
	y    text.YAlignment
	move vg.Point
}

// Sides of a point.
var (
	above      = side{text.XCenter, text.YBottom, vg.Point{Y: 5}}
	aboveLeft  = side{text.XRight, text.YBottom, vg.Point{X: 4, Y: 5}}
	below      = side{text.XCenter, text.YTop, vg.Point{Y: -5}}
	belowRight = side{text.XLeft, text.YTop, vg.Point{X: 2, Y: -6}}
	lowerLeft  = side{text.XRight, text.YTop, vg.Point{X: 4, Y: -18}}
	lowerRight = side{text.XLeft, text.YTop, vg.Point{X: 2, Y: -20}}
)

// tag is the words at a point. The lines under them are paled, so that every letter
// reads.
type tag struct {
	at    plotter.XY
	words string
	where side
	paint color.Color
}

// Plot implements plot.Plotter.
func (t tag) Plot(c draw.Canvas, p *plot.Plot) {
	toX, toY := p.Transforms(&c)
	at := vg.Point{X: toX(t.at.X), Y: toY(t.at.Y)}.Add(t.where.move)
	style := text.Style{Color: t.paint, Font: sans(10.5), XAlign: t.where.x, YAlign: t.where.y, Handler: plot.DefaultTextHandler}
	box := style.Rectangle(t.words).Add(at)
	c.FillPolygon(paper, []vg.Point{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}})
	c.FillText(style, at, t.words)
}
