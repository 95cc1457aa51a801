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
	"strings"

	"ullage/optimize/answers"
	"ullage/optimize/study"
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
	Tables                                      []gridTable
	Data                                        template.JS
	Script                                      template.JS
	Style                                       template.CSS
}

// A gridTable is the cells of one range of pressures, to print.
type gridTable struct {
	Pressure string
	Winds    []string
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
// network, of the grid that was flown for the card.
func (c *Card) GridHTML(e *answers.Evening) ([]byte, error) {
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
	data, err := json.Marshal(struct {
		Winds     []float64  `json:"winds"`
		Weights   []float64  `json:"weights"`
		Pressures []float64  `json:"pressures"`
		Cells     []gridCell `json:"cells"`
	}{e.Winds, scaled(e.Weights, 1e3), scaled(e.Pressures, 1e-5), cells})
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(script)
	page := gridPage{
		Title: c.title(), Design: c.design(), Code: c.Code(), Brief: c.hash(), Version: c.Version,
		Policy:  "script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; " + policy,
		Planned: c.planned(), Cautions: c.cautions(), Stopped: stopped, Tables: c.gridTables(e, cells),
		Data: template.JS(data), Script: template.JS(script), Style: template.CSS(css), // ours
	}
	var out bytes.Buffer
	if err := templates.ExecuteTemplate(&out, "evening.html", page); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func scaled(values []float64, by float64) []float64 {
	all := make([]float64, len(values))
	for i, v := range values {
		all[i] = math.Round(v*by*1e6) / 1e6
	}
	return all
}

// planned says for which rocket and air the grid was flown.
func (c *Card) planned() []cell {
	temperature := c.Site.Temperature - 273.15
	return []cell{
		{"payload", grams(c.Rocket.Payload.Mass) + " g", "no other"},
		{"air", text.Decimals(temperature, 0) + " degC", fmt.Sprintf("from %s to %s; beyond, make this page anew", text.Decimals(temperature-5, 0), text.Decimals(temperature+5, 0))},
		{"guide", text.Decimals(c.Site.Tilt*text.Show("", "rad").Scale, 1) + " deg", "into the wind"},
	}
}

// gridCell writes a cell. One that is NO-GO has nothing to set.
func (c *Card) gridCell(of *answers.Cell) gridCell {
	g := gridCell{Word: of.Word.String(), Why: text.Words(of.Deciding)}
	if of.Word == study.NoGo {
		return g
	}
	g.Water, g.Timer = grams(c.water(of.Fill)), text.Decimals(of.Delay, 2)
	g.Height = text.Decimals(math.Floor(of.Height[0]), 0) + " to " + text.Decimals(math.Ceil(of.Height[1]), 0)
	g.Landing = text.Decimals(math.Ceil(of.Landing*10)/10, 1)
	g.Drift = text.Decimals(answers.OnPaper(of.Drift), 0)
	g.Bare = "cannot be said"
	if !math.IsNaN(of.BareDrift) {
		g.Bare = text.Decimals(answers.OnPaper(of.BareDrift), 0) + " m"
	}
	return g
}

// gridTables lay the cells out to print, a table for each range of pressures, the
// highest first.
func (c *Card) gridTables(e *answers.Evening, cells []gridCell) []gridTable {
	winds, weights := ranges(e.Winds, 1, 1), ranges(e.Weights, 1e3, 0)
	var tables []gridTable
	for p, pressure := range ranges(e.Pressures, 1e-5, 2) {
		t := gridTable{Pressure: pressure, Winds: winds}
		for w, weight := range weights {
			at := (p*len(weights) + w) * len(winds)
			t.Rows = append(t.Rows, gridRow{weight, cells[at : at+len(winds)]})
		}
		tables = append([]gridTable{t}, tables...)
	}
	return tables
}

// ranges writes what lies between lines.
func ranges(lines []float64, by float64, decimals int) []string {
	var all []string
	for i := range max(0, len(lines)-1) {
		all = append(all, strings.Join([]string{text.Decimals(lines[i]*by, decimals), text.Decimals(lines[i+1]*by, decimals)}, " to "))
	}
	return all
}
