package team

import (
	"strings"
	"unicode/utf8"

	"github.com/slack-go/slack"

	"coldcase/bot/reply"
)

// What the provider takes. Sources: its block reference (50 blocks a message, 3000
// characters a section's text, 150 a header, 2000 a field, 75 a button or
// option, 100 options); text alone 4000 advised, 40,000 the most. All blocks of a
// message together about 13,000, which no page of the provider's says (issue 2509
// of its JavaScript framework).
const (
	mostBlocks  = 50
	mostSection = 3000
	mostHeader  = 150
	mostOption  = 75
	mostOptions = 100
	mostPlain   = 3000
	mostMessage = 12000
)

// cut shortens a text to so many characters of the provider's count, escaped.
func cut(text string, most int) string {
	text = strings.ToValidUTF8(text, "?")
	if utf8.RuneCountInString(text) <= most && escaped(text) <= most {
		return text
	}
	runes := []rune(text)
	runes = runes[:min(len(runes), most)]
	for len(runes) > 0 && escaped(string(runes))+1 > most {
		over := escaped(string(runes)) + 1 - most
		runes = runes[:max(0, len(runes)-max(1, over/len("&amp;")))]
	}
	return string(runes) + "…"
}

func escaped(text string) int { return utf8.RuneCountInString(Escape(text)) }

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// bold is one line in bold.
func bold(text string, most int) string {
	if text = oneLine(text); text == "" {
		return ""
	}
	return "*" + Escape(cut(text, most)) + "*"
}

// markup is text in the provider's markup, in which nothing is made a link or a
// mention but what is written as one.
func markup(text string) *slack.TextBlockObject {
	return slack.NewTextBlockObject(slack.MarkdownType, text, false, true)
}

func section(text string) slack.Block { return slack.NewSectionBlock(markup(text), nil, nil) }

// marked is a line in the provider's markup.
func marked(l reply.Line) string {
	text := Escape(l.Text)
	if l.Kind == reply.CautionLine || l.Kind == reply.AskLine || l.Kind == reply.WordsLine {
		text = strings.TrimSpace(text) // marks hold only around a letter
	}
	switch {
	case strings.TrimSpace(text) == "":
		return text
	case l.Kind == reply.CautionLine:
		return ":warning: *" + text + "*"
	case l.Kind == reply.NumberLine && !strings.HasPrefix(text, "("): // what was assumed stands in brackets
		return "• " + text
	case l.Kind == reply.AskLine:
		return "*" + text + "*"
	case l.Kind == reply.WordsLine:
		return "_" + text + "_"
	}
	return text
}

// sections puts lines into as few blocks as they fit, never cutting a line that
// fits one.
func sections(lines []reply.Line) []slack.Block { return sectionsWithin(lines, mostMessage) }

func sectionsWithin(lines []reply.Line, most int) []slack.Block {
	var out []slack.Block
	var text strings.Builder
	size := 0
	flush := func() {
		if strings.TrimSpace(text.String()) != "" {
			out = append(out, section(strings.TrimSuffix(text.String(), "\n")))
		}
		text.Reset()
		size = 0
	}
	for _, l := range fitting(lines, most) {
		for _, piece := range split(l) {
			m := marked(piece)
			if n := utf8.RuneCountInString(m) + 1; size+n > mostSection {
				flush()
			}
			size += utf8.RuneCountInString(m) + 1
			text.WriteString(m + "\n")
		}
	}
	flush()
	return out
}

// split cuts a line that no section would take. A line break inside it starts a new
// one, so that bold and the like hold for each.
func split(l reply.Line) []reply.Line {
	var out []reply.Line
	for text := range strings.SplitSeq(strings.ToValidUTF8(l.Text, "?"), "\n") {
		for {
			head := cut(text, mostSection-20)
			if head == text {
				out = append(out, reply.Line{Kind: l.Kind, Text: text})
				break
			}
			head = strings.TrimSuffix(head, "…")
			out = append(out, reply.Line{Kind: l.Kind, Text: head})
			text = text[len(head):]
		}
	}
	return out
}

// fitting leaves lines out, never a caution, until the rest fits one message.
func fitting(lines []reply.Line, left int) []reply.Line {
	for _, l := range lines {
		if l.Kind == reply.CautionLine {
			left -= len([]rune(marked(l))) + 1
		}
	}
	var out []reply.Line
	full := false
	for _, l := range lines {
		if l.Kind == reply.CautionLine {
			out = append(out, l)
			continue
		}
		n := len([]rune(marked(l))) + 1
		if full || n > left {
			if !full && left > 200 {
				out = append(out, reply.Line{Kind: l.Kind, Text: cut(l.Text, left-100)})
			}
			if !full {
				out = append(out, reply.Line{Kind: reply.WordsLine, Text: "(cut here; the case page has the rest)"})
			}
			full = true
			continue
		}
		left -= n
		out = append(out, l)
	}
	return out
}

// plain is a text for notifications.
func plain(lines []reply.Line) string {
	var all []string
	for _, l := range lines {
		all = append(all, l.Text)
	}
	return Escape(cut(strings.Join(all, "\n"), mostPlain))
}

// typedBlocks show what a person typed as it is: rich text elements hold plain
// characters, no markup, so that nothing in it can ping, link or look like ours.
func typedBlocks(who, text string) []slack.Block {
	out := []slack.Block{slack.NewContextBlock("", markup(bold(who, mostShort)))}
	var pieces []slack.RichTextSectionElement
	for rest := []rune(cut(text, mostMessage-mostSection)); len(rest) > 0; {
		n := min(len(rest), mostSection)
		pieces = append(pieces, slack.NewRichTextSectionTextElement(string(rest[:n]), nil))
		rest = rest[n:]
	}
	if len(pieces) > 0 {
		out = append(out, slack.NewRichTextBlock("", slack.NewRichTextSection(pieces...)))
	}
	return out
}
