package reply

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"coldcase/refdata/gsm"
)

// Lengths of one text message. Source: 3GPP TS 23.038, sections 4 and 6.2 (140
// octets of user data, 6 of them a header when the text comes in parts).
const (
	oneSeptets, partSeptets = 160, 153
	oneUnits, partUnits     = 70, 67
)

// MostSegments is what an answer may take before the rest waits for `more`.
const MostSegments = 3

// MostSeptets is what fits in MostSegments.
const MostSeptets = MostSegments * partSeptets

// Septets tells how many 7-bit codes a text takes on the phone line; -1 when a
// character is in neither GSM 03.38 table, so that all of it would go as UCS-2.
func Septets(s string) int {
	n := 0
	for _, r := range s {
		w := gsm.Width(r)
		if w == 0 {
			return -1
		}
		n += w
	}
	return n
}

// Segments tells in how many parts a text is sent and charged.
func Segments(s string) int { return len(Split(s)) }

// Split cuts a text where the phone network does. A two-septet character and a
// surrogate pair are never halved, so a part may stay one short.
func Split(s string) []string {
	if Septets(s) >= 0 {
		return split(s, gsm.Width, oneSeptets, partSeptets)
	}
	return split(s, units16, oneUnits, partUnits)
}

func units16(r rune) int {
	if r > 0xFFFF {
		return 2
	}
	return 1
}

func split(s string, width func(rune) int, one, part int) []string {
	total := 0
	for _, r := range s {
		total += width(r)
	}
	if total <= one {
		return []string{s}
	}
	var parts []string
	from, used := 0, 0
	for i, r := range s {
		if used+width(r) > part {
			parts = append(parts, s[from:i])
			from, used = i, 0
		}
		used += width(r)
	}
	return append(parts, s[from:])
}

// ToGSM says a text in the characters of GSM 03.38: signs become the words of the
// trade (° goes, – is -), accents that the table lacks are dropped. What has no
// stand-in is kept inside "quotes", where somebody's own word is said back, and is
// ? elsewhere.
func ToGSM(s string) string {
	var b strings.Builder
	quoted := false
	last := rune(0)
	for _, r := range norm.NFC.String(s) {
		if r == '"' || r == '“' || r == '”' {
			quoted = !quoted
		}
		if unicode.IsDigit(last) {
			b.WriteString(apart(r))
		}
		b.WriteString(inGSM(r, quoted))
		last = r
	}
	return b.String()
}

// apart is what must stand between a digit and a character that becomes digits:
// 1½ is not 11/2, and 10² is not 102.
func apart(r rune) string {
	plain := norm.NFKD.String(string(r))
	switch {
	case plain == string(r) || !unicode.IsNumber(r) || unicode.IsDigit(r):
		return ""
	case strings.ContainsRune(plain, '\u2044'):
		return "-"
	}
	return "^"
}

func inGSM(r rune, quoted bool) string {
	if gsm.Width(r) > 0 && r != '\f' && r != '\r' {
		return string(r)
	}
	if w, ok := gsm.StandIn(r); ok {
		return w
	}
	if w, ok := unaccented(r); ok {
		return w
	}
	if quoted && unicode.IsGraphic(r) {
		return string(r)
	}
	if unicode.Is(unicode.Mn, r) || unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
		return ""
	}
	return "?"
}

// unaccented is a character without marks, or the plain form of a ligature, a
// full-width letter or a fraction, when the table has it.
func unaccented(r rune) (string, bool) {
	var b strings.Builder
	for _, d := range norm.NFKD.String(string(r)) {
		switch w, ok := gsm.StandIn(d); {
		case unicode.Is(unicode.Mn, d):
		case gsm.Width(d) > 0:
			b.WriteRune(d)
		case ok:
			b.WriteString(w)
		default:
			return "", false
		}
	}
	return b.String(), b.Len() > 0 && r != utf8.RuneError
}
