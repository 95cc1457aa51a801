package outside_test

import (
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"ullage/testdata/browser"
	"ullage/testdata/python"
)

// sweptReport sweeps the demo and returns the folder with its report.
func sweptReport(t *testing.T, args ...string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "run")
	ullage(t, 0, append([]string{"sweep", "../../../testdata/briefs/field-day.toml", "-q", "-o", dir}, args...)...)
	ullage(t, 0, "report", dir)
	return dir
}

// shareOf reads a share from words such as "35 %" or "35.2 ± 1.3 %".
func shareOf(t *testing.T, words string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.Fields(words)[0], 64)
	if err != nil {
		if words == "under 0.1 %" {
			return 0.0005
		}
		t.Fatalf("%q, want a share", words)
	}
	return v / 100
}

// near fails where a share is not what it should be, as far as it is written.
func near(t *testing.T, what, words string, want float64) {
	t.Helper()
	if got := shareOf(t, words); math.Abs(got-want) > 0.0051 {
		t.Errorf("%s: %q, DuckDB finds %.4f", what, words, want)
	}
}

// sweepShares are shares of a sweep's flights, as testdata/python/sweep_shares.py finds
// them.
type sweepShares struct {
	Feasible, Low, Ratio float64
	Missed, Alone        map[string]float64
}

// The page of a sweep says what another reader finds in its parts, and shows what
// is chosen.
func TestSweepReport(t *testing.T) {
	t.Parallel()
	dir := sweptReport(t, "--draws", "12000", "--part", "5000")
	limits := map[string]string{
		"margin at least 1.20 cal": "margin_cal >= 1.2", "acceleration at most 20.0 gn": "acceleration_m_s2 <= 20 * 9.80665",
		"landing speed at most 6.00 m/s": "landing_speed_m_s <= 6", "deploy speed at most 10.0 m/s": "deploy_speed_m_s <= 10",
		"guide speed at least 18.0 m/s": "guide_speed_m_s >= 18", "flutter factor at least 1.50": "flutter_factor >= 1.5",
		"drift at most 70.0 m either way": "abs(drift_m) <= 70", "dry margin at least 1.00 cal": "dry_margin_cal >= 1",
		"peak incidence at most 15.0 deg": "peak_incidence_deg <= 15", "proof ratio at least 1.50": "proof_ratio >= 1.5",
	}
	var found sweepShares
	python.Run(t, "../../../testdata/python/sweep_shares.py", map[string]any{
		"run": dir, "limits": limits, "low": "chamber_throat_m < 0.00601", "quantity": "chamber_throat_m", "number": "acceleration_m_s2",
		"groups": 21, "from": 0.00575, "to": 0.01625, // a group a step
	}, &found)
	b := browser.Open(t, filepath.Join(dir, "report.html"))
	b.Place(1280, "light", "")
	b.Look("sweep-wide-light")
	t.Run("the limits as DuckDB counts them", func(t *testing.T) { limitsAsCounted(t, b, limits, &found) })
	t.Run("what drives what, as DuckDB finds it", func(t *testing.T) {
		b.T = t
		words := browser.Ask[string](b, `[...document.querySelectorAll(".driven")].find(d => d.querySelector("h3").textContent === "acceleration").querySelector("tbody tr").innerText`)
		if !strings.HasPrefix(words, "chamber throat") {
			t.Fatalf("most of the acceleration is driven by %q, want the throat", words)
		}
		near(t, "the throat's share", strings.TrimSpace(strings.TrimPrefix(words, "chamber throat")), found.Ratio)
	})
	t.Run("over two quantities", func(t *testing.T) { overTwo(t, b) })
	t.Run("over one quantity", func(t *testing.T) {
		b.T = t
		low := browser.Ask[string](b, `[...document.querySelectorAll("#singles table")].find(e => e.caption.textContent.startsWith("chamber throat")).querySelector("tbody tr td").textContent`)
		near(t, "the smallest throat", low, found.Low)
	})
	b.T = t
	for _, view := range []struct {
		name   string
		width  int64
		scheme string
	}{{"narrow-light", 360, "light"}, {"wide-dark", 1280, "dark"}} {
		b.Place(view.width, view.scheme, "")
		b.Holds(view.name+": nothing sticks out", `document.documentElement.scrollWidth <= innerWidth`)
		b.Look("sweep-" + view.name)
	}
	b.Place(794, "light", "print")
	b.Holds("print: still pictures of three pairs", `document.querySelectorAll(".still svg").length === 6 && document.querySelector(".still svg").getBoundingClientRect().height > 100`)
	b.Holds("print: no charts", `[...document.querySelectorAll(".chart")].every(e => e.offsetHeight === 0)`)
	b.Look("sweep-print")
	if seen, away, faults := b.Went(); len(seen) == 0 || len(away) > 0 || len(faults) > 0 {
		t.Errorf("requests %q, of them not for the page %q; faults %q; want only the page", seen, away, faults)
	}
}

func limitsAsCounted(t *testing.T, b *browser.Page, limits map[string]string, found *sweepShares) {
	b.T = t
	rows := browser.Ask[[][]string](b, `[...document.querySelectorAll("#forbidden tbody tr")].map(r => [...r.cells].map(c => c.childNodes[0]?.textContent.trim() ?? ""))`)
	if len(rows) != len(limits) {
		t.Fatalf("%d limits in the table, want %d: %q", len(rows), len(limits), rows)
	}
	for _, row := range rows {
		name := row[1]
		if _, ok := limits[name]; !ok {
			t.Errorf("a limit %q, want one of the brief's and the default ones", name)
		}
		near(t, name+" missed", row[2], found.Missed[name])
		near(t, name+" missed alone", row[3], found.Alone[name])
		near(t, "without "+name, row[4], found.Feasible+found.Alone[name])
	}
}

func overTwo(t *testing.T, b *browser.Page) {
	b.T = t
	b.Holds("shares, reasons and the best of each goal are drawn", `["map-share", "map-hardest", "map-best-0", "map-best-1", "map-best-2"].every(id => document.querySelector("#" + id + " svg path"))`)
	b.Holds("its letters stand in the map", `[...document.querySelectorAll("#map-hardest text")].filter(e => /^[A-J]$/.test(e.textContent)).length > 20`)
	choice := func(id string, k int) {
		browser.Ask[bool](b, fmt.Sprintf(`(e => { e.value = %d; return e.dispatchEvent(new Event("change")); })(document.getElementById(%q))`, k, id))
	}
	before := browser.Ask[string](b, `document.querySelector("#map-share svg").outerHTML`)
	choice("across", 3)
	choice("up", 0)
	if browser.Ask[string](b, `document.querySelector("#map-share svg").outerHTML`) == before {
		t.Error("another pair looks the same")
	}
	b.Holds("the table follows", `document.querySelector("#cells caption").textContent.endsWith(": payload mass, g, across; fins span, mm, down")`)
	b.Holds("a row of the table a piece of one range, a column one of the other", `document.querySelectorAll("#cells tbody tr").length === 25 && document.querySelector("#cells thead tr").cells.length === 26`)
	one := browser.Ask[string](b, `document.querySelector("#cells tbody tr td:nth-child(4)").textContent`)
	choice("up", 3)
	b.Holds("a quantity against itself becomes the pair the other way round", `document.getElementById("across").value === "0" && document.getElementById("up").value === "3"`)
	if two := browser.Ask[string](b, `document.querySelector("#cells tbody tr:nth-child(3) td:nth-child(2)").textContent`); two != one {
		t.Errorf("turned, a cell says %q, want %q as before", two, one)
	}
}

// Without scripts the page of a sweep shows still pictures and all its tables.
func TestSweepReportWithoutScripts(t *testing.T) {
	t.Parallel()
	b := browser.Open(t, filepath.Join(sweptReport(t, "--draws", "2000"), "report.html"))
	if _, err := chromedp.Call(b.Context, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	b.Place(1280, "light", "")
	b.Holds("still pictures show", `document.querySelectorAll(".still svg").length === 6 && document.querySelector(".still svg").getBoundingClientRect().width > 100`)
	b.Holds("what needs scripts does not", `[...document.querySelectorAll(".live")].every(e => e.getBoundingClientRect().height === 0)`)
	b.Holds("bars and tables show", `[...document.querySelectorAll(".bars, #forbidden, #singles table")].every(e => e.getBoundingClientRect().height > 50)`)
}

// A sweep for indices has a page with their intervals; one that kept no other
// flights than those within every limit says what that hides; one that kept a
// front alone shows that front.
func TestReportsOfOtherSweeps(t *testing.T) {
	t.Parallel()
	b := browser.Open(t, filepath.Join(sweptReport(t, "--indices", "1500"), "report.html"))
	b.Place(1280, "light", "")
	b.Look("indices")
	b.Holds("a share with its interval, alone and with others", `/^\d+\.\d ± \d+\.\d %$/.test(document.querySelector(".driven tbody td:nth-child(2)").textContent) &&
		/^\d+\.\d ± \d+\.\d %$/.test(document.querySelector(".driven tbody td:nth-child(3)").textContent)`)
	b.Holds("the largest total first", `[...document.querySelectorAll(".driven")].every(d => [...d.querySelectorAll("td:nth-child(3)")].map(c => parseFloat(c.textContent)).every((v, i, all) => i === 0 || v <= all[i - 1]))`)

	kept := browser.Open(t, filepath.Join(sweptReport(t, "--draws", "6000", "--feasible-only"), "report.html"))
	kept.Place(1280, "light", "")
	kept.Look("kept")
	kept.Holds("it says what is not there", `document.querySelector("header").textContent.includes("Only the flights within every limit were kept") && !document.getElementById("limits") && !document.getElementById("map-hardest")`)
	kept.Holds("shares are of the plan's flights", `(() => { const { planes } = data; return planes.every(p => Math.abs(p.rows.reduce((a, b) => a + b) - 6000) < 1e-6); })()`)

	dir := filepath.Join(t.TempDir(), "front")
	ullage(t, 0, "sweep", "../../../testdata/briefs/bottle.toml", "--grid", "--front-only", "-q", "-o", dir)
	ullage(t, 0, "report", dir)
	front := browser.Open(t, filepath.Join(dir, "report.html"))
	front.Place(1280, "light", "")
	front.Holds("its designs are there", visibleRows+` >= 1 && document.querySelector("#side svg") !== null`)
	for _, page := range []*browser.Page{b, kept, front} {
		if _, away, faults := page.Went(); len(away) > 0 || len(faults) > 0 {
			t.Errorf("requests %q, faults %q, want none", away, faults)
		}
	}
}
