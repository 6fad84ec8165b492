package browsertest

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"os"
	"os/exec"
	"strings"
	"unicode/utf8"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// The two papers of the trade.
var (
	A4     = chromedp.PaperA4
	Letter = chromedp.PaperLetter
)

// Report is a page as it was printed.
type Report struct {
	Sheets []Sheet `xml:"body>doc>page"`
}

// Sheet is one sheet with its words where they stand, in points from the top left.
type Sheet struct {
	Width  float64 `xml:"width,attr"`
	Height float64 `xml:"height,attr"`
	Words  []Word  `xml:"word"`
}

// Word is one word on a sheet.
type Word struct {
	Left   float64 `xml:"xMin,attr"`
	Top    float64 `xml:"yMin,attr"`
	Right  float64 `xml:"xMax,attr"`
	Bottom float64 `xml:"yMax,attr"`
	Text   string  `xml:",chardata"`
}

// Print prints the page on that paper, with the margins that its style asks for, and
// reads the PDF again.
func (b *Tab) Print(p chromedp.PaperSize) Report {
	b.t.Helper()
	page := b.through(b.pdf(p), "pdftotext", "-bbox", "-", "-")
	var r Report
	words := xml.NewDecoder(bytes.NewReader(bytes.Map(readable, page)))
	words.Strict = false
	require.NoError(b.t, words.Decode(&r))
	require.NotEmpty(b.t, r.Sheets)
	return r
}

func (b *Tab) pdf(p chromedp.PaperSize) []byte {
	b.t.Helper()
	pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(p)))
	require.NoError(b.t, err)
	return pdf
}

// through sends a PDF through one of the programs of poppler-utils.
func (b *Tab) through(pdf []byte, program string, args ...string) []byte {
	b.t.Helper()
	path, err := exec.LookPath(program)
	if errors.Is(err, exec.ErrNotFound) && os.Getenv("CI") == "" {
		b.t.Skipf("no %s (poppler-utils) to read a PDF with", program)
	}
	require.NoError(b.t, err)
	read := exec.Command(path, args...)
	read.Stdin, read.Stderr = bytes.NewReader(pdf), os.Stderr
	out, err := read.Output()
	require.NoError(b.t, err)
	return out
}

// readable leaves out what may stand in a page and not in XML.
func readable(r rune) rune {
	if r < ' ' && r != '\n' || r == utf8.RuneError {
		return ' '
	}
	return r
}

// Text is all that the report says, a blank between two words.
func (r Report) Text() string {
	var all []string
	for _, s := range r.Sheets {
		for _, w := range s.Words {
			all = append(all, w.Text)
		}
	}
	return strings.Join(all, " ")
}

// Outside are the words that stand nearer to an edge of their sheet than that many
// millimetres, or beyond it.
func (r Report) Outside(mm float64) []Word {
	edge := mm / 25.4 * 72
	var out []Word
	for _, s := range r.Sheets {
		for _, w := range s.Words {
			if w.Left < edge || w.Right > s.Width-edge || w.Top < edge/2 || w.Bottom > s.Height-edge/2 {
				out = append(out, w)
			}
		}
	}
	return out
}

// sideMargins are those of the pages' print style, both together, in inches.
const sideMargins = 30 / 25.4

// OnPaper shows the page as its print style lays it out, as wide as the text on that
// paper is.
func (b *Tab) OnPaper(p chromedp.PaperSize) {
	b.t.Helper()
	b.Do(media("print"), chromedp.EmulateViewport(int64((p.Width-sideMargins)*96), 1000))
}

// OnScreen shows it as before.
func (b *Tab) OnScreen() {
	b.t.Helper()
	b.Do(media(""), b.size.emulate())
}

func media(name string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: name})
		return err
	})
}
