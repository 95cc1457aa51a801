package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
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
	"github.com/chromedp/chromedp/kb"

	"ullage/testdata/javascript"
)

// hostile is a title that breaks out of every place that forgets to escape it.
const hostile = `</title></script><img src=x onerror=alert(1)>{{.}}'"&`

// A browser holds a page of report.html and what went wrong in it.
type browser struct {
	t   *testing.T
	ctx context.Context
	url string

	mu                 sync.Mutex
	faults, away, seen []string
}

// open starts Chromium with a profile of its own.
func open(t *testing.T, file string) *browser {
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
	b := &browser{t: t, ctx: ctx, url: "file://" + file}
	if err := chromedp.Listen(ctx, b.note); err != nil {
		t.Fatal(err)
	}
	return b
}

// note keeps what must not happen.
func (b *browser) note(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.seen = append(b.seen, e.Request.URL)
		if e.Request.URL != b.url && !strings.HasPrefix(e.Request.URL, "data:") {
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

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

// ask returns the value of an expression in the page.
func ask[T any](b *browser, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// holds fails where an expression in the page is not true.
func (b *browser) holds(why, expression string) {
	b.t.Helper()
	if !ask[bool](b, expression) {
		b.t.Errorf("%s: false: %s", why, expression)
	}
}

// place shows the page in a window of that width, in that colour scheme, for
// that medium ("" for a screen).
func (b *browser) place(width int64, scheme, medium string) {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Media: medium, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	})
	if err != nil {
		b.t.Fatal(err)
	}
	b.do(chromedp.EmulateViewport(width, 900), chromedp.Navigate(b.url))
}

// look keeps a picture of the page where ULLAGE_LOOK names a folder.
func (b *browser) look(name string) {
	b.t.Helper()
	dir := os.Getenv("ULLAGE_LOOK")
	if dir == "" {
		return
	}
	for _, section := range ask[[]string](b, `[...document.querySelectorAll("header, section")].filter(e => e.offsetHeight > 0).map((e, i) => e.id = e.id || "part" + i)`) {
		picture, err := chromedp.Run(b.ctx, chromedp.Screenshot(chromedp.ID(section)))
		if err != nil {
			b.t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+"-"+section+".png"), picture, 0o666); err != nil {
			b.t.Fatal(err)
		}
	}
}

// underPolicy denies the test itself what the page's policy denies.
func underPolicy(p *runtime.EvaluateParams) { p.AllowUnsafeEvalBlockedByCSP = new(bool) }

// drag presses the mouse at one point of a chart and lets go at another, both
// in shares of its width and height.
func (b *browser) drag(chart string, x0, y0, x1, y1 float64) {
	b.t.Helper()
	at := b.point(chart, fmt.Sprintf("[%g * r.width, %g * r.height, %g * r.width, %g * r.height]", x0, y0, x1, y1))
	b.do(
		chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, at[0], at[1]),
		chromedp.DragAndDropXY(at[0], at[1], at[2], at[3]),
	)
}

// press clicks the middle of an element.
func (b *browser) press(selector string) {
	b.t.Helper()
	at := b.point(selector, "[r.width / 2, r.height / 2]")
	b.do(chromedp.MouseClickXY(at[0], at[1]))
}

// point brings an element into the window and returns, there, the points that
// an expression gives within it; e is the element, r its rectangle. It waits
// until the page was painted: where a click lands is decided by what was
// painted last.
func (b *browser) point(selector, points string) []float64 {
	b.t.Helper()
	return ask[[]float64](b, fmt.Sprintf(`(async () => {
		const e = document.querySelector(%q);
		// A heading that stays in sight does not lie where it seems to.
		(e.closest(".scroll") ?? e).scrollIntoView({ block: "center" });
		for (let frame = 0; frame < 3; frame++) await new Promise(requestAnimationFrame);
		const r = e.getBoundingClientRect();
		return (%s).map((v, i) => v + (i %% 2 ? r.top : r.left));
	})()`, selector, points))
}

// lowest returns where the dot of the lowest apogee lies.
func (b *browser) lowest() (x, y float64) {
	b.t.Helper()
	at := b.point("#scatter-0-1", `(() => {
		const chart = echarts.getInstanceByDom(e);
		const points = chart.getOption().series[1].data.map(d => d.value).sort((a, b) => a[0] - b[0]);
		return chart.convertToPixel({ gridIndex: 0 }, points[0]);
	})()`)
	return at[0], at[1]
}

// demoReport searches the demo for a short while and returns its report.
func demoReport(t *testing.T, title string) string {
	t.Helper()
	source, err := os.ReadFile("../../testdata/briefs/field-day.toml")
	if err != nil {
		t.Fatal(err)
	}
	source = bytes.Replace(source, []byte("flights = 60000"), []byte("flights = 6000"), 1)
	line, rest, _ := bytes.Cut(source, []byte("\n"))
	if !bytes.HasPrefix(line, []byte("title = ")) {
		t.Fatalf("first line %q, want the title", line)
	}
	if title != "" {
		source = append([]byte("title = '''"+title+"'''\n"), rest...)
	}
	dir := t.TempDir()
	brief := filepath.Join(dir, "brief.toml")
	if err := os.WriteFile(brief, source, 0o666); err != nil {
		t.Fatal(err)
	}
	ullage(t, t.Context(), 0, "search", brief, "-q", "-o", filepath.Join(dir, "run"))
	return filepath.Join(dir, "run", "report.html")
}

const (
	landingTold = `document.getElementById("landing-words").textContent`
	landingDots = `JSON.stringify(echarts.getInstanceByDom(document.getElementById("landing")).getOption().series[0].data)`
	visibleRows = `document.querySelectorAll("#table tbody tr:not([hidden])").length`
	flightDrawn = `document.querySelector("#flight svg").outerHTML`
	numbersTold = `document.querySelector(".numbers").innerText`
	chosenRow   = `document.querySelector("#table tr[aria-selected=true]").rowIndex`
	shownNumber = `Number(document.querySelector("#design .number").textContent)`
)

func TestReportInABrowser(t *testing.T) {
	t.Parallel()
	b := open(t, demoReport(t, ""))
	b.place(1280, "light", "")
	all := ask[int](b, visibleRows)
	if all < 50 {
		t.Fatalf("%d designs in the table, want the front of the demo", all)
	}
	b.holds("the knee is chosen first", shownNumber+` === 1 && `+chosenRow+` === 1`)
	b.holds("scripts run, so the still pictures are put away", `getComputedStyle(document.querySelector(".still")).display === "none"`)
	b.look("wide-light")

	t.Run("a box in a scatter narrows the table", func(t *testing.T) {
		b.t = t
		b.holds("a mouse draws boxes at once", `document.getElementById("box").checked || (document.getElementById("box").click(), true)`)
		b.drag("#scatter-0-1", 0.6, 0.1, 0.93, 0.75)
		n := ask[int](b, visibleRows)
		if n == 0 || n >= all {
			t.Fatalf("%d of %d rows after drawing a box over the right of the dots", n, all)
		}
		b.holds("the count is told", fmt.Sprintf(`document.querySelector(".count").textContent.startsWith("%d of %d ")`, n, all))
		b.holds("the highest design is in, the lowest is out", `(() => {
			const rows = [...document.querySelectorAll("#table tbody tr")].map(r => ({ hidden: r.hidden, apogee: Number(r.cells[1].textContent) }));
			const lowest = Math.min(...rows.filter(r => !r.hidden).map(r => r.apogee)), least = Math.min(...rows.map(r => r.apogee));
			return lowest > least;
		})()`)
		b.look("wide-box")
		b.press("#front .clear")
		if n := ask[int](b, visibleRows); n != all {
			t.Errorf("%d rows after clearing, want %d", n, all)
		}
	})
	t.Run("a range on a parallel axis narrows the table", func(t *testing.T) {
		b.t = t
		left := ask[float64](b, `60 / document.getElementById("parallel").offsetWidth`)
		b.drag("#parallel", left, 0.25, left, 0.5)
		n := ask[int](b, visibleRows)
		if n == 0 || n >= all {
			t.Fatalf("%d of %d rows after a drag along the first axis", n, all)
		}
		b.look("wide-range")
		b.press("#parallel-section .clear")
		if n := ask[int](b, visibleRows); n != all {
			t.Errorf("%d rows after clearing, want %d", n, all)
		}
		b.drag("#parallel", left, 0.25, left, 0.5)
		if again := ask[int](b, visibleRows); again != n {
			t.Errorf("%d rows after the same drag, want %d", again, n)
		}
		b.press("#parallel-section .clear")
	})
	t.Run("a click on a dot chooses its design", func(t *testing.T) {
		b.t = t
		before, told, landed := ask[string](b, flightDrawn), ask[string](b, numbersTold), ask[string](b, landingDots)
		b.holds("the landings of the knee are told", landingTold+`.includes(" of 100 flights land within both limits: ")`)
		b.holds("its pad and limits are drawn", `["pad", "at most 70.0", "at most 6.00"].every(word => document.getElementById("landing").textContent.includes(word))`)
		// The lowest apogee lies alone at the left.
		b.do(chromedp.MouseClickXY(b.lowest()))
		b.holds("another design is chosen", shownNumber+` !== 1`)
		if ask[string](b, flightDrawn) == before || ask[string](b, numbersTold) == told {
			t.Error("the flight and the numbers of another design are the same as of the knee")
		}
		b.holds("it is drawn from the side, with the stations that matter", `((s, n) => s.startsWith("Design " + n + " from the side, to scale: CG at release ") && /CG empty \d+, CP \d+, water level \d+ mm/.test(s))(
			document.querySelector("#side svg").getAttribute("aria-label"), document.querySelector("#design .number").textContent)`)
		b.holds("its path is drawn with the wind", `/^Path of design \d+ in the plane of flight, to scale: apogee .*; wind 3.00 m\/s at 10 m$/.test(document.querySelector("#plane svg").getAttribute("aria-label"))`)
		if ask[string](b, landingDots) == landed {
			t.Error("another design lands where the knee does")
		}
		if n := ask[int](b, visibleRows); n != all {
			t.Errorf("%d rows after a click, want %d", n, all)
		}
	})
	t.Run("keys move along the table and choose", func(t *testing.T) {
		b.t = t
		b.do(chromedp.Navigate(b.url))
		before := ask[string](b, flightDrawn)
		b.do(chromedp.Focus(chromedp.CSS(`#table tbody tr[tabindex="0"]`)), chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowDown))
		b.holds("the third row has the focus", `document.activeElement.rowIndex === 3`)
		b.holds("the focus can be seen", `getComputedStyle(document.activeElement).outlineStyle === "solid"`)
		b.holds("arrows alone choose nothing", shownNumber+` === 1`)
		b.do(chromedp.KeyEvent(kb.Enter))
		b.holds("enter chooses", shownNumber+` === 3 && `+chosenRow+` === 3`)
		if ask[string](b, flightDrawn) == before {
			t.Error("the flight of design 3 is drawn as that of design 1")
		}
		at := ask[int](b, `Math.round(scrollY)`)
		b.do(chromedp.KeyEvent(kb.End), chromedp.KeyEvent(" "))
		b.holds("the page stays where it is", fmt.Sprintf(`new Promise(done => setTimeout(() => done(Math.round(scrollY) === %d), 300))`, at))
		b.holds("the last design is chosen", fmt.Sprintf(shownNumber+` === %d`, all))
		b.holds("one row alone takes the tab key", `document.querySelectorAll('#table tbody tr[tabindex="0"]').length === 1`)
	})
	t.Run("a heading sorts", func(t *testing.T) {
		b.t = t
		b.press("#table thead th:nth-child(2) button")
		const apogees = `[...document.querySelectorAll("#table tbody tr")].map(r => Number(r.cells[1].textContent))`
		b.holds("rising", apogees+`.every((v, i, all) => i === 0 || v >= all[i - 1])`)
		b.holds("told", `document.querySelector("#table thead th:nth-child(2)").getAttribute("aria-sort") === "ascending"`)
		b.press("#table thead th:nth-child(2) button")
		b.holds("falling", apogees+`.every((v, i, all) => i === 0 || v <= all[i - 1])`)
	})
	b.t = t
	for _, view := range []struct {
		name   string
		width  int64
		scheme string
	}{{"narrow-light", 360, "light"}, {"wide-dark", 1280, "dark"}, {"narrow-dark", 360, "dark"}} {
		b.place(view.width, view.scheme, "")
		b.holds(view.name+": nothing sticks out", `document.documentElement.scrollWidth <= innerWidth`)
		b.holds(view.name+": the ground", fmt.Sprintf(`getComputedStyle(document.body).backgroundColor === %q`,
			map[string]string{"light": "rgb(255, 255, 255)", "dark": "rgb(21, 24, 27)"}[view.scheme]))
		b.holds(view.name+": the charts follow", fmt.Sprintf(`document.querySelector("#flight svg").outerHTML.includes(%q)`,
			map[string]string{"light": "#d55e00", "dark": "#e69f00"}[view.scheme]))
		b.look(view.name)
	}
	b.place(360, "light", "")
	b.do(chromedp.EmulateViewport(360, 900, chromedp.EmulateTouch), chromedp.Navigate(b.url))
	b.holds("a finger draws no boxes unasked", `!document.getElementById("box").checked`)
	b.do(chromedp.TapXY(b.lowest()))
	b.holds("a finger chooses a design", shownNumber+` !== 1`)
	// Turned, the page lays its axes the other way.
	b.do(chromedp.EmulateViewport(1280, 900))
	b.holds("the axes turn with the screen", `new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() =>
		done(document.getElementById("parallel").offsetHeight === 480))))`)
	b.look("turned")
	b.place(794, "dark", "print")
	b.holds("print: still pictures", `document.querySelectorAll(".still svg").length >= 7 && getComputedStyle(document.querySelector(".still")).display === "block"`)
	b.holds("print: no charts", `[...document.querySelectorAll(".chart")].every(e => e.offsetHeight === 0)`)
	b.holds("print: black on white", `getComputedStyle(document.body).backgroundColor === "rgb(255, 255, 255)"`)
	b.look("print")
	if len(b.seen) == 0 || len(b.away) > 0 {
		t.Errorf("requests %q, of them not for the page %q; want none of these", b.seen, b.away)
	}
	if len(b.faults) > 0 {
		t.Errorf("faults in the page: %q", b.faults)
	}
	// What would reach out, or make code of text, is stopped.
	b.place(1280, "light", "")
	for _, attempt := range []string{
		`fetch("http://127.0.0.1:9/").then(() => "sent", () => "stopped")`,
		`(async () => { try { return new Function("return 'run'")(); } catch { return "stopped"; } })()`,
		`new Promise(done => { const i = new Image(); i.onload = () => done("sent"); i.onerror = () => done("stopped"); i.src = "http://127.0.0.1:9/x.png"; })`,
	} {
		got, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](attempt, chromedp.EvalAwaitPromise, underPolicy))
		if err != nil || got != "stopped" {
			t.Errorf("%s: %q, %v, want it stopped", attempt, got, err)
		}
	}
	if len(b.faults) < 3 || !strings.Contains(strings.Join(b.faults, "\n"), "Content Security Policy") {
		t.Errorf("faults %q, want the policy to have stopped all three", b.faults)
	}
}

// The rules of axe-core find nothing wrong with a report, of a search or a sweep, or a comparison, bright
// or dark, wide or narrow.
func TestPagesByTheRules(t *testing.T) {
	t.Parallel()
	axe := javascript.Axe(t)
	dir := t.TempDir()
	run, both := tinyRun(t, dir), filepath.Join(dir, "both.html")
	report := filepath.Join(run, "report.html")
	ullage(t, t.Context(), 0, "compare", run, run, "-o", both)
	swept, indices := filepath.Join(dir, "swept"), filepath.Join(dir, "indices")
	ullage(t, t.Context(), 0, "sweep", filepath.Join(dir, "tiny.toml"), "-q", "--draws", "500", "-o", swept)
	ullage(t, t.Context(), 0, "sweep", filepath.Join(dir, "tiny.toml"), "-q", "--indices", "50", "-o", indices)
	pages := []string{report, both}
	for _, run := range []string{swept, indices} {
		ullage(t, t.Context(), 0, "report", run)
		pages = append(pages, filepath.Join(run, "report.html"))
	}
	for _, page := range pages {
		b := open(t, page)
		for _, view := range []struct {
			width  int64
			scheme string
		}{{1280, "light"}, {1280, "dark"}, {360, "light"}} {
			b.place(view.width, view.scheme, "")
			b.holds("the rules are there", axe+"; typeof axe.run === 'function'")
			found := ask[[]string](b, `axe.run().then(r => [r.passes.length >= 10 ? "kept" : "few",
				...r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes.map(n => n.target.join(" ")).slice(0, 3).join(", "))])`)
			if len(found) != 1 || found[0] != "kept" {
				t.Errorf("%s, %d wide, %s: %q, want at least 10 rules kept and none broken", page, view.width, view.scheme, found)
			}
		}
	}
}

// In print the headings of the table of designs stand on every page that has rows
// of it.
func TestPrintedHeadings(t *testing.T) {
	t.Parallel()
	words := program(t, "poppler-utils", "pdftotext")
	file := demoReport(t, "")
	page, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), words, "-layout", printed(t, "report.html", page), "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	tables := 0
	row := regexp.MustCompile(`(?m)^ *\d+ +\d+ +\d+ +\d\.\d+ +\d+ +\d+\.\d `)
	for i, sheet := range strings.Split(string(out), "\f") {
		if len(row.FindAllString(sheet, -1)) < 5 {
			continue
		}
		tables++
		for _, heading := range []string{"design", "apogee", "payload mass", "chamber throat"} {
			if !strings.Contains(sheet, heading) {
				t.Errorf("page %d has rows of the table and no heading %q", i+1, heading)
			}
		}
	}
	if tables < 2 {
		t.Errorf("the table stands on %d pages, want at least 2", tables)
	}
}

func TestReportWithoutScripts(t *testing.T) {
	t.Parallel()
	b := open(t, demoReport(t, ""))
	if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	b.place(1280, "light", "")
	b.holds("still pictures show", `document.querySelectorAll(".still svg").length >= 7 && document.querySelector(".still svg").getBoundingClientRect().width > 100`)
	b.holds("what needs scripts does not", `[...document.querySelectorAll(".live")].every(e => e.getBoundingClientRect().height === 0)`)
	b.holds("the table shows", `document.querySelector("#table").getBoundingClientRect().height > 100`)
	b.look("plain")
}

func TestReportEscapesTheBrief(t *testing.T) {
	t.Parallel()
	b := open(t, demoReport(t, hostile))
	b.place(1280, "light", "")
	for _, text := range []string{`document.title`, `document.querySelector("h1").textContent`} {
		if got := ask[string](b, text); got != hostile {
			t.Errorf("%s = %q, want %q", text, got, hostile)
		}
	}
	b.holds("the brief is shown as written", fmt.Sprintf(`document.querySelector("pre").textContent.startsWith("title = '''" + %q)`, hostile))
	b.holds("nothing of it became part of the page", `document.querySelectorAll("img").length === 0`)
	b.holds("the charts are drawn", `document.querySelector("#flight svg") !== null`)
	if len(b.faults) > 0 {
		t.Errorf("faults in the page: %q", b.faults)
	}
}
