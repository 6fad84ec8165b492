package browsertest

import (
	"os"
	"regexp"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// The two papers of the trade.
var (
	A4     = chromedp.PaperA4
	Letter = chromedp.PaperLetter
)

// Print is the page as PDF on that paper, with the margins that its style asks for.
func (b *Tab) Print(p chromedp.PaperSize) []byte {
	b.t.Helper()
	pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(p)))
	require.NoError(b.t, err)
	return pdf
}

var sheet = regexp.MustCompile(`/Type\s*/Page[^s]`)

// Sheets counts the pages of a PDF.
func Sheets(pdf []byte) int { return len(sheet.FindAll(pdf, -1)) }

// Shot writes a picture of the window to a file; whole: of all of the page.
func (b *Tab) Shot(file string, whole bool) {
	b.t.Helper()
	shoot := chromedp.CaptureScreenshot()
	if whole {
		shoot = chromedp.FullScreenshot(100)
	}
	png, err := chromedp.Run(b.ctx, shoot)
	require.NoError(b.t, err)
	require.NoError(b.t, os.WriteFile(file, png, 0o644))
}
