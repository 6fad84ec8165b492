package main

import (
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"golang.org/x/sys/unix"
)

// folded breaks the lines of a reply between words, at what a narrow terminal shows;
// the rest of a line stands under its beginning. A width of 0 breaks nothing.
func folded(text string, width int) string {
	if width <= 0 {
		return text
	}
	var out []string
	for line := range strings.SplitSeq(text, "\n") {
		indent := strings.Repeat(" ", len(line)-len(strings.TrimLeft(line, " "))+2)
		for utf8.RuneCountInString(line) > width {
			at := lastSpace(line, width)
			if at <= len(indent) {
				break // one long word: the terminal breaks it
			}
			out, line = append(out, line[:at]), indent+line[at+1:]
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}

// lastSpace is where the last space within the first runes of a line stands, so that
// what comes before it fits.
func lastSpace(line string, runes int) int {
	at, n := -1, 0
	for i, r := range line {
		if n > runes {
			break
		}
		if r == ' ' {
			at = i
		}
		n++
	}
	return at
}

// widthOf is how many letters fit on a line of the terminal; 0 of what is none.
func widthOf(w io.Writer) int {
	f, ok := w.(*os.File)
	if !ok {
		return 0
	}
	size, err := unix.IoctlGetWinsize(int(f.Fd()), unix.TIOCGWINSZ)
	if err != nil {
		return 0
	}
	return int(size.Col)
}
