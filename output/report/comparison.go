package report

import (
	"bytes"
	"fmt"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// A Comparison is a log of heights beside what a model says: s, m. Heights
// that are NaN are left out.
type Comparison struct {
	Name               string
	Time, Logged, Says []float64
}

const (
	comparisonWidth  = 14 * vg.Centimeter
	comparisonHeight = 7 * vg.Centimeter
)

// Compare returns an SVG: for every log its heights with the model's, and below
// them what lies between, over the time after lift-off.
func Compare(logs []Comparison) ([]byte, error) {
	rows := make([][]*plot.Plot, 2)
	for i := range logs {
		heights, gaps, err := logs[i].plots()
		if err != nil {
			return nil, err
		}
		rows[0], rows[1] = append(rows[0], heights), append(rows[1], gaps)
	}
	canvas := vgsvg.New(comparisonWidth*vg.Length(len(logs)), 2*comparisonHeight)
	tiles := draw.Tiles{Rows: 2, Cols: len(logs), PadX: vg.Millimeter, PadY: vg.Millimeter}
	cells := plot.Align(rows, tiles, draw.New(canvas))
	for i, row := range rows {
		for j, p := range row {
			p.Draw(cells[i][j])
		}
	}
	var out bytes.Buffer
	_, err := canvas.WriteTo(&out)
	return out.Bytes(), err
}

// plots returns the heights of a log and its residuals.
func (l *Comparison) plots() (heights, gaps *plot.Plot, err error) {
	var logged, model, between plotter.XYs
	for i, t := range l.Time {
		if math.IsNaN(l.Logged[i]) {
			continue
		}
		logged = append(logged, plotter.XY{X: t, Y: l.Logged[i]})
		model = append(model, plotter.XY{X: t, Y: l.Says[i]})
		between = append(between, plotter.XY{X: t, Y: l.Logged[i] - l.Says[i]})
	}
	heights, gaps = plot.New(), plot.New()
	heights.Title.Text = l.Name
	heights.Y.Label.Text = "height, m"
	gaps.X.Label.Text = "time after lift-off, s"
	gaps.Y.Label.Text = "log − model, m"
	line, err := plotter.NewLine(model)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", l.Name, err)
	}
	line.Color = vermilion
	dots, err := dotsOf(logged)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", l.Name, err)
	}
	heights.Add(plotter.NewGrid(), dots, line)
	heights.Legend.Add("log", dots)
	heights.Legend.Add("fitted model", line)
	heights.Legend.Top = true
	if dots, err = dotsOf(between); err != nil {
		return nil, nil, fmt.Errorf("%s: %w", l.Name, err)
	}
	gaps.Add(plotter.NewGrid(), dots)
	return heights, gaps, nil
}

func dotsOf(xy plotter.XYs) (*plotter.Scatter, error) {
	dots, err := plotter.NewScatter(xy)
	if err != nil {
		return nil, err
	}
	dots.GlyphStyle = draw.GlyphStyle{Color: blue, Radius: vg.Points(1), Shape: draw.CircleGlyph{}}
	return dots, nil
}
