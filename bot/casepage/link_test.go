package casepage

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

func signer(t *testing.T, key string) *Signer {
	s, err := NewSigner(key)
	require.NoError(t, err)
	return s
}

func TestLinkOpensUntilItExpires(t *testing.T) {
	s := signer(t, "a key that nobody guesses")
	want := Link{Case: 1042, Expires: noon.Add(time.Hour), Edition: 3}
	got, err := s.Open(s.Token(want), noon)
	require.NoError(t, err)
	require.Equal(t, want.Case, got.Case)
	require.Equal(t, want.Edition, got.Edition)
	require.True(t, want.Expires.Equal(got.Expires))
	_, err = s.Open(s.Token(want), noon.Add(time.Hour))
	require.ErrorIs(t, err, ErrLinkExpired)
}

func TestForgedLinksAreRefused(t *testing.T) {
	s := signer(t, "a key that nobody guesses")
	link := Link{Case: 7, Expires: noon.Add(time.Hour)}
	token := s.Token(link)
	forged := []string{"", "x", token[:len(token)-1], token + "A", signer(t, "another key, of another house").Token(link)}
	for i := range token {
		swap := byte('A')
		if token[i] == 'A' {
			swap = 'B'
		}
		forged = append(forged, token[:i]+string(swap)+token[i+1:])
	}
	for _, f := range forged {
		_, err := s.Open(f, noon)
		require.ErrorIs(t, err, ErrBadLink, f)
	}
}

func TestShortLinkKeyIsRefused(t *testing.T) {
	_, err := NewSigner("short")
	require.Error(t, err)
}
