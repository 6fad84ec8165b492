package sms

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"slices"
)

// Picture is one file that came with a text.
type Picture struct {
	Type  string
	Bytes []byte
}

// PictureError says why a picture was not kept.
type PictureError struct {
	Why   string // for the sender: too big, not a picture, gone
	Again bool   // worth another try
	Err   error
}

func (e *PictureError) Error() string { return fmt.Sprintf("picture %s: %v", e.Why, e.Err) }
func (e *PictureError) Unwrap() error { return e.Err }

// maxPicture is what the provider takes for all files of a message together.
const maxPicture = 5 << 20

// pictureTypes are told by content, never by what the sender claims.
var pictureTypes = []string{"image/jpeg", "image/png", "image/gif", "image/webp"}

var mediaPath = regexp.MustCompile(`^/2010-04-01/Accounts/(AC[0-9a-f]{32})/Messages/(SM|MM)[0-9a-f]{32}/Media/ME[0-9a-f]{32}$`)

// Fetch gets a picture with our credentials, which go to the REST API's own host
// only; a redirect to where the bytes lie is followed without them.
func (c *Client) Fetch(ctx context.Context, link string) (Picture, error) {
	u, err := c.mediaURL(link)
	if err != nil {
		return Picture{}, &PictureError{Why: "not at the provider", Err: err}
	}
	ctx, stop := context.WithTimeout(ctx, sendWithin)
	defer stop()
	q, err := http.NewRequestWithContext(ctx, http.MethodGet, u.String(), nil)
	if err != nil {
		return Picture{}, &PictureError{Why: "not at the provider", Err: err}
	}
	q.SetBasicAuth(c.account.SID, c.account.Token)
	r, err := (&http.Client{Transport: c.next, CheckRedirect: withoutCredentials}).Do(q)
	if err != nil {
		return Picture{}, &PictureError{Why: "not reached", Again: true, Err: err}
	}
	p, err := picture(r)
	if e := r.Body.Close(); err == nil && e != nil {
		return Picture{}, &PictureError{Why: "broke off", Again: true, Err: e}
	}
	return p, err
}

// mediaURL is where a link is fetched: the path of one of our own messages, at the
// REST API's host whichever that is.
func (c *Client) mediaURL(link string) (*url.URL, error) {
	u, err := url.Parse(link)
	if err != nil {
		return nil, errors.New("the link can't be read")
	}
	home := u.Scheme == c.base.Scheme && u.Host == c.base.Host
	official := u.Scheme == "https" && u.Host == "api.twilio.com"
	part := mediaPath.FindStringSubmatch(u.Path)
	if (!home && !official) || part == nil || part[1] != c.account.SID || u.User != nil {
		return nil, fmt.Errorf("the link is not to media of our account at %s", c.base.Host)
	}
	return c.base.JoinPath(u.Path), nil
}

func withoutCredentials(q *http.Request, via []*http.Request) error {
	if len(via) > 3 {
		return errors.New("too many redirects")
	}
	if q.URL.Scheme != "https" && q.URL.Scheme != via[0].URL.Scheme {
		return errors.New("redirect away from https")
	}
	q.Header.Del("Authorization")
	return nil
}

func picture(r *http.Response) (Picture, error) {
	if r.StatusCode != http.StatusOK {
		again := r.StatusCode >= 500 || r.StatusCode == http.StatusTooManyRequests || r.StatusCode == http.StatusNotFound // not there yet
		return Picture{}, &PictureError{Why: "not to be had", Again: again, Err: fmt.Errorf("status %d", r.StatusCode)}
	}
	b, err := io.ReadAll(io.LimitReader(r.Body, maxPicture+1))
	if err != nil {
		return Picture{}, &PictureError{Why: "broke off", Again: true, Err: err}
	}
	if len(b) > maxPicture {
		return Picture{}, &PictureError{Why: "over 5 MB", Err: fmt.Errorf("over %d bytes", maxPicture)}
	}
	kind := http.DetectContentType(b)
	if !slices.Contains(pictureTypes, kind) {
		return Picture{}, &PictureError{Why: "not a picture", Err: fmt.Errorf("content is %s", kind)}
	}
	return Picture{Type: kind, Bytes: b}, nil
}
