package outside_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"ullage/testdata/browser"
	"ullage/testdata/javascript"
)

// lowest returns where the dot of the lowest apogee lies.
func lowest(b *browser.Page) (x, y float64) {
	b.T.Helper()
	at := b.Point("#scatter-0-1", `(() => {
		const chart = echarts.getInstanceByDom(e);
		const points = chart.getOption().series[1].data.map(d => d.value).sort((a, b) => a[0] - b[0]);
		return chart.convertToPixel({ gridIndex: 0 }, points[0]);
	})()`)
	return at[0], at[1]
}

// demoReport searches the demo for a short while and returns its report.
func demoReport(t *testing.T, title string) string {
	t.Helper()
	source, err := os.ReadFile("../../../testdata/briefs/field-day.toml")
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
	ullage(t, 0, "search", brief, "-q", "-o", filepath.Join(dir, "run"))
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

// The report of a search answers mouse, finger and keys, on any screen and on paper,
// and asks for nothing from elsewhere.
func TestReportInABrowser(t *testing.T) {
	t.Parallel()
	b := browser.Open(t, demoReport(t, ""))
	b.Place(1280, "light", "")
	all := browser.Ask[int](b, visibleRows)
	if all < 50 {
		t.Fatalf("%d designs in the table, want the front of the demo", all)
	}
	b.Holds("the knee is chosen first", shownNumber+` === 1 && `+chosenRow+` === 1`)
	b.Holds("scripts run, so the still pictures are put away", `getComputedStyle(document.querySelector(".still")).display === "none"`)
	b.Look("wide-light")

	t.Run("a box in a scatter narrows the table", func(t *testing.T) { boxNarrows(t, b, all) })
	t.Run("a range on a parallel axis narrows the table", func(t *testing.T) { rangeNarrows(t, b, all) })
	t.Run("a click on a dot chooses its design", func(t *testing.T) { clickChooses(t, b, all) })
	t.Run("keys move along the table and choose", func(t *testing.T) { keysChoose(t, b, all) })
	t.Run("a heading sorts", func(t *testing.T) { headingSorts(t, b) })
	b.T = t
	followsView(b)
	followsFinger(b)
	b.Place(794, "dark", "print")
	b.Holds("print: still pictures", `document.querySelectorAll(".still svg").length >= 7 && getComputedStyle(document.querySelector(".still")).display === "block"`)
	b.Holds("print: no charts", `[...document.querySelectorAll(".chart")].every(e => e.offsetHeight === 0)`)
	b.Holds("print: black on white", `getComputedStyle(document.body).backgroundColor === "rgb(255, 255, 255)"`)
	b.Look("print")
	if seen, away, faults := b.Went(); len(seen) == 0 || len(away) > 0 || len(faults) > 0 {
		t.Errorf("requests %q, of them not for the page %q, faults %q; want only the page", seen, away, faults)
	}
	stopsWhatReachesOut(t, b)
}

func boxNarrows(t *testing.T, b *browser.Page, all int) {
	b.T = t
	b.Holds("a mouse draws boxes at once", `document.getElementById("box").checked || (document.getElementById("box").click(), true)`)
	b.Drag("#scatter-0-1", 0.6, 0.1, 0.93, 0.75)
	n := browser.Ask[int](b, visibleRows)
	if n == 0 || n >= all {
		t.Fatalf("%d of %d rows after drawing a box over the right of the dots", n, all)
	}
	b.Holds("the count is told", fmt.Sprintf(`document.querySelector(".count").textContent.startsWith("%d of %d ")`, n, all))
	b.Holds("the highest design is in, the lowest is out", `(() => {
		const rows = [...document.querySelectorAll("#table tbody tr")].map(r => ({ hidden: r.hidden, apogee: Number(r.cells[1].textContent) }));
		const lowest = Math.min(...rows.filter(r => !r.hidden).map(r => r.apogee)), least = Math.min(...rows.map(r => r.apogee));
		return lowest > least;
	})()`)
	b.Look("wide-box")
	b.Press("#front .clear")
	if n := browser.Ask[int](b, visibleRows); n != all {
		t.Errorf("%d rows after clearing, want %d", n, all)
	}
}

func rangeNarrows(t *testing.T, b *browser.Page, all int) {
	b.T = t
	left := browser.Ask[float64](b, `60 / document.getElementById("parallel").offsetWidth`)
	b.Drag("#parallel", left, 0.25, left, 0.5)
	n := browser.Ask[int](b, visibleRows)
	if n == 0 || n >= all {
		t.Fatalf("%d of %d rows after a drag along the first axis", n, all)
	}
	b.Look("wide-range")
	b.Press("#parallel-section .clear")
	if n := browser.Ask[int](b, visibleRows); n != all {
		t.Errorf("%d rows after clearing, want %d", n, all)
	}
	b.Drag("#parallel", left, 0.25, left, 0.5)
	if again := browser.Ask[int](b, visibleRows); again != n {
		t.Errorf("%d rows after the same drag, want %d", again, n)
	}
	b.Press("#parallel-section .clear")
}

func clickChooses(t *testing.T, b *browser.Page, all int) {
	b.T = t
	before, told, landed := browser.Ask[string](b, flightDrawn), browser.Ask[string](b, numbersTold), browser.Ask[string](b, landingDots)
	b.Holds("the landings of the knee are told", landingTold+`.includes(" of 100 flights land within both limits: ")`)
	b.Holds("its pad and limits are drawn", `["pad", "at most 70.0", "at most 6.00"].every(word => document.getElementById("landing").textContent.includes(word))`)
	// The lowest apogee lies alone at the left.
	b.Do(chromedp.MouseClickXY(lowest(b)))
	b.Holds("another design is chosen", shownNumber+` !== 1`)
	if browser.Ask[string](b, flightDrawn) == before || browser.Ask[string](b, numbersTold) == told {
		t.Error("the flight and the numbers of another design are the same as of the knee")
	}
	b.Holds("it is drawn from the side, with the stations that matter", `((s, n) => s.startsWith("Design " + n + " from the side, to scale: CG at release ") && /CG empty \d+, CP \d+, water level \d+ mm/.test(s))(
		document.querySelector("#side svg").getAttribute("aria-label"), document.querySelector("#design .number").textContent)`)
	b.Holds("its path is drawn with the wind", `/^Path of design \d+ in the plane of flight, to scale: apogee .*; wind 3.00 m\/s at 10 m$/.test(document.querySelector("#plane svg").getAttribute("aria-label"))`)
	if browser.Ask[string](b, landingDots) == landed {
		t.Error("another design lands where the knee does")
	}
	if n := browser.Ask[int](b, visibleRows); n != all {
		t.Errorf("%d rows after a click, want %d", n, all)
	}
}

func keysChoose(t *testing.T, b *browser.Page, all int) {
	b.T = t
	b.Do(chromedp.Navigate(b.URL))
	before := browser.Ask[string](b, flightDrawn)
	b.Do(chromedp.Focus(chromedp.CSS(`#table tbody tr[tabindex="0"]`)), chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowDown))
	b.Holds("the third row has the focus", `document.activeElement.rowIndex === 3`)
	b.Holds("the focus can be seen", `getComputedStyle(document.activeElement).outlineStyle === "solid"`)
	b.Holds("arrows alone choose nothing", shownNumber+` === 1`)
	b.Do(chromedp.KeyEvent(kb.Enter))
	b.Holds("enter chooses", shownNumber+` === 3 && `+chosenRow+` === 3`)
	if browser.Ask[string](b, flightDrawn) == before {
		t.Error("the flight of design 3 is drawn as that of design 1")
	}
	at := browser.Ask[int](b, `Math.round(scrollY)`)
	b.Do(chromedp.KeyEvent(kb.End), chromedp.KeyEvent(" "))
	b.Holds("the page stays where it is", fmt.Sprintf(`new Promise(done => setTimeout(() => done(Math.round(scrollY) === %d), 300))`, at))
	b.Holds("the last design is chosen", fmt.Sprintf(shownNumber+` === %d`, all))
	b.Holds("one row alone takes the tab key", `document.querySelectorAll('#table tbody tr[tabindex="0"]').length === 1`)
}

func headingSorts(t *testing.T, b *browser.Page) {
	b.T = t
	b.Press("#table thead th:nth-child(2) button")
	const apogees = `[...document.querySelectorAll("#table tbody tr")].map(r => Number(r.cells[1].textContent))`
	b.Holds("rising", apogees+`.every((v, i, all) => i === 0 || v >= all[i - 1])`)
	b.Holds("told", `document.querySelector("#table thead th:nth-child(2)").getAttribute("aria-sort") === "ascending"`)
	b.Press("#table thead th:nth-child(2) button")
	b.Holds("falling", apogees+`.every((v, i, all) => i === 0 || v <= all[i - 1])`)
}

// followsView holds that the page fits and has the colours of narrow and dark screens.
func followsView(b *browser.Page) {
	for _, view := range []struct {
		name   string
		width  int64
		scheme string
	}{{"narrow-light", 360, "light"}, {"wide-dark", 1280, "dark"}, {"narrow-dark", 360, "dark"}} {
		b.Place(view.width, view.scheme, "")
		b.Holds(view.name+": nothing sticks out", `document.documentElement.scrollWidth <= innerWidth`)
		b.Holds(view.name+": the ground", fmt.Sprintf(`getComputedStyle(document.body).backgroundColor === %q`,
			map[string]string{"light": "rgb(255, 255, 255)", "dark": "rgb(21, 24, 27)"}[view.scheme]))
		b.Holds(view.name+": the charts follow", fmt.Sprintf(`document.querySelector("#flight svg").outerHTML.includes(%q)`,
			map[string]string{"light": "#d55e00", "dark": "#e69f00"}[view.scheme]))
		b.Look(view.name)
	}
}

func followsFinger(b *browser.Page) {
	b.Place(360, "light", "")
	b.Do(chromedp.EmulateViewport(360, 900, chromedp.EmulateTouch), chromedp.Navigate(b.URL))
	b.Holds("a finger draws no boxes unasked", `!document.getElementById("box").checked`)
	// ECharts takes a touch of more than 300 ms for none: on a busy machine it needs more than one.
	for range 10 {
		if b.Do(chromedp.TapXY(lowest(b))); browser.Ask[bool](b, shownNumber+` !== 1`) {
			break
		}
	}
	b.Holds("a finger chooses a design", shownNumber+` !== 1`)
	// Turned, the page lays its axes the other way.
	b.Do(chromedp.EmulateViewport(1280, 900))
	b.Holds("the axes turn with the screen", `new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() =>
		done(document.getElementById("parallel").offsetHeight === 480))))`)
	b.Look("turned")
}

// stopsWhatReachesOut holds that what would reach out, or make code of text, is stopped.
func stopsWhatReachesOut(t *testing.T, b *browser.Page) {
	t.Helper()
	b.Place(1280, "light", "")
	for _, attempt := range []string{
		`fetch("http://127.0.0.1:9/").then(() => "sent", () => "stopped")`,
		`(async () => { try { return new Function("return 'run'")(); } catch { return "stopped"; } })()`,
		`new Promise(done => { const i = new Image(); i.onload = () => done("sent"); i.onerror = () => done("stopped"); i.src = "http://127.0.0.1:9/x.png"; })`,
	} {
		got, err := chromedp.Run(b.Context, chromedp.Evaluate[string](attempt, chromedp.EvalAwaitPromise, underPolicy))
		if err != nil || got != "stopped" {
			t.Errorf("%s: %q, %v, want it stopped", attempt, got, err)
		}
	}
	if _, _, faults := b.Went(); len(faults) < 3 || !strings.Contains(strings.Join(faults, "\n"), "Content Security Policy") {
		t.Errorf("faults %q, want the policy to have stopped all three", faults)
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
	ullage(t, 0, "compare", run, run, "-o", both)
	swept, indices := filepath.Join(dir, "swept"), filepath.Join(dir, "indices")
	ullage(t, 0, "sweep", filepath.Join(dir, "tiny.toml"), "-q", "--draws", "500", "-o", swept)
	ullage(t, 0, "sweep", filepath.Join(dir, "tiny.toml"), "-q", "--indices", "50", "-o", indices)
	pages := []string{report, both}
	for _, run := range []string{swept, indices} {
		ullage(t, 0, "report", run)
		pages = append(pages, filepath.Join(run, "report.html"))
	}
	for _, page := range pages {
		b := browser.Open(t, page)
		for _, view := range []struct {
			width  int64
			scheme string
		}{{1280, "light"}, {1280, "dark"}, {360, "light"}} {
			b.Place(view.width, view.scheme, "")
			b.Holds("the rules are there", axe+"; typeof axe.run === 'function'")
			found := browser.Ask[[]string](b, `axe.run().then(r => [r.passes.length >= 10 ? "kept" : "few",
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
	words := browser.Program(t, "poppler-utils", "pdftotext")
	file := demoReport(t, "")
	page, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), words, "-layout", browser.Printed(t, "report.html", page), "-").Output()
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
	b := browser.Open(t, demoReport(t, ""))
	if _, err := chromedp.Call(b.Context, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	b.Place(1280, "light", "")
	b.Holds("still pictures show", `document.querySelectorAll(".still svg").length >= 7 && document.querySelector(".still svg").getBoundingClientRect().width > 100`)
	b.Holds("what needs scripts does not", `[...document.querySelectorAll(".live")].every(e => e.getBoundingClientRect().height === 0)`)
	b.Holds("the table shows", `document.querySelector("#table").getBoundingClientRect().height > 100`)
	b.Look("plain")
}

func TestReportEscapesTheBrief(t *testing.T) {
	t.Parallel()
	b := browser.Open(t, demoReport(t, browser.Hostile))
	b.Place(1280, "light", "")
	for _, text := range []string{`document.title`, `document.querySelector("h1").textContent`} {
		if got := browser.Ask[string](b, text); got != browser.Hostile {
			t.Errorf("%s = %q, want %q", text, got, browser.Hostile)
		}
	}
	b.Holds("the brief is shown as written", fmt.Sprintf(`document.querySelector("pre").textContent.startsWith("title = '''" + %q)`, browser.Hostile))
	b.Holds("nothing of it became part of the page", `document.querySelectorAll("img").length === 0`)
	b.Holds("the charts are drawn", `document.querySelector("#flight svg") !== null`)
	if _, _, faults := b.Went(); len(faults) > 0 {
		t.Errorf("faults in the page: %q", faults)
	}
}

// underPolicy denies the test itself what the page's policy denies.
func underPolicy(p *runtime.EvaluateParams) { p.AllowUnsafeEvalBlockedByCSP = new(bool) }
