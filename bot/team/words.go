package team

import (
	"regexp"
	"strings"
)

// Typed is what a person typed, of a text as the provider escaped it: & < > come
// as entities, and links, people and channels in angle brackets.
func Typed(text string) string {
	text = bracketed.ReplaceAllStringFunc(text, func(s string) string {
		target, label, labelled := strings.Cut(s[1:len(s)-1], "|")
		switch {
		case strings.HasPrefix(target, "@"), strings.HasPrefix(target, "#"):
			if labelled {
				return target[:1] + label
			}
			return target
		case strings.HasPrefix(target, "!"):
			if labelled {
				return label
			}
			return "@" + strings.TrimPrefix(target, "!")
		case labelled:
			return label
		}
		return strings.TrimPrefix(target, "mailto:")
	})
	return entities.Replace(text)
}

var (
	bracketed = regexp.MustCompile(`<[^<>\n]+>`)
	entities  = strings.NewReplacer("&lt;", "<", "&gt;", ">", "&amp;", "&")
)

// Escape makes what somebody typed harmless in the provider's markup: it pings
// nobody, forges no link and no picture, and nothing in it turns bold. The three
// characters that the provider wants escaped come back as typed; the marks of the
// markup are put as characters that look the same.
func Escape(text string) string {
	text = marks.Replace(text)
	for pictureName.MatchString(text) { // :a:b: holds two
		text = pictureName.ReplaceAllString(text, "∶$1:")
	}
	return text
}

var (
	marks = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;",
		"*", "∗", "_", "ˍ", "~", "∼", "`", "ʹ")
	pictureName = regexp.MustCompile(`:([A-Za-z0-9_'+\-]+):`)
)

// addressed takes the mention of us off a text.
func addressed(text, us string) (rest string, yes bool) {
	mention := regexp.MustCompile(`<@` + regexp.QuoteMeta(us) + `(\|[^<>]*)?>[,:]?`)
	if us == "" || !mention.MatchString(text) {
		return text, false
	}
	return strings.TrimSpace(mention.ReplaceAllString(text, " ")), true
}

// mentioned finds people who are named in a text.
var mentioned = regexp.MustCompile(`<@[UW][0-9A-Z]+(\|[^<>]*)?>`)
