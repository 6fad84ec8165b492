package talk

import "strings"

// Word is one of the words a sender can type alone on a line.
type Word struct {
	Name string // how, more, new, same, case, undo, why, plan, page, picture, watch, close, us, metric
	Rest string // what follows case and close
}

// drawn is what "show" shows; anything else after it is no word of ours.
var drawn = map[string]bool{"cycle": true, "trend": true, "trends": true, "picture": true, "pictures": true, "diagram": true}

// ReadWord reads a word of ours, in any letter case. None of them is a word that
// carriers act on by themselves (YES, STOP, END …); "help" works where no carrier is,
// and on the phone line the carrier answers it and it never comes here.
func ReadWord(text string) (Word, bool) {
	fields := strings.Fields(strings.Trim(strings.TrimSpace(text), "\"'.!"))
	if len(fields) == 0 {
		return Word{}, false
	}
	name, rest := strings.ToLower(fields[0]), strings.Join(fields[1:], " ")
	switch name {
	case "?", "how", "how?", "help", "ayuda":
		return Word{Name: "how"}, rest == ""
	case "more", "new", "same", "undo", "why", "plan", "page", "watch", "us", "metric":
		return Word{Name: name}, rest == ""
	case "picture", "pictures", "diagram":
		return Word{Name: "picture"}, rest == ""
	case "show":
		return Word{Name: "picture"}, drawn[strings.ToLower(strings.TrimPrefix(rest, "the "))]
	case "why?", "more?", "plan?":
		return Word{Name: strings.TrimSuffix(name, "?")}, rest == ""
	case "close":
		return Word{Name: name, Rest: rest}, true
	case "case":
		return Word{Name: name, Rest: rest}, rest != "" && strings.Trim(rest, "0123456789- #") == ""
	}
	return Word{}, false
}
