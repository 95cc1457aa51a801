package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"ullage/model"
	"ullage/optimize/pad"
	"ullage/optimize/study"
	"ullage/output/card"
	"ullage/testdata/browser"
)

// gridPage writes the page of a small grid that nobody flew: of four winds, two
// weights and two pressures, with other water in the third wind and NO-GO in the
// last.
func gridPage(t *testing.T) (c card.Card, file string) {
	t.Helper()
	b := demoBrief(t, "field-day.toml")
	b.Title = browser.Hostile
	scratch := model.NewScratch()
	rocket, site := b.At(b.Own())
	flight := model.Fly(&rocket, &site, scratch)
	c = cardOf(b, cardSubject{x: b.Own(), name: "as set"}, &flight, scratch)
	e := pad.Evening{Winds: []float64{0, 1, 2, 3, 4}, Weights: []float64{1, 1.02, 1.04}, Pressures: []float64{14e5, 14.5e5, 15e5}}
	for i := range 16 {
		of := pad.Cell{Word: study.Go, Fill: 0.13, Delay: 4, Height: [2]float64{80, 84.2}, Landing: 5.11, Drift: 41, BareDrift: 66, Deciding: "landing_speed"}
		switch i % 4 {
		case 1:
			of.Word = study.Tight
		case 2:
			of.Fill = 0.12
		case 3:
			of.Word, of.Deciding = study.NoGo, "guide_speed"
		}
		e.Cells = append(e.Cells, of)
	}
	page, err := c.GridHTML(&e)
	if err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), "pad.html")
	if err := os.WriteFile(file, page, 0o644); err != nil {
		t.Fatal(err)
	}
	return c, file
}

// fingers type into a field and press a button.
const fingers = `const type = (id, text) => { const e = document.getElementById(id); e.value = text; e.dispatchEvent(new Event("input")); };
const press = (id) => document.getElementById(id).click();
const seen = () => document.querySelector("main").innerText;`

// The page for the phone at the pad, step by step: what it must never say.
var gridSteps = []struct{ why, do, holds string }{
	{
		"the first screen has the cautions and the code, and nothing to set", ``,
		`/never approach/i.test(seen()) && seen().includes(CODE) && !/GO|water \d|timer \d/.test(seen())`,
	},
	{"no word before wind and weight", `press("agree")`, `!/GO/.test(seen()) && !/water \d/.test(seen())`},
	{"no word without wind", `type("weight", "1010")`, `!/GO/.test(seen()) && !/water \d/.test(seen())`},
	{"no word without weight", `type("weight", ""); type("wind", "0.5")`, `!/GO/.test(seen()) && !/water \d/.test(seen())`},
	{"no word for what is no number", `type("weight", "1010 g")`, `!/GO/.test(seen())`},
	{
		"a cell that is GO", `type("weight", "1010")`,
		`/^GO$/m.test(seen()) && seen().includes("water 577 g") && seen().includes("timer 4.00 s") && seen().includes("14.50 to 15.00 bar") && seen().includes("80 to 85 m") && seen().includes("within 45 m") && seen().includes("without canopy 70 m")`,
	},
	{"no pressure above the plan", ``, `[...document.querySelectorAll("option")].every((o) => Number(o.textContent.match(/to ([\d.]+)/)[1]) <= 15)`},
	{"a comma for the point, and a cell that is tight", `type("wind", "1,5")`, `/^GO, TIGHT$/m.test(seen())`},
	{"a cell that is NO-GO has nothing to set", `type("wind", "3.5")`, `/^NO-GO$/m.test(seen()) && seen().includes("guide speed") && !/water \d|timer \d/.test(seen()) && document.getElementById("pressurise").hidden`},
	{"more wind than was flown", `type("wind", "4.1")`, `/^NO-GO$/m.test(seen()) && !/water \d/.test(seen())`},
	{"more weight than was flown", `type("wind", "0.5"); type("weight", "1041")`, `/^NO-GO$/m.test(seen()) && !/water \d/.test(seen())`},
	{
		"under pressure it suggests neither water nor timer, and nothing before it is told the wind", `type("weight", "1010"); press("pressurise")`,
		`!/water \d|timer \d|GO|LAUNCH/.test(seen()) && document.getElementById("day").hidden`,
	},
	{"launch", `type("now", "0.7"); type("gauge", "14.9")`, `/^LAUNCH$/m.test(seen()) && !/water \d|timer \d/.test(seen())`},
	{"launch in the next wind, flown with the same water and timer", `type("now", "1.2")`, `/^LAUNCH, TIGHT$/m.test(seen())`},
	{"not in a wind that wants other water", `type("now", "2.5")`, `/LET THE AIR OUT/.test(seen()) && !/LAUNCH|water \d/.test(seen())`},
	{"not in a wind that is NO-GO", `type("now", "3.5")`, `/LET THE AIR OUT/.test(seen()) && !/LAUNCH/.test(seen())`},
	{"not above the plan", `type("now", "0.7"); type("gauge", "15.1")`, `/LET THE AIR OUT/.test(seen()) && !/LAUNCH/.test(seen())`},
	{"not below what was flown", `type("gauge", "13.9")`, `/LET THE AIR OUT/.test(seen())`},
	{"what was typed is gone after it", `press("over")`, `document.getElementById("weight").value === "" && document.getElementById("wind").value === "" && !/GO|LAUNCH|water \d/.test(seen())`},
}

// A page shows what stands in a browser.
type page interface{ Holds(why, expression string) }

// holdsGrid goes through the page as a builder does.
func holdsGrid(p page, code string) {
	for _, step := range gridSteps {
		holds := strings.ReplaceAll(step.holds, "CODE", `"`+code+`"`)
		p.Holds(step.why, "(() => { "+fingers+"\n"+step.do+";\nreturn "+holds+"; })()")
	}
	p.Holds("no wider than the phone", `document.documentElement.scrollWidth <= 390`)
	p.Holds("touch targets of 48 px", `[...document.querySelectorAll("button, input, select")].filter((e) => e.offsetParent).every((e) => e.offsetHeight >= 48)`)
}

func TestGridPage(t *testing.T) {
	t.Parallel()
	c, file := gridPage(t)
	if text := c.PadText(); !strings.Contains(text, "code "+c.Code()) {
		t.Errorf("the card does not carry the code of the page, %s", c.Code())
	}
	b := browser.Open(t, file)
	b.Place(390, "light", "")
	holdsGrid(b, c.Code())
	b.Do(chromedp.Reload())
	b.Holds("a page that was left is that of before pressure", `!document.getElementById("first").hidden`)
	b.Holds("to pressure again", "(() => { "+fingers+`
press("agree"); type("weight", "1010"); type("wind", "0.5"); press("pressurise");
return document.getElementById("day").hidden; })()`)
	b.Do(chromedp.Reload())
	b.Holds("loaded anew it still is under pressure", "(() => { "+fingers+`
return document.getElementById("first").hidden && !document.getElementById("under").hidden && !/water \d|timer \d/.test(seen()); })()`)
	b.Holds("until the air is out", "(() => { "+fingers+`
press("over"); return document.getElementById("under").hidden; })()`)
	b.Look("grid")
	b.Place(1100, "light", "print")
	b.Holds("printed as a table, with nothing to press", `document.querySelectorAll(".print td").length === 16 && !document.querySelector("button").offsetParent && document.querySelector(".print").offsetHeight > 0`)
	if _, away, faults := b.Went(); len(faults) > 0 || len(away) > 0 {
		t.Errorf("faults %v, asked for %v", faults, away)
	}
}

func TestGridPageFirefox(t *testing.T) {
	t.Parallel()
	c, file := gridPage(t)
	holdsGrid(browser.OpenFirefox(t, "file://"+file), c.Code())
}

// The code of a card changes with what is weighed, set or drilled.
func TestGridCode(t *testing.T) {
	codes := map[string][]string{}
	for _, set := range [][]string{
		{"site.humidity=0.5"},
		{"payload.mass=9 g"},
		{"chamber.fill=510 ml"},
		{"weighed.mass=240 g", "weighed.balance=300 mm"},
		{"weighed.mass=241 g", "weighed.balance=300 mm"},
	} {
		c := card.Card{Brief: demoBrief(t, "bottle.toml", set...)}
		c.Rocket, c.Site = c.Brief.At(c.Brief.Own())
		if of, ok := codes[c.Code()]; ok {
			t.Errorf("%s and %s have code %s", set, of, c.Code())
		}
		codes[c.Code()] = set
	}
}

// A page of the whole grid is light enough for a phone.
func TestGridSize(t *testing.T) {
	c, _ := gridPage(t)
	e := pad.Evening{Winds: make([]float64, 12), Weights: make([]float64, 8), Pressures: make([]float64, 8)}
	for range 11 * 7 * 7 {
		e.Cells = append(e.Cells, pad.Cell{Word: study.Tight, Fill: 0.13, Delay: 14, Height: [2]float64{180, 184}, Landing: 15.1, Drift: 141, BareDrift: 166, Deciding: "scatter"})
	}
	page, err := c.GridHTML(&e)
	if err != nil || len(page) > 300_000 {
		t.Errorf("%d bytes, %v, want at most 300 kB", len(page), err)
	}
}
