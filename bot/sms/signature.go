package sms

import (
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/url"
	"strings"
	"unicode/utf8"

	"github.com/twilio/twilio-go/client"
)

// Refusal is a webhook request that was not taken.
type Refusal struct {
	Status int    // of the HTTP answer
	Kind   string // for the metric: oversized, content_type, malformed, forged, fields
	Why    string // for the log; never holds what the request said
}

func (r *Refusal) Error() string { return r.Kind + ": " + r.Why }

func refuse(status int, kind, format string, args ...any) *Refusal {
	return &Refusal{Status: status, Kind: kind, Why: fmt.Sprintf(format, args...)}
}

// maxBody holds 1600 characters of four bytes, percent-coded, ten media links and
// fields to come, with room.
const maxBody = 64 << 10

// maxFields is several times what the provider sends.
const maxFields = 200

// signedForm reads a webhook's form and lets it through only when the provider
// signed it for our own public URL. Signed is not the same as whole: pairs are
// joined without separators, so a field boundary may have been moved. The readers
// of the form check each field.
func (a Account) signedForm(w http.ResponseWriter, r *http.Request) (form, error) {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || kind != "application/x-www-form-urlencoded" {
		return nil, refuse(http.StatusUnsupportedMediaType, "content_type", "a webhook is a form")
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxBody))
	var big *http.MaxBytesError
	if errors.As(err, &big) {
		return nil, refuse(http.StatusRequestEntityTooLarge, "oversized", "over %d bytes", maxBody)
	}
	if err != nil {
		return nil, refuse(http.StatusBadRequest, "malformed", "the body broke off")
	}
	if err := a.signed(r, body); err != nil {
		return nil, err
	}
	values, err := url.ParseQuery(string(body))
	if err != nil {
		return nil, refuse(http.StatusBadRequest, "malformed", "the form can't be read")
	}
	return onceEach(values)
}

// signed checks the signature over the public URL and what the request says. The
// URL is never built from Host or forwarding headers: whoever sends those could
// choose what was signed.
func (a Account) signed(r *http.Request, body []byte) error {
	if r.Header.Get("X-Twilio-Webhooks-Signature-Settings") != "" {
		return refuse(http.StatusForbidden, "forged", "signed by a webhook rule (HMAC-SHA256), which can't be checked: switch the rule off for this number")
	}
	if r.URL.Query().Has("bodySHA256") {
		return refuse(http.StatusForbidden, "forged", "a body digest in the URL takes the form out of the signature")
	}
	given := r.Header.Values("X-Twilio-Signature")
	if a.Token == "" || len(given) != 1 {
		return refuse(http.StatusForbidden, "forged", "%d signatures", len(given))
	}
	check := client.NewRequestValidator(a.Token)
	if !check.ValidateBody(a.publicURL(r.URL.RequestURI()), body, given[0]) {
		return refuse(http.StatusForbidden, "forged", "the signature does not fit; the provider must call %s", a.publicURL(r.URL.Path))
	}
	return nil
}

// form is a webhook's fields, each of which came exactly once.
type form map[string]string

// onceEach refuses a repeated field: the signature covers only its first value.
func onceEach(values url.Values) (form, error) {
	if len(values) > maxFields {
		return nil, refuse(http.StatusBadRequest, "malformed", "%d fields", len(values))
	}
	f := form{}
	for key, all := range values {
		if len(all) != 1 {
			return nil, refuse(http.StatusBadRequest, "fields", "a field came %d times", len(all))
		}
		if !utf8.ValidString(key) || !utf8.ValidString(all[0]) || strings.ContainsRune(key+all[0], 0) {
			return nil, refuse(http.StatusBadRequest, "malformed", "a field is not text")
		}
		f[key] = all[0]
	}
	return f, nil
}

// mustBe refuses a field that is absent or not what it has to be.
func (f form) mustBe(key string, ok func(string) bool) error {
	v, there := f[key]
	if !there {
		return refuse(http.StatusBadRequest, "fields", "%s is missing", key)
	}
	if !ok(v) {
		return refuse(http.StatusBadRequest, "fields", "%s is not what it has to be", key)
	}
	return nil
}

func equal(want string) func(string) bool {
	return func(v string) bool { return v == want }
}

// same refuses a field that is there and differs from another.
func (f form) same(key, other string) error {
	if v, there := f[key]; there && v != f[other] {
		return refuse(http.StatusBadRequest, "fields", "%s differs from %s", key, other)
	}
	return nil
}

func firstOf(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
