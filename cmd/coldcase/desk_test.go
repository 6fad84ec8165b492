package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestServeWithoutAnAccountOpensTheDesk starts the program as a newcomer does, texts
// at the address it prints, and opens the page that the desk shows.
func TestServeWithoutAnAccountOpensTheDesk(t *testing.T) {
	at := deskAddress(t)
	page := fetch(t, http.DefaultClient, at, nil)
	assert.Contains(t, page, "No case in hand")
	page = fetch(t, http.DefaultClient, at+"say", url.Values{"text": {"R404A freezer 2 @ Juniper Street Creamery suct 12 line -6 head 235"}})
	assert.Contains(t, page, "superheat at the compressor")
	framed := regexp.MustCompile(`<iframe id="page" src="/([^"]+)"`).FindStringSubmatch(page)
	require.NotNil(t, framed)
	assert.Contains(t, fetch(t, http.DefaultClient, at+framed[1], nil), "Juniper Street Creamery")
}

// TestTheDeskStaysOnThisMachine: an address that others reach opens no desk.
func TestTheDeskStaysOnThisMachine(t *testing.T) {
	t.Setenv("COLDCASE_LISTEN", "0.0.0.0:0")
	said := make(chan string, 1)
	serveUntilStopped(t, func(line string) {
		if strings.Contains(line, "opens on this machine only") {
			said <- line
		}
	})
	saidSoon(t, said)
}

func deskAddress(t *testing.T) string {
	t.Setenv("COLDCASE_LISTEN", "127.0.0.1:0")
	found := make(chan string, 1)
	serveUntilStopped(t, func(line string) {
		if at, ok := strings.CutPrefix(line, "Desk: "); ok {
			found <- at
		}
	})
	return saidSoon(t, found)
}

// saidSoon is what a program that has just been started said.
func saidSoon(t *testing.T, what <-chan string) string {
	t.Helper()
	select {
	case one := <-what:
		return one
	case <-time.After(20 * time.Second):
		t.Fatal("it was not said")
		return ""
	}
}

// serveUntilStopped runs serve until the test ends and hands over each line it writes.
func serveUntilStopped(t *testing.T, line func(string), args ...string) {
	t.Setenv("COLDCASE_DB", filepath.Join(t.TempDir(), "cases.db"))
	ctx, stop := context.WithCancel(context.Background())
	r, w := io.Pipe()
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, console{strings.NewReader(""), w, w}, append([]string{"serve"}, args...))
		_ = w.Close()
	}()
	go func() {
		for lines := bufio.NewScanner(r); lines.Scan(); {
			line(lines.Text())
		}
	}()
	t.Cleanup(func() {
		stop()
		require.Zero(t, <-ended)
	})
}

// fetch gets a page, or posts a form and follows where it leads.
func fetch(t *testing.T, c *http.Client, at string, form url.Values) string {
	var r *http.Response
	var err error
	if form == nil {
		r, err = c.Get(at)
	} else {
		r, err = c.PostForm(at, form)
	}
	require.NoError(t, err)
	defer r.Body.Close()
	require.Equal(t, http.StatusOK, r.StatusCode, at)
	b, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	return string(b)
}
