package browser

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// A Page is a page in Chromium, and what went wrong in it.
type Page struct {
	T       *testing.T // that fails
	Context context.Context
	URL     string

	mu                 sync.Mutex
	faults, away, seen []string
}

// Open starts Chromium with a profile of its own for the page in a file; Place
// shows it. Where there is no Chromium it skips the test, saying what to install;
// with CI=true it fails instead.
func Open(t *testing.T, file string) *Page {
	t.Helper()
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(chromium(t)), chromedp.UserDataDir(t.TempDir()), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck, chromedp.WindowSize(1280, 900),
	}
	for _, name := range []string{"disable-background-networking", "disable-component-update", "disable-sync", "disable-dev-shm-usage", "hide-scrollbars"} {
		options = append(options, chromedp.Flag(name, true))
	}
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	b := &Page{T: t, Context: ctx, URL: "file://" + file}
	if err := chromedp.Listen(ctx, b.note); err != nil {
		t.Fatal(err)
	}
	return b
}

// note keeps what must not happen.
func (b *Page) note(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.seen = append(b.seen, e.Request.URL)
		if e.Request.URL != b.URL && !strings.HasPrefix(e.Request.URL, "data:") {
			b.away = append(b.away, e.Request.URL)
		}
	case *runtime.EventExceptionThrown:
		b.faults = append(b.faults, fmt.Sprint(e.ExceptionDetails))
	case *runtime.EventConsoleAPICalled:
		said := ""
		for _, arg := range e.Args {
			said += " " + string(arg.Value)
		}
		b.faults = append(b.faults, fmt.Sprintf("console %s%s", e.Type, said))
	case *log.EventEntryAdded:
		b.faults = append(b.faults, e.Entry.Text)
	}
}

func (b *Page) Do(steps ...chromedp.Action[chromedp.Void]) {
	b.T.Helper()
	if err := chromedp.Do(b.Context, steps...); err != nil {
		b.T.Fatal(err)
	}
}

// Ask returns the value of an expression in the page.
func Ask[T any](b *Page, expression string) T {
	b.T.Helper()
	v, err := chromedp.Run(b.Context, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.T.Fatalf("%s: %v", expression, err)
	}
	return v
}

// Holds fails where an expression in the page does not become true within 5 s: on a
// busy machine a page takes its time to follow a finger.
func (b *Page) Holds(why, expression string) {
	b.T.Helper()
	for end := time.Now().Add(5 * time.Second); !Ask[bool](b, expression); time.Sleep(50 * time.Millisecond) {
		if time.Now().After(end) {
			b.T.Errorf("%s: false: %s", why, expression)
			return
		}
	}
}

// Place shows the page in a window of that width, in that colour scheme, for
// that medium ("" for a screen).
func (b *Page) Place(width int64, scheme, medium string) {
	b.T.Helper()
	_, err := chromedp.Call(b.Context, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Media: medium, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	})
	if err != nil {
		b.T.Fatal(err)
	}
	b.Do(chromedp.EmulateViewport(width, 900), chromedp.Navigate(b.URL))
}

// Look keeps a picture of the page where ULLAGE_LOOK names a folder.
func (b *Page) Look(name string) {
	b.T.Helper()
	dir := os.Getenv("ULLAGE_LOOK")
	if dir == "" {
		return
	}
	for _, section := range Ask[[]string](b, `[...document.querySelectorAll("header, section")].filter(e => e.offsetHeight > 0).map((e, i) => e.id = e.id || "part" + i)`) {
		picture, err := chromedp.Run(b.Context, chromedp.Screenshot(chromedp.ID(section)))
		if err != nil {
			b.T.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+"-"+section+".png"), picture, 0o666); err != nil {
			b.T.Fatal(err)
		}
	}
}

// Drag presses the mouse at one point of a chart and lets go at another, both
// in shares of its width and height.
func (b *Page) Drag(chart string, x0, y0, x1, y1 float64) {
	b.T.Helper()
	at := b.Point(chart, fmt.Sprintf("[%g * r.width, %g * r.height, %g * r.width, %g * r.height]", x0, y0, x1, y1))
	b.Do(
		chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, at[0], at[1]),
		chromedp.DragAndDropXY(at[0], at[1], at[2], at[3]),
	)
}

// Press clicks the middle of an element.
func (b *Page) Press(selector string) {
	b.T.Helper()
	at := b.Point(selector, "[r.width / 2, r.height / 2]")
	b.Do(chromedp.MouseClickXY(at[0], at[1]))
}

// Point brings an element into the window and returns, there, the points that
// an expression gives within it; e is the element, r its rectangle. It waits
// until the page was painted: where a click lands is decided by what was
// painted last.
func (b *Page) Point(selector, points string) []float64 {
	b.T.Helper()
	return Ask[[]float64](b, fmt.Sprintf(`(async () => {
		const e = document.querySelector(%q);
		// A heading that stays in sight does not lie where it seems to.
		(e.closest(".scroll") ?? e).scrollIntoView({ block: "center" });
		for (let frame = 0; frame < 3; frame++) await new Promise(requestAnimationFrame);
		const r = e.getBoundingClientRect();
		return (%s).map((v, i) => v + (i %% 2 ? r.top : r.left));
	})()`, selector, points))
}

// Went returns what the page asked for, of that what is not itself, and what it
// complained about.
func (b *Page) Went() (seen, away, faults []string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.seen, b.away, b.faults
}
