package main

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"ullage/testdata/browser"
)

// sheets lists the sizes of a PDF's pages, in mm.
func sheets(t testing.TB, pdf string) [][2]float64 {
	t.Helper()
	text, err := exec.Command(browser.Program(t, "poppler-utils", "pdfinfo"), "-f", "1", "-l", "99", pdf).Output()
	if err != nil {
		t.Fatal(err)
	}
	var sizes [][2]float64
	for _, m := range regexp.MustCompile(`Page +\d+ size: +([\d.]+) x ([\d.]+) pts`).FindAllStringSubmatch(string(text), -1) {
		v := floats(t, m[1:])
		sizes = append(sizes, [2]float64{v[0] / 72 * 25.4, v[1] / 72 * 25.4})
	}
	return sizes
}

const dpi = 300.0

// rows is the nearest number of rows to a length, in mm.
func rows(mm float64) int { return int(math.Round(mm / 25.4 * dpi)) }

// A picture is a printed page in grey.
type picture struct {
	width, height int
	pixels        []byte
}

// raster paints one page of a PDF.
func raster(t testing.TB, pdf string, page int) picture {
	t.Helper()
	at := fmt.Sprint(page)
	data, err := exec.Command(browser.Program(t, "poppler-utils", "pdftoppm"), "-gray", "-r", fmt.Sprint(dpi), "-f", at, "-l", at, pdf).Output()
	if err != nil {
		t.Fatal(err)
	}
	var p picture
	var depth int
	reader := bytes.NewReader(data)
	if _, err := fmt.Fscanf(reader, "P5\n%d %d\n%d\n", &p.width, &p.height, &depth); err != nil || depth != 255 {
		t.Fatalf("page %d: no grey picture: %v", page, err)
	}
	p.pixels = data[len(data)-reader.Len():]
	return p
}

// run returns the longest dark run of a row, in mm.
func (p picture) run(row int) float64 {
	longest, length := 0, 0
	for _, v := range p.pixels[row*p.width : (row+1)*p.width] {
		if length++; v > 128 {
			length = 0
		}
		longest = max(longest, length)
	}
	return float64(longest) / dpi * 25.4
}

// TestPrintedScale prints build sheets and measures them: the check bar along
// the paper, the fin across and along.
func TestPrintedScale(t *testing.T) {
	t.Parallel()
	b := demoBrief(t, "field-day.toml", goDesign...)
	card := cardFor(t, b)
	pdf := browser.Printed(t, "build-sheet.html", pages(t, &card)["build-sheet.html"])
	sizes := sheets(t, pdf)
	if len(sizes) != 2 {
		t.Fatalf("%d pages, want one of numbers and one of the fin", len(sizes))
	}
	p := raster(t, pdf, 2)
	bar := 0
	for bar < p.height && p.run(bar) < 50 {
		bar++
	}
	if bar == p.height {
		t.Fatal("no check bar on the page")
	}
	longest := 0.0
	for row := bar; row < bar+rows(1); row++ {
		longest = max(longest, p.run(row))
	}
	// 0.5 mm is what a ruler shows; the end ticks add their 0.25 mm.
	if math.Abs(longest-100) > 0.5 {
		t.Errorf("check bar of %.2f mm, want 100", longest)
	}
	// The nose end of this fin is its topmost ink below the bar's ticks, its
	// trailing edge the next long run.
	top := bar + rows(6)
	for !p.ink(top) {
		top++
	}
	edge := top
	for edge < p.height && p.run(edge) < 120 {
		edge++
	}
	if edge == p.height {
		t.Fatal("no trailing edge on the page")
	}
	f := &b.Rocket.Fins
	for row := edge; row < edge+rows(1); row++ {
		longest = max(longest, p.run(row))
	}
	if math.Abs(longest-f.Span*1e3) > 1 { // two strokes of up to 0.9 mm stand half outside
		t.Errorf("span of %.2f mm, want %v", longest, f.Span*1e3)
	}
	if root := float64(edge-top) / dpi * 25.4; math.Abs(root-f.Root*1e3) > 1 {
		t.Errorf("root of %.2f mm, want %v", root, f.Root*1e3)
	}
}

// ink reports whether a row has any.
func (p picture) ink(row int) bool {
	for _, v := range p.pixels[row*p.width : (row+1)*p.width] {
		if v < 128 {
			return true
		}
	}
	return false
}

// TestPrintedSizes: A4 and A6 as the style asks, each part on one sheet, also
// for a rocket that is short of several limits, one that is NO-GO, and a fin cut over sheets.
func TestPrintedSizes(t *testing.T) {
	t.Parallel()
	a4, a6 := [2]float64{210, 297}, [2]float64{105, 148}
	for _, row := range []struct {
		name string
		set  []string
		page string
		want [][2]float64
	}{
		{"field-day.toml", goDesign, "pad-card.html", [][2]float64{a4, a4, a6, a6, a6, a6}},
		{"highest-in-class.toml", []string{"recovery.delay=7 s", "site.wind=8 m/s"}, "pad-card.html", [][2]float64{a4, a6, a6}}, // NO-GO: nothing to set or do
		{"field-day.toml", []string{"fins.root=175 mm", "fins.span=300 mm"}, "build-sheet.html", [][2]float64{a4, a4, a4}},
	} {
		card := cardFor(t, demoBrief(t, row.name, row.set...))
		got := sheets(t, browser.Printed(t, row.page, pages(t, &card)[row.page]))
		if len(got) != len(row.want) {
			t.Errorf("%s of %s %s: %d pages, want %d", row.page, row.name, strings.Join(row.set, " "), len(got), len(row.want))
			continue
		}
		for i := range got {
			// 0.5 mm: the browser rounds pages to its pixels, 0.26 mm.
			if math.Abs(got[i][0]-row.want[i][0]) > 0.5 || math.Abs(got[i][1]-row.want[i][1]) > 0.5 {
				t.Errorf("%s of %s: page %d of %.1f mm, want %v", row.page, row.name, i+1, got[i], row.want[i])
			}
		}
	}
}
