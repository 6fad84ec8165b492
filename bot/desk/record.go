package desk

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"coldcase/bot/caselog"
	"coldcase/bot/talk"
)

// mostLines are the newest entries that the desk shows.
const mostLines = 40

// record says in a line each what went on record, newest first.
func record(entries []caselog.Entry) []Line {
	var out []Line
	for _, e := range slices.Backward(entries) {
		if len(out) == mostLines {
			break
		}
		out = append(out, Line{e.Seq, string(e.Kind), short(words(e))})
	}
	return out
}

func words(e caselog.Entry) string {
	switch e.Kind {
	case caselog.KindReading:
		return readings(e)
	case caselog.KindJudgement:
		return judgement(e)
	case caselog.KindCorrection:
		return "something was taken back; it stays on record"
	case caselog.KindVisit:
		var b talk.VisitBody
		if e.Text == "" && json.Unmarshal(e.Body, &b) == nil {
			return b.Name + ", by " + b.Due.Format("2 Jan")
		}
	}
	return e.Text
}

func readings(e caselog.Entry) string {
	var b talk.ReadingBody
	if json.Unmarshal(e.Body, &b) != nil {
		return ""
	}
	var parts []string
	if n := len(b.Message.Readings); n > 0 {
		parts = append(parts, fmt.Sprintf("%d reading%s", n, plural(n)))
	}
	if heard := talk.Heard(b.Message); len(heard) > 0 {
		parts = append(parts, strings.Join(heard, ", "))
	}
	return strings.Join(parts, "; ")
}

func plural(n int) string {
	if n == 1 {
		return ""
	}
	return "s"
}

func judgement(e caselog.Entry) string {
	var b talk.JudgementBody
	if json.Unmarshal(e.Body, &b) != nil {
		return ""
	}
	text := b.Standing
	if len(b.Causes) > 0 {
		first := strings.ReplaceAll(b.Causes[0].Cause, "_", " ")
		if b.Causes[0].Cause == "none_healthy" {
			first = "no fault"
		}
		text += "; first: " + first
	}
	if n := len(b.Numbers); n > 0 {
		text += fmt.Sprintf("; %d number%s computed", n, plural(n))
	}
	return text
}

func short(text string) string {
	const most = 110
	runes := []rune(strings.Join(strings.Fields(text), " "))
	if len(runes) <= most {
		return string(runes)
	}
	return string(runes[:most-1]) + "…"
}
