package casepage

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"strconv"
	"time"

	"coldcase/bot/caselog"
)

// Link opens one case until it expires or the case's links are revoked.
type Link struct {
	Case    caselog.Number
	Expires time.Time // whole seconds
	Edition uint32    // links of an earlier edition are revoked
}

// Errors of a link that does not open. Both read the same to a stranger.
var (
	ErrBadLink     = errors.New("link is not one of ours")
	ErrLinkExpired = errors.New("link has expired")
)

// A token is case (4 bytes), expiry in unix seconds (4), edition (4) and half of their
// HMAC-SHA-256 (16): short enough to text.
const (
	linkBytes = 12
	signBytes = 16
)

// Signer makes and reads links with the key of COLDCASE_LINK_KEY.
type Signer struct{ key []byte }

// NewSigner refuses a key that could be guessed: at least 16 bytes.
func NewSigner(key string) (*Signer, error) {
	if len(key) < 16 {
		return nil, errors.New("COLDCASE_LINK_KEY needs at least 16 characters")
	}
	return &Signer{key: []byte(key)}, nil
}

// Token writes a link as URL-safe text.
func (s *Signer) Token(l Link) string {
	b := make([]byte, linkBytes, linkBytes+signBytes)
	binary.BigEndian.PutUint32(b, uint32(l.Case))
	binary.BigEndian.PutUint32(b[4:], uint32(l.Expires.Unix()))
	binary.BigEndian.PutUint32(b[8:], l.Edition)
	return base64.RawURLEncoding.EncodeToString(append(b, s.sign(b)...))
}

// Open reads a token at the given time. The edition is for the caller to hold
// against the case's own.
func (s *Signer) Open(token string, now time.Time) (Link, error) {
	b, err := base64.RawURLEncoding.Strict().DecodeString(token)
	if err != nil || len(b) != linkBytes+signBytes || !hmac.Equal(s.sign(b[:linkBytes]), b[linkBytes:]) {
		return Link{}, ErrBadLink
	}
	l := Link{
		Case:    caselog.Number(binary.BigEndian.Uint32(b)),
		Expires: time.Unix(int64(binary.BigEndian.Uint32(b[4:])), 0),
		Edition: binary.BigEndian.Uint32(b[8:]),
	}
	if !now.Before(l.Expires) {
		return Link{}, ErrLinkExpired
	}
	return l, nil
}

func (s *Signer) sign(b []byte) []byte {
	m := hmac.New(sha256.New, s.key)
	m.Write([]byte("coldcase case link\x00"))
	m.Write(b)
	return m.Sum(nil)[:signBytes]
}

func editionNote(n caselog.Number) string { return "links of case " + n.String() }

// editionOf is the edition of a case's links; links of an earlier one are revoked.
func editionOf(t caselog.Tx, n caselog.Number) (uint32, error) {
	text, err := t.Note(editionNote(n))
	if err != nil || text == "" {
		return 0, err
	}
	e, err := strconv.ParseUint(text, 10, 32)
	return uint32(e), err
}

// LinkTo makes a link to a case that opens for a while.
func (s *Signer) LinkTo(t caselog.Tx, n caselog.Number, until time.Time) (string, error) {
	edition, err := editionOf(t, n)
	if err != nil {
		return "", fmt.Errorf("link to case %s: %w", n, err)
	}
	return "/case/" + s.Token(Link{Case: n, Expires: until, Edition: edition}), nil
}

// Revoke makes every link of a case that was given out open nothing.
func Revoke(t caselog.Tx, n caselog.Number) error {
	edition, err := editionOf(t, n)
	if err != nil {
		return fmt.Errorf("revoke the links of case %s: %w", n, err)
	}
	return t.SaveNote(editionNote(n), strconv.FormatUint(uint64(edition)+1, 10))
}
