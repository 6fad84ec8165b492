// Package browsertest gives tests a real headless Chromium and the accessibility
// checker: one browser a test binary, one tab a test. COLDCASE_TEST_CHROMIUM names
// another browser than the one that is installed.
package browsertest

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// ErrNoChromium: the browser isn't installed.
var ErrNoChromium = errors.New("no chromium in the path and no COLDCASE_TEST_CHROMIUM")

// Browser is a running Chromium.
type Browser struct {
	start func() (context.Context, error)
	stop  func()
}

var shared *Browser

// Main runs the tests of a package with one browser.
func Main(m *testing.M) { os.Exit(Around(m).Run()) }

// Suite is the tests of a package with one browser, which starts with the first tab.
// Without Chromium the tests that need it are skipped, but not under CI.
type Suite struct{ tests *testing.M }

// Around puts the browser around the tests of a package.
func Around(m *testing.M) Suite { return Suite{m} }

// Run runs them and closes the browser.
func (s Suite) Run() int {
	program, err := find()
	switch {
	case err == nil:
		shared = browser(program)
		defer func() { shared.stop() }()
	case os.Getenv("CI") != "":
		fmt.Fprintln(os.Stderr, "browsertest:", err)
		return 1
	}
	return s.tests.Run()
}

func find() (string, error) {
	if own := os.Getenv("COLDCASE_TEST_CHROMIUM"); own != "" {
		return own, nil
	}
	program, err := exec.LookPath("chromium")
	if err != nil {
		return "", ErrNoChromium
	}
	return program, nil
}

// browser needs nothing but this machine: it runs without a sandbox because tests
// may run as root, loads only the tests' own pages and calls nobody by itself.
func browser(program string) *Browser {
	options := append(chromedp.DefaultExecAllocatorOptions[:len(chromedp.DefaultExecAllocatorOptions):len(chromedp.DefaultExecAllocatorOptions)],
		chromedp.ExecPath(program), chromedp.NoSandbox, chromedp.Flag("disable-gpu", true), chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("hide-scrollbars", true), chromedp.Flag("lang", "en-US"))
	b := &Browser{stop: func() {}}
	b.start = sync.OnceValues(func() (context.Context, error) {
		allocator, free := chromedp.NewExecAllocator(context.Background(), options...)
		ctx, quit := chromedp.NewContext(allocator)
		b.stop = func() {
			_ = chromedp.Cancel(ctx) // closes the browser and takes its folder away
			quit()
			free()
		}
		return ctx, chromedp.Do(ctx)
	})
	return b
}

// patience is for one test in one tab, on a machine that does other work beside.
const patience = 2 * time.Minute

// Open is a new tab of that size, closed when the test ends.
func Open(t testing.TB, s Size) *Tab {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	if shared == nil {
		t.Skip(ErrNoChromium)
	}
	in, err := shared.start()
	require.NoError(t, err, "start chromium")
	tab := &Tab{t: t, size: s}
	ctx, closeTab := chromedp.NewContext(in, chromedp.WithListener(tab.listen))
	ctx, giveUp := context.WithTimeout(ctx, patience)
	tab.ctx = ctx
	t.Cleanup(func() {
		giveUp()
		closeTab()
	})
	tab.Do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, log.Enable, cdp.Empty{})
		return err
	}), s.emulate())
	return tab
}
