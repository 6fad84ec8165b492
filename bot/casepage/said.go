package casepage

import (
	"encoding/json"
	"regexp"
	"strings"
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/bot/talk"
)

// undone are the seqs of the messages that were taken back.
func undone(entries []caselog.Entry) map[int]bool {
	gone := map[int]bool{}
	for _, e := range entries {
		var b talk.CorrectionBody
		if e.Kind == caselog.KindCorrection && json.Unmarshal(e.Body, &b) == nil && b.TakesBack > 0 {
			gone[b.TakesBack] = true
		}
	}
	return gone
}

// ourLink is the address of a case page in a text.
var ourLink = regexp.MustCompile(`\S*/case/[A-Za-z0-9_-]{30,}\S*`)

// fit is the text of an entry as it may be shown to an owner: no phone number, and no
// link that outlives the reader's own.
func fit(e caselog.Entry) string {
	text := crew.MaskAll(e.Text)
	if strings.Contains(text, "/case/") { // few texts have one, and looking closely is slow
		text = ourLink.ReplaceAllString(text, "(a link)")
	}
	return text
}

// told is what one message told besides readings, in words.
type told struct {
	entry caselog.Entry
	heard []string
}

// happened is what was seen and told, in order, as it was understood; readings have
// their own place, and what was taken back did not happen.
func (s Story) happened(zone *time.Location) []Happening {
	var out []Happening
	for _, t := range s.told {
		out = append(out, Happening{At: t.entry.At.In(zone), By: crew.MaskAll(t.entry.By), Text: upper(strings.Join(t.heard, "; ")) + "."})
	}
	return out
}

// photoBody is the structured form of a photo entry.
type photoBody struct {
	SHA256 string `json:"sha256"`
}

// photos are the pictures of the case, with the words that they came with.
func (s Story) photos(zone *time.Location) []Photo {
	var out []Photo
	for _, e := range s.Entries {
		if sum := photoOf(e); sum != "" {
			out = append(out, Photo{Sum: sum, At: e.At.In(zone), By: crew.MaskAll(e.By), Words: s.wordsWith(e)})
		}
	}
	return out
}

func photoOf(e caselog.Entry) string {
	var b photoBody
	if e.Kind != caselog.KindPhoto || json.Unmarshal(e.Body, &b) != nil {
		return ""
	}
	return b.SHA256
}

// wordsWith are the words of the message that a photo came with.
func (s Story) wordsWith(photo caselog.Entry) string {
	if photo.Text != "" {
		return fit(photo)
	}
	for _, e := range s.Entries {
		if e.Kind == caselog.KindMessage && e.ProviderID == photo.ProviderID && photo.ProviderID != "" {
			return fit(e)
		}
	}
	return ""
}

// messages are what was said in both directions; what was taken back stays, marked.
func (s Story) messages(zone *time.Location) []Message {
	out := make([]Message, 0, len(s.Entries)/2)
	for _, e := range s.Entries {
		if e.Text == "" {
			continue
		}
		switch e.Kind {
		case caselog.KindMessage, caselog.KindReply, caselog.KindCorrection, caselog.KindOutcome, caselog.KindVisit, caselog.KindPhoto:
			out = append(out, s.message(e, zone))
		}
	}
	return out
}

func (s Story) message(e caselog.Entry, zone *time.Location) Message {
	who := crew.MaskAll(e.By)
	if e.Channel != "" {
		who += ", " + e.Channel
	}
	return Message{
		Who: who, When: moment(e.At.In(zone)), Ours: e.Kind == caselog.KindReply || e.Kind == caselog.KindVisit,
		Text: fit(e), TakenBack: s.takenBack[e.Seq],
	}
}
