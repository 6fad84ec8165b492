package talk

import "strings"

// Lengths of one message: what is read of it (a text of the trade is far shorter)
// and what is kept.
const (
	longestRead = 4000
	longestKept = 16000
)

// Clean makes a message readable: invalid bytes and control characters become
// spaces, line breaks too, and what is beyond any honest text is left unread.
func Clean(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == '\uFFFD' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, " "))
	return strings.TrimSpace(shortened(s, longestRead))
}

// Fit makes a message fit to be kept by every store: valid text, no null bytes.
func Fit(s string) string {
	return shortened(strings.ReplaceAll(strings.ToValidUTF8(s, "\uFFFD"), "\x00", "\uFFFD"), longestKept)
}

func shortened(s string, most int) string {
	if len(s) <= most {
		return s
	}
	return strings.ToValidUTF8(s[:most], "")
}

// garbled reports a message that did not come through as it was sent.
func garbled(s string) bool { return strings.ContainsRune(Fit(s), '\uFFFD') || len(s) > longestRead }
