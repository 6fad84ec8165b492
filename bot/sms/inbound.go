package sms

import (
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"coldcase/refdata/carrier"
)

// Text is one message from a phone.
type Text struct {
	ID    string // the provider's, SM… or MM…
	From  string
	Body  string
	At    time.Time
	Media []string    // links, to be fetched with credentials
	Act   carrier.Act // what the carrier does on it by itself
	// Unlisted: it has media, which have not been asked for yet.
	Unlisted bool
}

const maxText = 1600

var numMedia = regexp.MustCompile(`^\d{1,2}$`)

// text reads an inbound message from a signed form, at the time it came.
func (a Account) text(f form, at time.Time) (Text, error) {
	err := firstOf(
		f.mustBe("MessageSid", messageSID.MatchString),
		f.same("SmsSid", "MessageSid"),
		f.same("SmsMessageSid", "MessageSid"),
		f.mustBe("AccountSid", equal(a.SID)),
		f.mustBe("To", equal(a.From)),
		f.mustBe("From", func(v string) bool { return phone.MatchString(v) && v != a.From }),
		f.mustBe("NumMedia", numMedia.MatchString),
		f.mustBe("Body", func(v string) bool { return utf8.RuneCountInString(v) <= maxText }),
	)
	if err != nil {
		return Text{}, err
	}
	media, err := f.media()
	if err != nil {
		return Text{}, err
	}
	return Text{ID: f["MessageSid"], From: f["From"], Body: clean(f["Body"]), At: at, Media: media, Act: act(f["OptOutType"], f["Body"])}, nil
}

// media are the links, as many as NumMedia says and no other.
func (f form) media() ([]string, error) {
	n, err := strconv.Atoi(f["NumMedia"])
	if err != nil || n > 10 {
		return nil, refuse(http.StatusBadRequest, "fields", "NumMedia is not what it has to be")
	}
	links := make([]string, n)
	for i := range links {
		key := "MediaUrl" + strconv.Itoa(i)
		if err := f.mustBe(key, func(v string) bool { _, err := url.ParseRequestURI(v); return err == nil }); err != nil {
			return nil, err
		}
		links[i] = f[key]
	}
	for key := range f {
		if rest, ok := strings.CutPrefix(key, "MediaUrl"); ok {
			if i, err := strconv.Atoi(rest); err != nil || i < 0 || i >= n || strconv.Itoa(i) != rest {
				return nil, refuse(http.StatusBadRequest, "fields", "a media link beyond NumMedia")
			}
		}
	}
	return links, nil
}

// act is what the carrier does: as the provider says, else by the word alone.
func act(optOut, body string) carrier.Act {
	switch optOut {
	case "STOP":
		return carrier.ActStop
	case "START":
		return carrier.ActStart
	case "HELP":
		return carrier.ActHelp
	}
	return carrier.ActOn(body)
}

// clean makes a text fit to be kept: no control characters but line breaks.
func clean(s string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\t' || r == 0x7f {
			return ' '
		}
		return r
	}, s))
}
