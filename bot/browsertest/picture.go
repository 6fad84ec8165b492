package browsertest

import (
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// Picture is the whole page as PNG.
func (b *Tab) Picture() []byte {
	b.t.Helper()
	const png = 100 // of quality: lossless
	picture, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(png))
	require.NoError(b.t, err)
	return picture
}
