package report

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// A still shows its numbers where they are: points and limits lie on paper as the
// ticks beside them say.
func TestPlaneIsTrue(t *testing.T) {
	p := newDiagram("x", "y <1>")
	p.dots([]point{{0, 10}, {10, 20}, {5, 12}}, glyph{blue, disc}, 2)
	p.along(-5)
	p.across(15)
	text := p.draw(238, 170)
	label := func(anchor, of string) float64 {
		at := map[string]string{"middle": `x="([-\d.]+)" y="[\d.]+" text-anchor="middle" font-size="8">`, "end": `y="([\d.]+)" text-anchor="end" font-size="8">`}[anchor]
		m := regexp.MustCompile(at + of + `<`).FindStringSubmatch(text)
		if m == nil {
			t.Fatalf("no tick %s in %s", of, text)
		}
		v, _ := strconv.ParseFloat(m[1], 64)
		return v
	}
	x := func(v float64) float64 {
		return label("middle", "0") + v*(label("middle", "10")-label("middle", "0"))/10
	}
	y := func(v float64) float64 {
		return label("end", "10") - 3 + (v-10)*(label("end", "20")-label("end", "10"))/10
	}
	var dots [][2]float64
	for _, m := range regexp.MustCompile(`cx="([\d.]+)" cy="([\d.]+)"`).FindAllStringSubmatch(text, -1) {
		cx, _ := strconv.ParseFloat(m[1], 64)
		cy, _ := strconv.ParseFloat(m[2], 64)
		dots = append(dots, [2]float64{cx, cy})
	}
	for i, want := range [][2]float64{{x(0), y(10)}, {x(10), y(20)}, {x(5), y(12)}} {
		if len(dots) != 3 || math.Hypot(dots[i][0]-want[0], dots[i][1]-want[1]) > 0.05 {
			t.Fatalf("dots at %v, want number %d at %v", dots, i, want)
		}
	}
	dashed := regexp.MustCompile(`d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"[^>]*dasharray`).FindAllStringSubmatch(text, -1)
	if len(dashed) != 2 {
		t.Fatalf("%d dashed lines, want 2", len(dashed))
	}
	at, _ := strconv.ParseFloat(dashed[0][1], 64)
	level, _ := strconv.ParseFloat(dashed[1][2], 64)
	if math.Abs(at-x(-5)) > 0.05 || math.Abs(level-y(15)) > 0.05 {
		t.Errorf("limits at %v and %v, want %v and %v", at, level, x(-5), y(15))
	}
	if !strings.Contains(text, "y &lt;1&gt;") {
		t.Error("a name is not escaped")
	}
}

func TestTicks(t *testing.T) {
	for _, row := range []struct {
		from, to float64
		want     []float64
	}{
		{0, 10, []float64{0, 2, 4, 6, 8, 10}},
		{-0.12, 0.31, []float64{-0.1, 0, 0.1, 0.2, 0.3}},
		{113.2, 126.4, []float64{114, 116, 118, 120, 122, 124, 126}},
		{1e8, 5.1e8, []float64{1e8, 2e8, 3e8, 4e8, 5e8}},
		{0, 1, []float64{0, 0.2, 0.4, 0.6, 0.8, 1}},
	} {
		got := ticks(extent{row.from, row.to})
		same := slices.EqualFunc(got, row.want, func(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(row.to-row.from) })
		if !same || slices.ContainsFunc(got, func(v float64) bool { return v == 0 && math.Signbit(v) }) {
			t.Errorf("ticks of %v to %v: %v, want %v", row.from, row.to, got, row.want)
		}
	}
}

// Nothing, one point, and the largest numbers that are drawn give whole pictures.
func TestPlaneOfLittle(t *testing.T) {
	for _, points := range [][]point{nil, {{3, 4}}, {{-9e8, 9e8}, {9e8, -9e8}}, {{1e-9, 2e-9}, {2e-9, 2e-9}}} {
		p := newDiagram("x", "y")
		p.dots(points, glyph{black, triangle}, 2)
		p.line(points, blue, 1)
		if text := p.draw(100, 100); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Errorf("%v: %s", points, text)
		}
	}
	if got := pointsOf([]float64{1, math.NaN(), 3, 2e9}, []float64{1, 2, math.Inf(1), 1}); !slices.Equal(got, []point{{1, 1}}) {
		t.Errorf("of what cannot be drawn %v is, want the first point", got)
	}
}
