package team

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/slack-go/slack"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/bot/caselog"
	"coldcase/bot/reply"
	"coldcase/bot/talk"
)

func TestTyped(t *testing.T) {
	for _, c := range []struct{ escaped, typed string }{
		{"volts 208 &amp; 204 &lt; 3%", "volts 208 & 204 < 3%"},
		{"call <tel:+15550100|555-0100>", "call 555-0100"},
		{"see <https://example.org/a?b=1&amp;c>", "see https://example.org/a?b=1&c"},
		{"see <https://example.org|the sheet>", "see the sheet"},
		{"<mailto:a@example.org|a@example.org> <mailto:b@example.org>", "a@example.org b@example.org"},
		{"<@U0INES> in <#C01|cold>, <!here>, <!date^1^{date}|today>, <!subteam^S1|@crew>", "@U0INES in #cold, @here, today, @crew"},
		{"suct 28\nline 8", "suct 28\nline 8"},
	} {
		assert.Equal(t, c.typed, Typed(c.escaped))
	}
}

func TestEscape(t *testing.T) {
	for _, c := range []struct{ typed, escaped string }{
		{"<!channel> suct 28", "&lt;!channel&gt; suct 28"},
		{"<https://evil.example.org|case page>", "&lt;https://evil.example.org|case page&gt;"},
		{"*DANGER* _x_ ~y~ `z`", "∗DANGER∗ ˍxˍ ∼y∼ ʹzʹ"},
		{":warning: at 14:05:09", "∶warning: at 14∶05:09"},
		{"P&T", "P&amp;T"},
	} {
		assert.Equal(t, c.escaped, Escape(c.typed))
	}
}

var entity = regexp.MustCompile(`&(amp|lt|gt);`)

// harmless: no bare < > &, no mark of the markup, no picture's name.
func harmless(t *testing.T, text string) {
	t.Helper()
	rest := entity.ReplaceAllString(text, "")
	if strings.ContainsAny(rest, "<>&*_~`") || pictureName.MatchString(text) {
		t.Fatalf("not harmless: %q", text)
	}
}

// FuzzNothingTypedDoesHarm: whatever somebody types stands in markup as plain
// characters, or in a rich text element that knows no markup; all of it within the
// provider's limits.
func FuzzNothingTypedDoesHarm(f *testing.F) {
	for _, s := range []string{
		"<!channel>", "<!everyone|x>", "<@U0INES>", "<https://a.example|b>", "&lt;!here&gt;", "*a*\n_b_", ":rotating_light:", ":a:b:c:", "```x```", ">quote",
		"\u202e<!here>", strings.Repeat("&<>*", 4000), "\x00\xff<", "<!channel", "a>b<c", "| <a|b>",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		harmless(t, Escape(s))
		e := caselog.Entry{Kind: caselog.KindMessage, By: s, Channel: "sms", Text: s}
		within(t, messageOf(e))
		within(t, messageOf(caselog.Entry{Kind: caselog.KindReply, By: us, Text: s}))
		lines := []reply.Line{{Kind: reply.CautionLine, Text: string([]rune(s)[:min(200, len([]rune(s)))])}, {Kind: reply.AskLine, Text: s}, {Kind: reply.WordsLine, Text: s}, {Kind: reply.NumberLine, Text: s}}
		within(t, speech{Lines: lines, Typed: s}.message())
		c := Card{Case: "1-3", Place: s, Refrigerant: s, OpenedBy: s, InHand: s, Closed: time.Time{}, Outcome: s, Findings: []string{s}, Numbers: []string{s}, Next: s, Cautions: lines[:1], Link: "https://coldcase.example.org/case/x"}
		c.stands(talk.Answer{Findings: []talk.Finding{{Text: s + "x", Why: s}}, Question: s})
		within(t, message{text: c.Plain(), blocks: c.Blocks()})
		c.Closed = time.Now()
		within(t, message{text: c.Plain(), blocks: c.Blocks()})
		if back := entities.Replace(strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(s)); back != s {
			t.Fatalf("%q came back as %q", s, back)
		}
	})
}

// ours is the only markup in a message: bold, our link, our caution sign.
var (
	ourLink = "<https://coldcase.example.org/case/x|Case page>"
	ourMark = regexp.MustCompile(`(?m)^(:warning: )?[*_](.*)[*_]$`)
)

func within(t *testing.T, m message) {
	t.Helper()
	harmless(t, m.text)
	require.LessOrEqual(t, utf8.RuneCountInString(m.text), 4000)
	require.LessOrEqual(t, len(m.blocks), mostBlocks)
	raw, err := json.Marshal(m.blocks)
	require.NoError(t, err)
	var blocks []map[string]any
	require.NoError(t, json.Unmarshal(raw, &blocks))
	total := 0
	var walk func(kind string, v any)
	walk = func(kind string, v any) {
		switch v := v.(type) {
		case map[string]any:
			text, _ := v["text"].(string)
			n := utf8.RuneCountInString(text)
			total += n
			switch v["type"] {
			case "mrkdwn":
				require.Equal(t, true, v["verbatim"], "nothing is made a link by itself")
				text = strings.ReplaceAll(text, ourLink, "")
				for line := range strings.SplitSeq(text, "\n") {
					harmless(t, ourMark.ReplaceAllString(line, "$2"))
				}
				require.LessOrEqual(t, n, mostSection)
			case "plain_text", "text":
				require.LessOrEqual(t, n, mostSection)
			case "rich_text", "rich_text_section", "rich_text_preformatted", "header", "section", "context", "actions", "button", "static_select", "option", nil:
			default:
				t.Fatalf("an element of type %v", v["type"])
			}
			if kind == "header" && v["type"] == "plain_text" {
				require.LessOrEqual(t, n, mostHeader)
				require.Positive(t, n)
			}
			next := kind
			if name, ok := v["type"].(string); ok {
				next = name
			}
			for _, one := range v {
				walk(next, one)
			}
		case []any:
			for _, one := range v {
				walk(kind, one)
			}
		}
	}
	for _, b := range blocks {
		walk("", b)
	}
	require.LessOrEqual(t, total, 13000)
}

// A caution is never cut, however long the rest.
func TestALongAnswerKeepsItsCautions(t *testing.T) {
	lines := []reply.Line{{Kind: reply.HeadLine, Text: strings.Repeat("head ", 4000)}}
	for range 8 {
		lines = append(lines, reply.Line{Kind: reply.CautionLine, Text: "DANGER: " + strings.TrimSpace(strings.Repeat("lock out ", 20))})
	}
	lines = append(lines, reply.Line{Kind: reply.SaidLine, Text: strings.Repeat("more ", 4000)})
	blocks := sections(lines)
	raw, err := json.Marshal(blocks)
	require.NoError(t, err)
	assert.Equal(t, 8, strings.Count(string(raw), ":warning: *DANGER: "+strings.TrimSpace(strings.Repeat("lock out ", 20))+"*"))
	assert.Contains(t, string(raw), "the case page has the rest")
	within(t, message{text: "x", blocks: blocks})
}

func TestPlainTextCanBeTooLongToo(t *testing.T) {
	m := messageOf(caselog.Entry{Kind: caselog.KindMessage, By: "Ines", Channel: "sms", Text: strings.Repeat("long 🧊 & ", 9000)})
	within(t, m)
	assert.IsType(t, &slack.RichTextBlock{}, m.blocks[1])
}
