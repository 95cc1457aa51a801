package main

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// outline returns the corners of the fin on the build sheet, in mm.
func outline(t testing.TB, page string) [][2]float64 {
	t.Helper()
	m := regexp.MustCompile(`<svg class="fin"[^>]*>\s*<path class="outline" d="M ([^"Z]*) Z"`).FindStringSubmatch(page)
	if m == nil {
		t.Fatal("no fin on the build sheet")
	}
	var corners [][2]float64
	for _, word := range strings.Split(m[1], " L ") {
		var x, y float64
		if _, err := fmt.Sscan(word, &x, &y); err != nil {
			t.Fatal(err)
		}
		corners = append(corners, [2]float64{x, y})
	}
	return corners
}

// TestFinTemplate measures the outline, on whole sheets and cut ones, and that
// each sheet shows a millimetre as a millimetre.
func TestFinTemplate(t *testing.T) {
	for _, row := range []struct {
		set   []string
		tiles int
	}{
		{nil, 1},
		{[]string{"fins.tip=0 mm"}, 1},
		{[]string{"fins.rake=-40 mm"}, 1},
		{[]string{"fins.root=120 mm", "fins.tip=60 mm", "fins.span=190 mm"}, 1}, // lying on its side
		{[]string{"fins.root=175 mm", "fins.span=300 mm"}, 2},
		{[]string{"fins.root=400 mm", "fins.tip=250 mm", "fins.rake=220 mm", "fins.span=300 mm", "fins.station=960 mm"}, 6},
	} {
		b := demoBrief(t, "field-day.toml", row.set...)
		card := cardFor(t, b)
		page := string(pages(t, &card)["build-sheet.html"])
		corners := outline(t, page)
		area := 0.0
		for i, p := range corners {
			q := corners[(i+1)%len(corners)]
			area += (p[0]*q[1] - q[0]*p[1]) / 2
		}
		f := &b.Rocket.Fins
		// 1 mm²: corners are written to a thousandth of a millimetre.
		if want := f.Span * (f.Root + f.Tip) / 2 * 1e6; math.Abs(math.Abs(area)-want) > 1 {
			t.Errorf("%v: outline of %v mm², fin of %v", row.set, math.Abs(area), want)
		}
		checkSheets(t, row.set, page, corners, row.tiles)
	}
}

// checkSheets holds that so many sheets show every corner, each to scale and with
// crosses that two sheets have in common.
func checkSheets(t *testing.T, set []string, page string, corners [][2]float64, tiles int) {
	t.Helper()
	svgs := regexp.MustCompile(`<svg class="fin" width="([\d.]+)mm" height="([\d.]+)mm" viewBox="(\S+) (\S+) (\S+) (\S+)"`).FindAllStringSubmatch(page, -1)
	if len(svgs) != tiles {
		t.Errorf("%v: %d sheets, want %d", set, len(svgs), tiles)
	}
	crosses := regexp.MustCompile(`class="faint" d="M (\S+) (\S+) m -4 0`).FindAllStringSubmatch(page, -1)
	seen := map[string]int{}
	for _, svg := range svgs {
		if svg[1] != svg[5] || svg[2] != svg[6] {
			t.Errorf("%v: %s mm × %s mm shows %s × %s", set, svg[1], svg[2], svg[5], svg[6])
		}
		box := floats(t, svg[3:])
		// 180 × 200 mm beside heading and bar fit a sheet of A4 within its margins.
		if box[2] > 180 || box[3] > 200 {
			t.Errorf("%v: a sheet of %v mm", set, box)
		}
		for _, cross := range crosses[:len(crosses)/len(svgs)] {
			at := floats(t, cross[1:])
			if at[0] >= box[0]+4 && at[0] <= box[0]+box[2]-4 && at[1] >= box[1]+4 && at[1] <= box[1]+box[3]-4 {
				seen[cross[0]]++
			}
		}
	}
	for _, cross := range crosses {
		if seen[cross[0]] != 2 {
			t.Errorf("%v: cross %s is whole on %d sheets, want 2", set, cross[0], seen[cross[0]])
		}
	}
	if tiles > 1 && len(crosses)/len(svgs) < 2*(tiles-1) {
		t.Errorf("%v: %d crosses on %d sheets", set, len(crosses)/len(svgs), tiles)
	}
	// Together the sheets show every corner.
	for _, c := range corners {
		shown := false
		for _, svg := range svgs {
			box := floats(t, svg[3:])
			shown = shown || c[0] > box[0] && c[0] < box[0]+box[2] && c[1] > box[1] && c[1] < box[1]+box[3]
		}
		if !shown {
			t.Errorf("%v: corner %v is on no sheet", set, c)
		}
	}
}

func floats(t testing.TB, words []string) []float64 {
	t.Helper()
	var values []float64
	for _, word := range words {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			t.Fatal(err)
		}
		values = append(values, v)
	}
	return values
}

// The mass budget adds up to what was weighed or summed.
func TestMassBudget(t *testing.T) {
	b := demoBrief(t, "field-day.toml", append(goDesign, "ballast.mass=30 g", "ballast.station=60 mm")...)
	card := cardFor(t, b)
	page := string(pages(t, &card)["build-sheet.html"])
	rows := regexp.MustCompile(`<tr[^>]*><td>([^<]*)</td><td>(\d+)</td><td>(\d+)</td><td></td><td></td></tr>`).FindAllStringSubmatch(page, -1)
	if len(rows) != 3+1+2+1 {
		t.Fatalf("%d rows, want 3 parts, fins, payload, ballast and the sum", len(rows))
	}
	mass, moment := 0.0, 0.0
	for _, row := range rows[:len(rows)-1] {
		v := floats(t, row[2:])
		mass += v[0]
		moment += v[0] * v[1]
	}
	total := floats(t, rows[len(rows)-1][2:])
	// Six rows of half a gram and half a millimetre.
	if math.Abs(mass-total[0]) > 3 || math.Abs(moment/mass-total[1]) > 3 {
		t.Errorf("rows of %v g at %v mm, sum %v", mass, moment/mass, total)
	}
}
