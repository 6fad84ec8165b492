package reply

import "coldcase/bot/talk"

// For writes an answer for the outside that its message came from. The team channel
// gets the fuller form; it puts its own marks on the lines.
func For(source string, a talk.Answer) string {
	if source == "sms" {
		return SMS(a)
	}
	return Text(a)
}
