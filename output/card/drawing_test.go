package card

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ullage/model"
)

// path returns the corners that a path of straight lines goes through.
func path(t *testing.T, d string) []point {
	t.Helper()
	var all []point
	for _, word := range strings.Split(strings.TrimSuffix(strings.TrimPrefix(d, "M "), " Z"), " L ") {
		var p point
		if _, err := fmt.Sscan(word, &p.X, &p.Y); err != nil {
			t.Fatalf("%q: %v", d, err)
		}
		all = append(all, p)
	}
	return all
}

func near(a, b, close float64) bool { return math.Abs(a-b) <= close }

// sidesToView are rockets to be seen from the side.
var sidesToView = []struct {
	why    string
	change func(c *Card)
	nose   func(x, y, length, radius float64) float64 // 0 on the meridian, in radii
}{
	// The circle through tip, base and the tip of the nose turned round.
	{"an ogive", func(c *Card) { c.Rocket.Body.Nose.Shape = model.Ogive }, func(x, y, l, r float64) float64 {
		return (x*x + y*y - 2*l*x + (l*l-r*r)/r*y) / (l * l)
	}},
	{"a cone", func(c *Card) { c.Rocket.Body.Nose.Shape = model.Cone }, func(x, y, l, r float64) float64 { return y/r - x/l }},
	{"an ellipsoid", func(c *Card) { c.Rocket.Body.Nose.Shape = model.Ellipsoid }, func(x, y, l, r float64) float64 {
		return (l-x)/l*(l-x)/l + y/r*y/r - 1
	}},
	// Its vertex is at the base.
	{"a parabola", func(c *Card) { c.Rocket.Body.Nose.Shape = model.Parabola }, func(x, y, l, r float64) float64 {
		return (r-y)/r - (l-x)/l*(l-x)/l
	}},
	{"a tail", func(c *Card) { c.Rocket.Body.Tail = model.Tail{Diameter: 0.05, Length: 0.08} }, nil},
	{"wide fins, behind the body", func(c *Card) { c.Rocket.Fins.Span, c.Rocket.Fins.Station = 0.4, 1.3 }, nil},
}

// TestSideView measures the rocket from the side: one scale for all of it, the
// nose of its shape, fins on both sides, marks where they belong, and all of it
// on the paper.
func TestSideView(t *testing.T) {
	for _, row := range sidesToView {
		c := made(row.change)
		b, f, v := &c.Rocket.Body, &c.Rocket.Fins, c.sideView()
		hull := path(t, v.Hull)
		left, right, top := hull[0].X, 0.0, v.Axis
		for _, p := range hull {
			right, top = max(right, p.X), min(top, p.Y)
		}
		scale := (right - left) / b.Length
		const close = 0.02 // mm: hundredths are written
		if !near((v.Axis-top)/scale, b.Diameter/2, close/scale) {
			t.Errorf("%s: the body is %v m wide at the scale of its length, want %v", row.why, 2*(v.Axis-top)/scale, b.Diameter)
		}
		for i, p := range hull {
			if q := hull[len(hull)-1-i]; !near(p.X, q.X, close) || !near(p.Y-v.Axis, v.Axis-q.Y, close) {
				t.Errorf("%s: corners %v and %v, want one to mirror the other", row.why, p, q)
			}
			x, y := (p.X-left)/scale, (v.Axis-p.Y)/scale
			if row.nose != nil && x < b.Nose.Length-close/scale && y >= 0 {
				if off := row.nose(x, y, b.Nose.Length, b.Diameter/2); math.Abs(off) > 0.01 {
					t.Errorf("%s: %v m from the tip its radius is %v m, off by %v", row.why, x, y, off)
				}
			}
		}
		if aft := (v.Axis - hull[len(hull)/2-1].Y) / scale * 2; b.Tail.Length > 0 && !near(aft, b.Tail.Diameter, 2*close/scale) {
			t.Errorf("%s: %v m wide at its end, want %v", row.why, aft, b.Tail.Diameter)
		}
		bottom := v.Axis
		for i, d := range v.Fins {
			side := float64(1 - 2*i)
			fin := path(t, d)
			for k, want := range []point{{f.Station, 0}, {f.Station + f.Rake, f.Span}, {f.Station + f.Rake + f.Tip, f.Span}, {f.Station + f.Root, 0}} {
				x, y := (fin[k].X-left)/scale, side*(v.Axis-fin[k].Y)/scale-b.Diameter/2
				if !near(x, want.X, 2*close/scale) || !near(y, want.Y, 2*close/scale) {
					t.Errorf("%s: corner %d of fin %d at %v, %v, want %v", row.why, k, i, x, y, want)
				}
				right, top, bottom = max(right, fin[k].X), min(top, fin[k].Y), max(bottom, fin[k].Y)
			}
		}
		if len(v.Fins) != 2 {
			t.Errorf("%s: %d fins, want one on each side", row.why, len(v.Fins))
		}
		checkMarks(t, row.why, c, scale, left)
		// A4 less its margins is 190 mm wide; words stand above and below.
		if v.Width > 190 || left < 0 || right > v.Width || top < 4 || bottom > v.Height-4 || v.Height > 50 {
			t.Errorf("%s: from %v, %v to %v, %v on %v × %v mm", row.why, left, top, right, bottom, v.Width, v.Height)
		}
		if v.Top > top+close || v.Below < bottom-close {
			t.Errorf("%s: the marks go from %v to %v, the rocket from %v to %v", row.why, v.Top, v.Below, top, bottom)
		}
		if middle := (left + right) / 2; !near(middle, v.Width/2, close) {
			t.Errorf("%s: its middle is at %v of %v mm", row.why, middle, v.Width)
		}
	}
}

// checkMarks holds that marks stand at what they mark, at a scale of mm a metre from the
// left end.
func checkMarks(t *testing.T, why string, c *Card, scale, left float64) {
	t.Helper()
	b, v := &c.Rocket.Body, c.sideView()
	for _, mark := range []struct {
		name    string
		x, want float64
	}{
		{"balance point", v.Balance, c.Statics.DryCG},
		{"centre of pressure", v.CP, c.Statics.CP},
		{"end of the tolerance aft", v.Aft, c.Statics.DryCG + c.Flown.Balance.Aft},
		{"tolerance forward, without an end", v.Fore, c.Statics.DryCG - b.Diameter},
	} {
		if got := (mark.x - left) / scale; !near(got, mark.want, 0.02/scale) {
			t.Errorf("%s: %s at %v m, want %v", why, mark.name, got, mark.want)
		}
	}
}

// cross returns how far p lies to the left of the way from a to b.
func cross(a, b, p point) float64 { return (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X) }

// TestFinMarks holds what is drawn on a fin: the glue line is its root, the arrow
// towards the nose lies along the root and points to the leading edge's end, the
// grain goes along the span and the cloth at 45 degrees to it, all inside the
// outline.
func TestFinMarks(t *testing.T) {
	for _, f := range []model.Fins{
		{Root: 0.13, Tip: 0.07, Span: 0.13, Rake: 0.06},
		{Root: 0.13, Tip: 0, Span: 0.13, Rake: 0.13},
		{Root: 0.13, Tip: 0.07, Span: 0.13, Rake: -0.04},
		{Root: 0.12, Tip: 0.06, Span: 0.19, Rake: 0.06},
		{Root: 0.05, Tip: 0.04, Span: 0.15, Rake: 0.2},
	} {
		d := newFinTemplate(&f)
		outline := path(t, d.Path)
		if d.Glue != [2]point{outline[0], outline[1]} || !near(math.Hypot(d.Glue[1].X-d.Glue[0].X, d.Glue[1].Y-d.Glue[0].Y), f.Root*1e3, 1e-3) {
			t.Errorf("%+v: glue line %v", f, d.Glue)
		}
		along := func(arrow [2]point) (x, y float64) { return arrow[1].X - arrow[0].X, arrow[1].Y - arrow[0].Y }
		rx, ry := along(d.Glue) // aft
		nx, ny := along(d.Nose)
		gx, gy := along(d.Grain)
		cx, cy := along(d.Cloth)
		if nx*rx+ny*ry >= 0 || !near(nx*ry-ny*rx, 0, 1e-6) {
			t.Errorf("%+v: the nose is to %v, %v, its root goes %v, %v aft", f, nx, ny, rx, ry)
		}
		if !near(gx*rx+gy*ry, 0, 1e-6) || !near(math.Abs(cx*gx+cy*gy), math.Hypot(cx, cy)*math.Hypot(gx, gy)*math.Sqrt2/2, 1e-6) {
			t.Errorf("%+v: grain %v, %v, cloth %v, %v, root %v, %v", f, gx, gy, cx, cy, rx, ry)
		}
		if !near(math.Hypot(gx, gy), math.Hypot(nx, ny), 1e-6) || !near(math.Hypot(cx, cy), math.Hypot(nx, ny), 1e-6) {
			t.Errorf("%+v: arrows of %v, %v and %v mm, want one length", f, math.Hypot(nx, ny), math.Hypot(gx, gy), math.Hypot(cx, cy))
		}
		for name, arrow := range map[string][2]point{"nose": d.Nose, "grain": d.Grain, "cloth": d.Cloth} {
			if x, y := along(arrow); math.Hypot(x, y) < 5 {
				t.Errorf("%+v: an arrow of %v mm to the %s", f, math.Hypot(x, y), name)
			}
			for _, p := range arrow {
				sides := 0
				for i, a := range outline {
					if cross(a, outline[(i+1)%len(outline)], p) > 0 {
						sides++
					}
				}
				if sides != 0 && sides != len(outline) {
					t.Errorf("%+v: %s at %v is outside of %v", f, name, p, outline)
				}
			}
		}
		low, high := outline[0], outline[0]
		for _, p := range outline {
			low, high = point{min(low.X, p.X), min(low.Y, p.Y)}, point{max(high.X, p.X), max(high.Y, p.Y)}
		}
		if want := fmt.Sprintf("%.1f × %.1f mm", high.X-low.X, high.Y-low.Y); d.Size != want {
			t.Errorf("%+v: its size reads %q, want %q", f, d.Size, want)
		}
	}
}

// TestFinSheets numbers the sheets of a large fin row by row; the outline keeps
// off their outer edges, and a fin lies down only where that saves a sheet.
func TestFinSheets(t *testing.T) {
	f := model.Fins{Root: 0.4, Tip: 0.25, Rake: 0.22, Span: 0.3}
	d := newFinTemplate(&f)
	if d.Rows*d.Columns != len(d.Tiles) || len(d.Tiles) != 6 {
		t.Fatalf("%d sheets in %d rows of %d, want 6", len(d.Tiles), d.Rows, d.Columns)
	}
	for i, tile := range d.Tiles {
		var x, y, w, h float64
		if _, err := fmt.Sscan(tile.Box, &x, &y, &w, &h); err != nil || w > 180 || h > 200 {
			t.Errorf("sheet %d shows %s mm, %v: beside heading and bar a sheet of A4 has 180 × 200 mm", i+1, tile.Box, err)
		}
		if tile.Number != i+1 || tile.Row != i/d.Columns+1 || tile.Column != i%d.Columns+1 {
			t.Errorf("sheet %d is number %d, row %d, column %d", i+1, tile.Number, tile.Row, tile.Column)
		}
	}
	upright := func(f model.Fins) bool { d := newFinTemplate(&f); return d.Glue[0].X == d.Glue[1].X }
	if !upright(model.Fins{Root: 0.13, Tip: 0.07, Span: 0.13, Rake: 0.06}) || upright(model.Fins{Root: 0.12, Tip: 0.06, Span: 0.19, Rake: 0.06}) {
		t.Error("want the fin that fits a sheet upright, and the one that is too wide for it lying")
	}
	for _, tile := range newFinTemplate(&model.Fins{Root: 0.13, Tip: 0.07, Span: 0.13, Rake: 0.06}).Tiles {
		var x, y, w, h float64
		if _, err := fmt.Sscan(tile.Box, &x, &y, &w, &h); err != nil {
			t.Fatal(err)
		}
		if x > -3 || y > -3 || x+w < 133 || y+h < 133 {
			t.Errorf("a fin of 130 × 130 mm on a sheet from %v, %v, %v × %v mm: want 3 mm free around it", x, y, w, h)
		}
	}
}

// TestCheckBar has a tick every 10 mm, and heads of arrows lie behind their tips.
func TestCheckBar(t *testing.T) {
	page, err := made().SheetHTML()
	if err != nil {
		t.Fatal(err)
	}
	ticks := "M 0 -3 V 3 M 100 -3 V 3"
	for at := 10; at < 100; at += 10 {
		ticks += fmt.Sprintf(" M %d 0 V 2", at)
	}
	if !strings.Contains(string(page), ticks) {
		t.Errorf("the bar has other ticks than %q", ticks)
	}
	for _, tip := range []point{{30, 10}, {10, 40}, {-20, 10}} {
		from := point{10, 10}
		for _, stroke := range strings.Split(strings.TrimPrefix(arrowHead(from, tip), "M "), " M ") {
			barb := path(t, stroke)
			back := (barb[1].X-tip.X)*(from.X-tip.X) + (barb[1].Y-tip.Y)*(from.Y-tip.Y)
			if barb[0] != tip || back <= 0 {
				t.Errorf("arrow from %v to %v: a barb from %v to %v", from, tip, barb[0], barb[1])
			}
		}
	}
}
