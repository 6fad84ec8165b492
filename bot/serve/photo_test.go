package serve_test

import (
	"bytes"
	"image"
	"image/color"
	camera "image/jpeg"
	"testing"

	"github.com/stretchr/testify/require"
)

// photoOfABulb draws an invented photo: a pipe with a bulb strapped to it.
func photoOfABulb(t *testing.T) []byte {
	t.Helper()
	const wide, high = 320, 200
	m := image.NewRGBA(image.Rect(0, 0, wide, high))
	fill := func(x0, y0, x1, y1 int, c color.RGBA) {
		for y := y0; y < y1; y++ {
			for x := x0; x < x1; x++ {
				shade := uint8(40 * abs(2*(y-y0)-(y1-y0)) / max(y1-y0, 1)) // round bodies are darker at their edges
				m.SetRGBA(x, y, color.RGBA{c.R - min(shade, c.R), c.G - min(shade, c.G), c.B - min(shade, c.B), 255})
			}
		}
	}
	fill(0, 0, wide, high, color.RGBA{96, 108, 112, 255})
	fill(0, 70, wide, 120, color.RGBA{190, 112, 60, 255})
	fill(90, 44, 230, 72, color.RGBA{214, 216, 210, 255})
	fill(110, 38, 126, 126, color.RGBA{40, 44, 46, 255})
	fill(196, 38, 212, 126, color.RGBA{40, 44, 46, 255})
	var b bytes.Buffer
	require.NoError(t, camera.Encode(&b, m, nil))
	return b.Bytes()
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}
