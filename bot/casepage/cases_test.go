package casepage

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// fullJob is an invented job with everything on its page: teardown, photos, a new
// compressor, a watch over four visits in which the superheat falls and the suction
// filter loads up.
func fullJob(t testing.TB) []said {
	const day = 24 * time.Hour
	return []said{
		{0, "Pier 3 freezer 2 @ Harbor Lane Fish, R507A low temp semi, comp dead, third one in two years", nil},
		{6 * time.Minute, "head off: 2 suction reeds broken, piston cracked, head gasket blown. oil clean, half glass", drawnPhoto(t)},
		{5 * time.Minute, "ohms 1.9 1.9 1.9, 500 meg. bangs every time it comes out of defrost. hot gas defrost, no accumulator", nil},
		{2 * time.Minute, "plan", nil},
		{26 * time.Hour, "freezer 2 new comp in, accumulator fitted. suct 17 head 226 line 12 coil out -11 liq line 84 dlt 171 amb 78 suction filter drop 0.5 amps 21.4 21.1 21.3", nil},
		{3 * time.Minute, "watch", nil},
		{2 * day, "freezer 2 suct 17 head 228 line 9 coil out -12 liq line 85 dlt 170 amb 79 suction filter drop 0.9 amps 21.5 21.2 21.6", nil},
		{6 * day, "freezer 2 suct 16 head 226 line 3 coil out -13 liq line 84 dlt 166 amb 78 suction filter drop 1.6 amps 21.7 21.4 21.9", drawnPhoto(t)},
	}
}

// hostileJob puts what hurts careless pages into every field that people fill.
func hostileJob(t testing.TB) []said {
	const attack = `"><script>alert(1)</script><img src=x onerror=alert(1)>' onmouseover='alert(2)`
	return []said{
		{0, `R448A suct 28 line 8 head 245 unit freezer "9"><b>x</b> @ </title><script>alert(3)</script> Market`, nil},
		{time.Minute, attack, nil},
		{time.Minute, strings.Repeat("w", 10_000), nil},
		{time.Minute, "\u202eright to left override, שלום עולם, مرحبا, liq 92", nil},
		{time.Minute, "\U0001f9ca\U0001f525 \U0001f468\u200d\U0001f469\u200d\U0001f467 {{.Case}} ${x} javascript:alert(4) oil dark", nil},
		{time.Minute, "שלום, suction line 9", nil},
		{time.Minute, attack, drawnPhoto(t)},
		{time.Minute, "call me at +15550142987 & don't <blink>", nil},
	}
}

// drawnPhoto stands in for a photo: a valve plate with one reed gone, drawn here.
func drawnPhoto(t testing.TB) []byte {
	img := image.NewRGBA(image.Rect(0, 0, 640, 480))
	fill := func(r image.Rectangle, c color.RGBA) { draw.Draw(img, r, image.NewUniform(c), image.Point{}, draw.Src) }
	fill(img.Bounds(), color.RGBA{0x54, 0x4c, 0x46, 0xff})
	fill(image.Rect(70, 60, 570, 420), color.RGBA{0x9a, 0xa3, 0xa8, 0xff})
	for i := range 4 {
		port := image.Rect(110+i*115, 120, 190+i*115, 360)
		fill(port, color.RGBA{0x2b, 0x2e, 0x31, 0xff})
		if i != 2 {
			fill(image.Rect(port.Min.X+18, 90, port.Max.X-18, 345), color.RGBA{0xc9, 0xcf, 0xd2, 0xff})
		} else {
			fill(image.Rect(port.Min.X+18, 90, port.Max.X-18, 170), color.RGBA{0xc9, 0xcf, 0xd2, 0xff})
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}
