package reply

import "coldcase/bot/talk"

// For writes an answer for the outside that its message came from.
func For(source string, a talk.Answer) string {
	switch source {
	case "sms":
		return SMS(a)
	case "slack":
		return Chat(a)
	}
	return Text(a)
}

// Chat is an answer for the team channel: the fuller form, with cautions and
// questions in bold.
func Chat(a talk.Answer) string {
	var out []Line
	for _, l := range Lines(a) {
		switch l.Kind {
		case CautionLine:
			l.Text = ":warning: *" + l.Text + "*"
		case NumberLine:
			l.Text = "• " + l.Text
		case AskLine:
			l.Text = "*" + l.Text + "*"
		case WordsLine:
			l.Text = "_" + l.Text + "_"
		}
		out = append(out, l)
	}
	return join(out)
}
