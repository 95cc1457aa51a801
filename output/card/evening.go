package card

import (
	"bytes"
	"crypto/sha256"
	"encoding/base32"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"math"
	"slices"

	"ullage/optimize/pad"
	"ullage/optimize/study"
	"ullage/output/palette"
	"ullage/output/text"
)

// Code returns what stands on the card and on the page of the same evening: it
// changes with the brief, the design, and what is set or weighed.
func (c *Card) Code() string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s %+v %+v", c.hash(), c.Rocket, c.Site))
	return base32.StdEncoding.EncodeToString(sum[:])[:6]
}

// A gridPage is the page for the phone. It computes nothing: its script looks up
// cells that were flown.
type gridPage struct {
	Title, Design, Code, Brief, Version, Policy string
	Planned                                     []cell
	Cautions, Stopped                           []string
	Units                                       [3]string // of weight, wind and pressure
	Hand                                        string    // the height of a meter
	Tables                                      []gridTable
	Data                                        template.JS
	Script                                      template.JS
	Style                                       template.CSS
}

// A gridTable is the cells of one range of pressures, to print.
type gridTable struct {
	Pressure string
	Winds    []string
	Units    [2]string // of weight and wind
	Rows     []gridRow
}

type gridRow struct {
	Weight string
	Cells  []gridCell
}

// A gridCell is what the page shows of a cell, in words; its names are short
// since a page holds some hundreds.
type gridCell struct {
	Word    string `json:"w"`
	Water   string `json:"g,omitempty"`
	Timer   string `json:"t,omitempty"`
	Height  string `json:"h,omitempty"`
	Landing string `json:"l,omitempty"`
	Drift   string `json:"d,omitempty"`
	Bare    string `json:"b,omitempty"`
	Why     string `json:"y,omitempty"`
}

// GridHTML returns the page for the phone, which needs no other file and no
// network, of the grid that was flown for the card. It errs only where the
// template does not fit its data, which is the program's own fault.
func (c *Card) GridHTML(e *pad.Evening) ([]byte, error) {
	script, err := files.ReadFile("evening.js")
	if err != nil {
		return nil, err
	}
	css, err := files.ReadFile("evening.css")
	if err != nil {
		return nil, err
	}
	cells := make([]gridCell, len(e.Cells))
	for i := range e.Cells {
		cells[i] = c.gridCell(&e.Cells[i])
	}
	grid := c.gridData(e, cells)
	data, err := json.Marshal(&grid)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(script)
	page := gridPage{
		Title: c.title(), Design: c.design(), Code: c.Code(), Brief: c.hash(), Version: c.Version,
		Policy:  "script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; " + policy,
		Planned: c.planned(), Units: [3]string{grid.Weights.Unit, grid.Winds.Unit, grid.Pressures.Unit}, Hand: c.units().height(pad.HandHeight), Cautions: c.cautions(), Stopped: c.stopped(), Tables: gridTables(&grid),
		Data: template.JS(data), Script: template.JS(script), Style: template.CSS(palette.Paper() + string(css)), // ours
	}
	var out bytes.Buffer
	if err := templates.ExecuteTemplate(&out, "evening.html", page); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// An axis is the lines of a grid one way: numbers to compare with, in a unit, and
// what lies between two of them in words.
type axis struct {
	Unit  string    `json:"unit"`
	Lines []float64 `json:"lines"`
	Names []string  `json:"names"`
	Ends  [2]string `json:"ends"`
}

func newAxis(lines []float64, m measure, places int) axis {
	m.places = places
	a := axis{Unit: m.unit}
	for i, line := range lines {
		a.Lines = append(a.Lines, line/m.per)
		if i > 0 {
			a.Names = append(a.Names, m.atLeast(lines[i-1])+" to "+m.atMost(line))
		}
	}
	a.Ends = [2]string{m.atLeast(lines[0]), m.atMost(lines[len(lines)-1])}
	return a
}

// A grid is what the script looks up: what is shown stands in it as text.
type grid struct {
	Winds     axis       `json:"winds"`
	Weights   axis       `json:"weights"`
	Pressures axis       `json:"pressures"`
	Cells     []gridCell `json:"cells"`
}

func (c *Card) gridData(e *pad.Evening, cells []gridCell) grid {
	u := c.units()
	bars := 1
	if u == &metric {
		bars = 2
	}
	return grid{newAxis(e.Winds, u.wind, 1), newAxis(e.Weights, u.mass, u.mass.places), newAxis(e.Pressures, u.pressure, bars), cells}
}

// planned says for which rocket and air the grid was flown.
func (c *Card) planned() []cell {
	const off = 5 // K
	u, t := c.units(), c.Site.Temperature
	return []cell{
		{"Payload", u.mass.near(c.Rocket.Payload.Mass) + " " + u.mass.unit, "no other"},
		{"air", u.heat.near(t) + " " + u.heat.unit, fmt.Sprintf("from %s to %s; beyond, make this page anew", u.heat.atLeast(t-off), u.heat.atMost(t+off))},
		{"guide", text.Decimals(c.Site.Tilt*text.Show("", "rad").Scale, 1) + " deg", "into the wind"},
	}
}

// gridCell writes a cell. One that is NO-GO has nothing to set.
func (c *Card) gridCell(of *pad.Cell) gridCell {
	g := gridCell{Word: of.Word.String(), Why: text.Words(of.Deciding)}
	if of.Deciding == "scatter" {
		g.Why = "scatter: too few flights keep the limits and the field"
	}
	if of.Word == study.NoGo {
		return g
	}
	u := c.units()
	g.Water = u.mass.near(c.water(of.Fill)) + " " + u.mass.unit
	g.Timer = text.Decimals(of.Delay, 2) + " s"
	if !c.canopied() {
		g.Timer = "none"
	}
	g.Height = u.way.atMost(of.Height[0]) + " to " + u.way.atLeast(of.Height[1]) + " " + u.way.unit
	g.Landing = u.speed.atLeast(of.Landing) + " " + u.speed.unit
	g.Drift = u.way.atLeast(pad.OnPaper(of.Drift)) + " " + u.way.unit
	g.Bare = "cannot be said"
	if !math.IsNaN(of.BareDrift) {
		g.Bare = u.way.atLeast(pad.OnPaper(of.BareDrift)) + " " + u.way.unit
	}
	return g
}

// gridTables lay the cells out to print, a table for each range of pressures, the
// highest first.
func gridTables(g *grid) []gridTable {
	var tables []gridTable
	winds, weights := g.Winds.Names, g.Weights.Names
	for p, pressure := range slices.Backward(g.Pressures.Names) {
		t := gridTable{Pressure: pressure + " " + g.Pressures.Unit, Winds: winds, Units: [2]string{g.Weights.Unit, g.Winds.Unit}}
		for w, weight := range weights {
			at := (p*len(weights) + w) * len(winds)
			t.Rows = append(t.Rows, gridRow{weight, g.Cells[at : at+len(winds)]})
		}
		tables = append(tables, t)
	}
	return tables
}
