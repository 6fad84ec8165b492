package casepage

import (
	"bytes"
	"fmt"
	"image/color"
	"io"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
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

// The page's own inks, dark enough on white for WCAG 2.2 AA.
var (
	ink     = color.RGBA{0x1c, 0x1f, 0x24, 0xff}
	frost   = color.RGBA{0x1d, 0x4f, 0x91, 0xff} // low side
	ember   = color.RGBA{0xa8, 0x32, 0x1a, 0xff} // high side
	moss    = color.RGBA{0x2f, 0x6b, 0x3a, 0xff} // trends
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

// PNG writes the picture at twice the size, for phones.
func (p *Picture) PNG(w io.Writer) error {
	c := vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(p.width, p.height), vgimg.UseDPI(144), vgimg.UseBackgroundColor(color.White))}
	p.draw(draw.New(c))
	if _, err := c.WriteTo(w); err != nil {
		return fmt.Errorf("draw png: %w", err)
	}
	return nil
}

func (p *Picture) draw(c draw.Canvas) {
	step := (c.Max.Y - c.Min.Y) / vg.Length(len(p.plots))
	for i, each := range p.plots {
		row := c
		row.Max.Y = c.Max.Y - vg.Length(i)*step
		row.Min.Y = row.Max.Y - step
		each.Draw(row)
	}
}

// blank is a plot in the page's hand: no frame, thin axes, quiet labels.
func blank(title, x, y string) *plot.Plot {
	p := plot.New()
	p.BackgroundColor = noPaint
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, x, y
	p.Title.TextStyle.Font = sans(12)
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Color, a.Label.TextStyle.Color, a.Tick.Label.Color = ink, ink, ink
		a.Label.TextStyle.Font, a.Tick.Label.Font = sans(10), sans(9)
		a.LineStyle.Width, a.Tick.LineStyle.Width = vg.Points(0.7), vg.Points(0.7)
	}
	p.Legend.TextStyle.Font = sans(9)
	return p
}

func sans(size vg.Length) font.Font {
	f := plot.DefaultFont
	f.Variant, f.Size = "Sans", size
	return f
}
