package card

import (
	"fmt"
	"math"
	"strings"

	"ullage/model"
	"ullage/output/text"
)

// A sheet of A4 shows windowWidth × windowHeight of a drawing at full size;
// neighbours share overlap. In mm.
const (
	windowWidth  = 180.0
	windowHeight = 200.0
	overlap      = 10.0
	drawingEdge  = 4.0 // free around the outline
)

// A point is a place on paper, in mm, x to the right, y down.
type point struct{ X, Y float64 }

// A finTemplate is a fin at full size, on as many sheets as it takes.
type finTemplate struct {
	Path      string // of the outline, in mm
	Count     int
	Glue      [2]point // root, leading edge first
	Nose      [2]point // arrow towards the nose
	Grain     [2]point // arrow along the span
	Cloth     [2]point // arrow at 45 degrees to it
	Crosses   []point  // of registration, in the overlaps
	Tiles     []tile
	Rows      int
	Columns   int
	Overlap   float64
	Size      string  // of the outline, in words
	GrainDrop float64 // of the words under the arrow's start
}

// A tile is what one sheet shows of the drawing.
type tile struct {
	Number, Row, Column int
	Box                 string // viewBox, in mm
	Width, Height       string // with unit
}

// newFinTemplate draws a fin with its root upright on the left, the nose up;
// lying on its side where that takes fewer sheets.
func newFinTemplate(f *model.Fins) finTemplate {
	chord := func(u, v float64) point { return point{v * 1e3, u * 1e3} } // u aft along the root, v out along the span
	upright := drawFin(f, chord)
	lying := drawFin(f, func(u, v float64) point { return point{u * 1e3, v * 1e3} })
	if len(lying.Tiles) < len(upright.Tiles) {
		return lying
	}
	return upright
}

func drawFin(f *model.Fins, at func(u, v float64) point) finTemplate {
	outline := []point{at(0, 0), at(f.Root, 0), at(f.Rake+f.Tip, f.Span), at(f.Rake, f.Span)}
	if f.Tip == 0 {
		outline = outline[:3]
	}
	low, high := outline[0], outline[0]
	for _, p := range outline[1:] {
		low = point{min(low.X, p.X), min(low.Y, p.Y)}
		high = point{max(high.X, p.X), max(high.Y, p.Y)}
	}
	t := finTemplate{Count: f.Count, Overlap: overlap, Size: fmt.Sprintf("%s × %s mm", text.Decimals(high.X-low.X, 1), text.Decimals(high.Y-low.Y, 1))}
	words := make([]string, len(outline))
	for i, p := range outline {
		words[i] = fmt.Sprintf("%s %s", text.Decimals(p.X, 3), text.Decimals(p.Y, 3))
	}
	t.Path = "M " + strings.Join(words, " L ") + " Z"
	t.Glue = [2]point{outline[0], outline[1]}
	t.arrows(f, at)
	t.cut(point{low.X - drawingEdge, low.Y - drawingEdge}, point{high.X + drawingEdge, high.Y + drawingEdge})
	return t
}

// arrows places them on the middle of the chord near the root, short enough to
// stay within the outline.
func (t *finTemplate) arrows(f *model.Fins, at func(u, v float64) point) {
	middle := func(v float64) float64 {
		q := v / f.Span
		return f.Rake*q + (f.Root+(f.Tip-f.Root)*q)/2
	}
	inside := func(u, v float64) bool {
		q := v / f.Span
		return v > 0 && u > f.Rake*q && u < f.Root+(f.Rake+f.Tip-f.Root)*q
	}
	near, far := 0.2*f.Span, 0.35*f.Span
	for reach := min(f.Span/4, f.Root/3); reach > f.Span/100; reach *= 0.8 {
		u, w := middle(near), middle(far)
		diagonal := reach / math.Sqrt2
		t.Nose = [2]point{at(u+reach/2, near), at(u-reach/2, near)}
		t.Grain = [2]point{at(w, far-reach/4), at(w, far+reach*3/4)}
		t.Cloth = [2]point{at(w, far-diagonal/4), at(w-diagonal, far+diagonal*3/4)}
		if inside(w, far+reach*3/4) && inside(w-diagonal, far+diagonal*3/4) { // that to the nose always is
			return
		}
	}
}

// cut lays sheets over the drawing between two corners.
func (t *finTemplate) cut(low, high point) {
	number := func(length, window float64) int {
		return 1 + int(math.Max(0, math.Ceil((length-window)/(window-overlap)-text.Lossless)))
	}
	t.Columns, t.Rows = number(high.X-low.X, windowWidth), number(high.Y-low.Y, windowHeight)
	for row := range t.Rows {
		for column := range t.Columns {
			x, y := low.X+float64(column)*(windowWidth-overlap), low.Y+float64(row)*(windowHeight-overlap)
			w, h := min(windowWidth, high.X-x), min(windowHeight, high.Y-y)
			t.Tiles = append(t.Tiles, tile{
				Number: len(t.Tiles) + 1, Row: row + 1, Column: column + 1,
				Box:   fmt.Sprintf("%s %s %s %s", text.Decimals(x, 3), text.Decimals(y, 3), text.Decimals(w, 3), text.Decimals(h, 3)),
				Width: text.Decimals(w, 3) + "mm", Height: text.Decimals(h, 3) + "mm",
			})
		}
	}
	// A cross lies in the middle of each overlap, where sheets of one seam meet.
	const inset = 20.0 // mm from the ends of a seam
	across := func(i int, window float64) float64 { return float64(i)*(window-overlap) + overlap/2 }
	for column := 1; column < t.Columns; column++ {
		for row := range t.Rows {
			y := low.Y + float64(row)*(windowHeight-overlap)
			x := low.X + across(column, windowWidth)
			t.Crosses = append(t.Crosses, point{x, y + inset}, point{x, min(y+windowHeight, high.Y) - inset})
		}
	}
	for row := 1; row < t.Rows; row++ {
		for column := range t.Columns {
			x := low.X + float64(column)*(windowWidth-overlap)
			y := low.Y + across(row, windowHeight)
			t.Crosses = append(t.Crosses, point{x + inset, y}, point{min(x+windowWidth, high.X) - inset, y})
		}
	}
}
