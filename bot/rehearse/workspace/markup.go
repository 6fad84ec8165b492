package workspace

import (
	"encoding/json"
	"html"
	"html/template"
	"regexp"
	"strings"
)

// block is what the page draws of the provider's blocks.
type block struct {
	Type     string
	Text     template.HTML
	Fields   []template.HTML
	Elements []element
}

// element is a button, a choice or a piece of small print.
type element struct {
	Kind          string // button, menu, text
	Text          template.HTML
	Action, Value string
	Main          bool
	Options       []option
}

type option struct{ Text, Value string }

// wireBlock is a block as it was sent.
type wireBlock struct {
	Type     string
	Text     *textObject
	Fields   []textObject
	Elements []wireElement
}

type wireElement struct {
	Type        string
	Text        json.RawMessage
	ActionID    string `json:"action_id"`
	Value       string
	Style       json.RawMessage
	Placeholder *textObject
	Options     []struct {
		Text  textObject
		Value string
	}
	Elements []wireElement
}

// drawn reads a post's blocks; a post without any is its text.
func drawn(p Post) []block {
	var sent []wireBlock
	if p.Blocks == nil || json.Unmarshal(p.Blocks, &sent) != nil {
		if p.Text == "" {
			return nil
		}
		return []block{{Type: "section", Text: markup(p.Text)}}
	}
	var out []block
	for _, s := range sent {
		b := block{Type: s.Type}
		if s.Text != nil {
			b.Text = s.Text.html()
		}
		for _, f := range s.Fields {
			b.Fields = append(b.Fields, f.html())
		}
		for _, e := range s.Elements {
			b.Elements = append(b.Elements, e.drawn()...)
		}
		out = append(out, b)
	}
	return out
}

func (t textObject) html() template.HTML {
	if t.Type == "mrkdwn" {
		return markup(t.Text)
	}
	return plain(t.Text)
}

func (e wireElement) drawn() []element {
	switch e.Type {
	case "button", "static_select":
		out := element{Kind: "button", Action: e.ActionID, Value: e.Value, Main: string(e.Style) == `"primary"`}
		var t textObject
		if json.Unmarshal(e.Text, &t) == nil {
			out.Text = plain(t.Text)
		}
		if e.Type == "static_select" {
			out.Kind = "menu"
			if e.Placeholder != nil {
				out.Text = plain(e.Placeholder.Text)
			}
			for _, o := range e.Options {
				out.Options = append(out.Options, option{o.Text.Text, o.Value})
			}
		}
		return []element{out}
	case "rich_text_section", "rich_text_preformatted":
		var out []element
		for _, one := range e.Elements {
			var text string
			if json.Unmarshal(one.Text, &text) == nil {
				out = append(out, element{Kind: e.Type, Text: plain(text)}) // no markup in it
			}
		}
		return out
	}
	var text string
	if json.Unmarshal(e.Text, &text) == nil {
		return []element{{Kind: "text", Text: textObject{e.Type, text}.html()}}
	}
	return nil
}

func plain(text string) template.HTML {
	return template.HTML(html.EscapeString(text)) //nolint:gosec // escaped
}

var (
	linked = regexp.MustCompile(`&lt;((?:https?://)[^|&]+)\|([^&]+)&gt;`)
	strong = regexp.MustCompile(`(?m)(^|[ (])\*([^*\n]+)\*`)
	slant  = regexp.MustCompile(`(?m)(^|[ (])_([^_\n]+)_`)
)

// markup draws the provider's markup: links, bold, slanted, the warning sign. The
// text's own entities come out as the characters that were typed.
func markup(text string) template.HTML {
	const open, end, and = "\x01", "\x02", "\x03" // typed < > & while links are found
	text = strings.NewReplacer("&lt;", open, "&gt;", end, "&amp;", and).Replace(text)
	text = html.EscapeString(text)
	text = linked.ReplaceAllString(text, `<a href="$1">$2</a>`)
	text = strong.ReplaceAllString(text, `$1<strong>$2</strong>`)
	text = slant.ReplaceAllString(text, `$1<em>$2</em>`)
	text = strings.ReplaceAll(text, ":warning:", `<span class="warn" aria-label="Caution">⚠</span>`)
	text = strings.NewReplacer(open, "&lt;", end, "&gt;", and, "&amp;").Replace(text)
	return template.HTML(text) //nolint:gosec // escaped above, but for what is drawn here
}
