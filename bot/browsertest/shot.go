package browsertest

import (
	"bytes"
	"cmp"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"maps"
	"os"
	"slices"
	"strconv"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// Shot keeps a picture of the window in a file.
func (b *Tab) Shot(file string) {
	b.t.Helper()
	shot, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
	require.NoError(b.t, err)
	b.Keep(file, shot)
}

// ShotOfSheet keeps a picture of one printed sheet, the first is 1.
func (b *Tab) ShotOfSheet(file string, p chromedp.PaperSize, sheet int) {
	b.t.Helper()
	n := strconv.Itoa(sheet)
	b.Keep(file, b.through(b.pdf(p), "pdftoppm", "-png", "-r", "80", "-f", n, "-l", n, "-"))
}

// Keep writes a picture in its 256 most frequent colours, which is what a page has,
// as small as PNG can be.
func (b *Tab) Keep(file string, picture []byte) {
	b.t.Helper()
	img, err := png.Decode(bytes.NewReader(picture))
	require.NoError(b.t, err)
	few := image.NewPaletted(img.Bounds(), frequent(img, 256))
	draw.Draw(few, few.Bounds(), img, img.Bounds().Min, draw.Src)
	var out bytes.Buffer
	small := png.Encoder{CompressionLevel: png.BestCompression}
	require.NoError(b.t, small.Encode(&out, few))
	require.NoError(b.t, os.WriteFile(file, out.Bytes(), 0o644))
}

func frequent(img image.Image, n int) color.Palette {
	count := map[color.RGBA]int{}
	r := img.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			count[color.RGBAModel.Convert(img.At(x, y)).(color.RGBA)]++
		}
	}
	all := slices.SortedFunc(maps.Keys(count), func(a, b color.RGBA) int {
		return cmp.Or(count[b]-count[a], cmp.Compare(a.R, b.R), cmp.Compare(a.G, b.G), cmp.Compare(a.B, b.B))
	})
	var p color.Palette
	for _, c := range all[:min(n, len(all))] {
		p = append(p, c)
	}
	return p
}
