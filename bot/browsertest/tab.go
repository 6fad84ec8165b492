package browsertest

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// Size of a window, in CSS pixels.
type Size struct {
	Width, Height int64
	Density       float64
	Touch         bool
}

// The sizes that people read on.
var (
	Phone   = Size{360, 740, 2, true}
	Tablet  = Size{820, 1180, 2, true}
	Desktop = Size{1366, 860, 1, false}
)

// Tab is one page in the browser.
type Tab struct {
	t    testing.TB
	ctx  context.Context
	size Size

	mu         sync.Mutex
	complaints []string
}

func (s Size) emulate() chromedp.Action[chromedp.Void] {
	options := []chromedp.EmulateViewportOption{chromedp.EmulateScale(s.Density)}
	if s.Touch {
		options = append(options, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	return chromedp.EmulateViewport(s.Width, s.Height, options...)
}

// listen keeps what the console and the browser's own log complain of: errors,
// warnings, what a policy forbade, what did not load.
func (b *Tab) listen(event any) {
	var text string
	switch e := event.(type) {
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			for _, a := range e.Args {
				text += string(a.Value) + a.Description + " "
			}
		}
	case *runtime.EventExceptionThrown:
		text = e.ExceptionDetails.Text
		if thrown := e.ExceptionDetails.Exception; thrown != nil {
			text += " " + thrown.Description
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
			text = fmt.Sprintf("%s: %s %s", e.Entry.Source, e.Entry.Text, e.Entry.URL)
		}
	}
	if text != "" {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.complaints = append(b.complaints, text)
	}
}

// Do runs steps and fails the test when one can't be done.
func (b *Tab) Do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	require.NoError(b.t, chromedp.Do(b.ctx, steps...))
}

// Visit opens an address and waits until all of it is there.
func (b *Tab) Visit(address string) {
	b.t.Helper()
	b.Do(chromedp.Navigate(address))
}

// Context is the tab's, for what the helpers here lack.
func (b *Tab) Context() context.Context { return b.ctx }

// Ask evaluates an expression in the page.
func Ask[T any](b *Tab, expression string) T {
	b.t.Helper()
	answer, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	require.NoError(b.t, err, expression)
	return answer
}

// Leave evaluates an expression that sends the tab to another page, as a form does, and
// waits until that is there: a page on its way would cut off the next visit.
func (b *Tab) Leave(expression string) {
	b.t.Helper()
	_, err := chromedp.RunResponse(b.ctx, chromedp.Evaluate[chromedp.Void](expression))
	require.NoError(b.t, err, expression)
}

// Complaints are what the page's console and the browser's log hold so far.
func (b *Tab) Complaints() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.complaints)
}

// Overflow names what sticks out of the window sideways: each element that is
// wider than the window allows and does not stand in a box that scrolls by itself.
func (b *Tab) Overflow() []string {
	b.t.Helper()
	return Ask[[]string](b, `(() => {
		const room = document.documentElement.clientWidth;
		const scrolls = e => { for (let p = e.parentElement; p && p !== document.body; p = p.parentElement) { if (/auto|scroll|hidden/.test(getComputedStyle(p).overflowX)) return true; } return false; };
		const out = [];
		for (const e of document.body.querySelectorAll("*")) {
			const r = e.getBoundingClientRect();
			if (r.width > 0 && r.left > -1000 && (r.right > room + 1 || r.left < -1) && !scrolls(e)) out.push(e.tagName + "." + e.className + " " + Math.round(r.left) + ".." + Math.round(r.right) + " of " + room);
		}
		if (document.documentElement.scrollWidth > room + 1) out.push("the page is " + document.documentElement.scrollWidth + " wide");
		return out;
	})()`)
}

// Broken names the pictures that did not come.
func (b *Tab) Broken() []string {
	b.t.Helper()
	return Ask[[]string](b, `Promise.all(Array.from(document.images, async i => { i.loading = "eager"; await i.decode().catch(() => {}); return i; }))
		.then(all => all.filter(i => !i.naturalWidth).map(i => i.src))`)
}

// Serious runs the accessibility checker and names what it finds serious or worse.
func (b *Tab) Serious() []string {
	b.t.Helper()
	return slices.DeleteFunc(b.check(`{}`), func(found string) bool {
		return !strings.HasPrefix(found, "serious") && !strings.HasPrefix(found, "critical")
	})
}

// Barriers runs its rules of WCAG 2.2 AA and good practice with the contrast of AAA
// besides, for pages that are read in the sun. It names all that is found, however
// slight.
func (b *Tab) Barriers() []string {
	b.t.Helper()
	return b.check(`{
		runOnly: {type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice", "wcag2aaa"]},
		rules: {"color-contrast-enhanced": {enabled: true}, "target-size": {enabled: true}},
	}`)
}

// check names what the checker finds: impact, rule, element.
func (b *Tab) check(options string) []string {
	b.t.Helper()
	checker, err := os.ReadFile(filepath.Join(top(b.t), ".ci", "axe", "node_modules", "axe-core", "axe.min.js"))
	if os.IsNotExist(err) && os.Getenv("CI") == "" {
		b.t.Skip("no accessibility checker: npm ci in .ci/axe")
	}
	require.NoError(b.t, err)
	b.Do(chromedp.Evaluate[chromedp.Void](string(checker)))
	require.NotEmpty(b.t, Ask[string](b, `axe.version`))
	return Ask[[]string](b, `axe.run(document, Object.assign({iframes: false}, `+options+`))
		.then(r => r.violations.flatMap(v => v.nodes.map(n => [v.impact, v.id, v.help, n.html, n.failureSummary].join("; "))))`)
}

// top is the folder of go.mod.
func top(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		require.NotEqual(t, dir, filepath.Dir(dir), "no go.mod above")
		dir = filepath.Dir(dir)
	}
}

// Until waits for a condition of the page.
func (b *Tab) Until(condition string) func(context.Context, *chromedp.Target) error {
	return func(ctx context.Context, t *chromedp.Target) error {
		_, err := chromedp.Poll[bool](condition, chromedp.WithPollingTimeout(waiting))(ctx, t)
		if err != nil {
			return fmt.Errorf("%s: %w", condition, err)
		}
		return nil
	}
}

// waiting is the patience for one condition.
const waiting = 30 * time.Second

// WithoutScript turns JavaScript off for the pages that are opened from now on.
func (b *Tab) WithoutScript() {
	b.t.Helper()
	b.Do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}))
}
