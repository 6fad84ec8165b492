package team

import (
	"slices"
	"strings"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/bot/reply"
	"coldcase/bot/talk"
)

// relay passes what was said in a case's thread on to the phones of those who texted
// on it, with who said it. What we made of readings, of a close or an undo goes
// along: it may hold a caution for who stands at the machine.
func (t *Team) relay(tx caselog.Tx, h heard, n caselog.Number, a talk.Answer, text string) error {
	if t.Relay == nil {
		return nil
	}
	word, isWord := talk.ReadWord(h.typed)
	changes := isWord && (word.Name == "close" || word.Name == "undo")
	if isWord && !changes {
		return nil
	}
	phones, err := t.phones(tx, n, h.who.Name)
	if err != nil {
		return err
	}
	for _, to := range phones {
		if err := t.Relay(tx, n, to, "relay/"+h.id+"/"+to.Name, passedOn(h), ""); err != nil {
			return err
		}
		if text == "" || !changes && len(a.Read)+len(a.Heard) == 0 {
			continue
		}
		if err := t.Relay(tx, n, to, "relay/"+h.id+"/"+to.Name+"/answer", reply.SMS(a), ""); err != nil {
			return err
		}
	}
	return nil
}

// phones are of those who texted on a case, but for the one who speaks.
func (t *Team) phones(tx caselog.Tx, n caselog.Number, but string) ([]crew.Person, error) {
	entries, err := tx.Entries(n)
	if err != nil {
		return nil, err
	}
	people := t.people()
	var out []crew.Person
	for _, e := range entries {
		if e.Kind != caselog.KindMessage || e.Channel != "sms" || e.By == but {
			continue
		}
		if p, ok := people.ByName(e.By); ok && p.Phone != "" && !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	return out, nil
}

// passedOn is a text for the phone: who said it, and what, in at most three
// segments.
func passedOn(h heard) string {
	return fitPhone(reply.ToGSM(h.who.Name+": "+h.typed), " ... (more in the team's thread)")
}

// fitPhone cuts a text to what one message to a phone may take.
func fitPhone(text, more string) string {
	if runes := []rune(text); len(runes) > reply.MostSeptets {
		text = string(runes[:reply.MostSeptets]) + more
	}
	if reply.Segments(text) <= reply.MostSegments {
		return text
	}
	runes := []rune(strings.TrimSuffix(text, more))
	for len(runes) > 0 && reply.Segments(string(runes)+more) > reply.MostSegments {
		runes = runes[:len(runes)-1]
	}
	return string(runes) + more
}

// relayPhoto passes a photo of the thread on to the same phones, once it is kept: as
// a picture where the case has a page that the provider can fetch it from.
func (t *Team) relayPhoto(tx caselog.Tx, row photoRow, sha256 string) error {
	if t.Relay == nil || !row.Thread {
		return nil
	}
	phones, err := t.phones(tx, row.Case, row.By)
	if err != nil {
		return err
	}
	text, picture := row.By+" sent a photo to the case.", ""
	if t.Link != nil && len(phones) > 0 {
		page, err := t.Link(tx, row.Case)
		if err != nil {
			return err
		}
		text = row.By + " sent a photo: " + page
		if strings.HasPrefix(page, "https://") {
			picture = page + "/photo/" + sha256
		}
	}
	for _, to := range phones {
		if err := t.Relay(tx, row.Case, to, "relay/"+row.ID+"/"+row.File.ID+"/"+to.Name, reply.ToGSM(text), picture); err != nil {
			return err
		}
	}
	return nil
}
